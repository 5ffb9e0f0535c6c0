//! What was changed on a sheet, newest first, with before and after; taking it back, and bringing it again.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{ChangeId, Fact, StoreError};
use upkeep::bike;

use super::standing::Standing;
use super::words::{capital, held, sentence, shown};
use super::{Typed, again, not_stored};
use crate::frame::details;
use crate::frame::notice::saved;
use crate::pages::changes;
use crate::serve::{AppState, Posted, Visit};

/// As many changes as the page shows unfolded.
const SHOWN: usize = 5;
/// As many figures of one change as are told one by one.
const TOLD: usize = 4;

/// What a visit has to be told was done.
pub(super) struct Said {
    /// The figure it was about, if it was one.
    pub(super) row: Option<&'static str>,
    text: String,
    /// The change, and whether the way back brings it again.
    undo: Option<(ChangeId, bool)>,
}

/// What the address says was done just before.
pub(super) fn said<'q>(standing: &Standing, asked: impl Fn(&str) -> Option<&'q str>) -> Option<Said> {
    if let Some(name) = asked("same") {
        let row = bike::field(name).map(|field| field.name);
        return Some(Said { row, text: "Nothing changed: the sheet says so already.".to_owned(), undo: None });
    }
    let change = |name: &str| asked(name)?.parse::<ChangeId>().ok();
    let (id, again, verb) = if let Some(id) = change("saved") {
        (id, false, "Saved")
    } else if let Some(id) = change("undone") {
        (id, true, "Undone")
    } else {
        (change("again")?, false, "Brought back")
    };
    let facts: Vec<&Fact> = standing.history.iter().filter(|fact| fact.change == id).collect();
    let (row, text) = match facts.as_slice() {
        [] => (None, format!("{verb}.")),
        [one] => (Some(one.field), format!("{verb}: {}.", now(standing, one.field))),
        several => (None, format!("{verb}: {} figures.", several.len())),
    };
    Some(Said { row, text, undo: Some((id, again)) })
}

/// How a figure stands now, in words.
fn now(standing: &Standing, name: &str) -> String {
    let Some(field) = bike::field(name) else { return name.to_owned() };
    match standing.entry(name) {
        Some(entry) => format!("{}, {}", field.word, shown(field, &entry.value)),
        None => format!("{}, not on the sheet", field.word),
    }
}

/// The line that says it, with the way back.
pub(super) fn line(visit: &Visit, said: &Said) -> Markup {
    saved(
        &said.text,
        &html! { @if let Some((change, again)) = said.undo { (button(visit, change, again, "just-now")) } },
    )
}

fn button(visit: &Visit, change: ChangeId, again: bool, place: &str) -> Markup {
    changes::button(visit, "/bike/undo", change, (if again { "Bring it back" } else { "Undo" }, again), place)
}

/// `POST /bike/undo`: takes a change back, or brings it again.
pub(super) async fn undo(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let Ok(change) = posted.text("change").parse::<ChangeId>() else {
            return again(&state, &visit, &Typed::faulty("past", "No change was named. Choose one from the list."));
        };
        let again_wanted = posted.text("want") == "stands";
        let post = posted.at(&state.clock().now());
        let turned = if stands(&state, &visit, change, again_wanted) {
            Ok(())
        } else {
            changes::turn(state.writing().store_mut(), change, &post)
        };
        match turned {
            Ok(()) => {
                let said = if again_wanted { "again" } else { "undone" };
                Redirect::to(&format!("/bike?{said}={change}{}", row_of(&state, &visit, change))).into_response()
            }
            Err(StoreError::Faults(faults)) => {
                let why = faults.iter().map(|fault| sentence(&fault.field, &fault.text)).collect::<Vec<_>>().join(" ");
                let text = format!("Change {change} cannot be taken back alone. {why}");
                again(&state, &visit, &Typed::faulty("past", text))
            }
            Err(why) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

/// Whether a change stands already as it is wanted; not known of one that put no figure on this sheet.
fn stands(state: &AppState, visit: &Visit, change: ChangeId, again: bool) -> bool {
    let Ok(standing) = Standing::of(state, visit) else { return false };
    let fact = standing.history.iter().find(|fact| fact.change == change);
    fact.is_some_and(|fact| fact.undone != again)
}

/// The anchor of the one figure that a change was about.
fn row_of(state: &AppState, visit: &Visit, change: ChangeId) -> String {
    let Ok(standing) = Standing::of(state, visit) else { return String::new() };
    let mut facts = standing.history.iter().filter(|fact| fact.change == change);
    match (facts.next(), facts.next()) {
        (Some(one), None) => format!("#row-{}", one.field),
        _ => String::new(),
    }
}

/// The list of changes.
pub(super) fn list(visit: &Visit, standing: &Standing) -> Markup {
    let changes: Vec<&[Fact]> = standing.history.chunk_by(|one, other| one.change == other.change).collect();
    let (first, older) = changes.split_at(changes.len().min(SHOWN));
    let all =
        |changes: &[&[Fact]]| html! { ul class="list" { @for facts in changes { (change(visit, standing, facts)) } } };
    html! {
        section id="past" {
            h2 { "What was changed" }
            @if changes.is_empty() { p class="soft" { "Nothing yet." } }
            (all(first))
            @if !older.is_empty() { (details(&format!("Before that: {} changes", older.len()), &all(older))) }
        }
    }
}

fn change(visit: &Visit, standing: &Standing, facts: &[Fact]) -> Markup {
    let Some(first) = facts.first() else { return html! {} };
    let at = first.at.to_zoned_datetime(standing.zone.clone()).strftime("%-d %b %Y, %H:%M").to_string();
    let lines = html! { ul { @for fact in facts.iter().rev() { li { (before_and_after(standing, fact)) } } } };
    html! {
        li {
            p { b { (at) } span class="soft" { " · change " (first.change) @if first.undone { " · undone" } } }
            @if facts.len() <= TOLD { (lines) } @else { (details(&format!("{} figures", facts.len()), &lines)) }
            (button(visit, first.change, first.undone, "list"))
        }
    }
}

fn before_and_after(standing: &Standing, fact: &Fact) -> String {
    let Some(field) = bike::field(fact.field) else { return fact.field.to_owned() };
    let earlier = |other: &&Fact| other.field == fact.field && other.change < fact.change && !other.undone;
    format!(
        "{}: {} → {}",
        capital(field.word),
        held(field, standing.history.iter().find(earlier)),
        held(field, Some(fact))
    )
}
