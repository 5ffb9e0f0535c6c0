//! What was changed: every change of a bike with before and after, taken back and brought again.
//!
//! Only a change of the bike that is looked at can be undone here, and what that takes back stands beside the button.
//! Layout: [`words`] a change in words · here the page, the button and the undoing.

mod words;

#[cfg(test)]
mod tests;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use jiff::tz::TimeZone;
use maud::{Markup, html};
use store::{ChangeId, Past, Post, Store, StoreError};

use crate::frame::notice::{fault, saved};
use crate::frame::{Head, Part, between, details, newest_first};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Page, Posted, Visit};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[
    Page::list("/history", "What was changed", || get(show))
        .at(|_| ["/history", "/history?undone=1", "/history?again=1"].map(str::to_owned).to_vec()),
    Page::target("/history/undo", || post(undo)),
];

const HEAD: Head<'static> = Head::titled("What was changed");
/// As many lines of one change as are told at once.
const TOLD: usize = 4;

/// The button that takes a change back; `place` keeps two buttons of one page apart.
pub(super) fn take_back(visit: &Visit, change: ChangeId, word: &str, place: &str) -> Markup {
    button(visit, "/history/undo", change, (word, false), place)
}

/// The button that brings again what was taken back.
pub(super) fn bring_back(visit: &Visit, change: ChangeId, place: &str) -> Markup {
    button(visit, "/history/undo", change, ("Bring it back", true), place)
}

/// A button that brings a change into the state wanted, sent to `action`; whether it stands then is said with its word.
pub(super) fn button(
    visit: &Visit,
    action: &str,
    change: ChangeId,
    (word, stands): (&str, bool),
    place: &str,
) -> Markup {
    html! {
        form method="post" action=(action) {
            (visit.form_key_of(&format!("undo-{change}-{place}")))
            input type="hidden" name="change" value=(change);
            input type="hidden" name="want" value=(if stands { "stands" } else { "undone" });
            button type="submit" class="button small" { (word) span class="unseen" { ", change " (change) } }
        }
    }
}

/// What was saved just now, with the way back.
pub(super) fn just_saved(visit: &Visit, change: ChangeId) -> Markup {
    saved("Saved.", &take_back(visit, change, "Undo", "just-now"))
}

/// `GET /history`.
async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let past = state.garage().past(&bike.id).map_err(Fault::from)?;
    let zone = state.clock().now().time_zone().clone();
    let asked = |name: &str| typed.number(name).filter(|id| past.iter().any(|one| one.id == *id));
    let told: Vec<&Past> = past.iter().filter(|one| one.undoes.is_none()).collect();
    let page = typed.page();
    let Some(part) = Part::of(told.len(), page) else {
        return Err(Fault::not_found(format!("The list of changes has no page {page}.")).into());
    };
    let shown = told.get(part.range()).unwrap_or_default();
    let list =
        |all: &[&Past], _: bool| html! { ul class="list" { @for one in all { (item(&visit, one, &past, &zone)) } } };
    let day = |one: &Past| one.at.to_zoned_datetime(zone.clone()).date();
    let earlier = |rest: &[&Past]| {
        let span = rest.first().zip(rest.last()).map(|(newest, oldest)| between(day(oldest), day(newest)));
        format!("Earlier: {} changes, {}", rest.len(), span.unwrap_or_default())
    };
    let main = html! {
        h1 { "What was changed" }
        @if let Some(id) = asked("undone") { (saved(&format!("Change {id} is taken back."), &bring_back(&visit, id, "just-now"))) }
        @if let Some(id) = asked("again") { (saved(&format!("Change {id} is back."), &take_back(&visit, id, "Undo", "just-now"))) }
        p { "Every change of " b { (bike.name) } " with its time, before and after. One rider keeps this record, so it was always you. What is taken back stays here and can come again; nothing is ever deleted." }
        (newest_first(shown, earlier, list))
        (part.links("/history", "Changes"))
    };
    Ok(visit.show(HEAD, &main))
}

fn item(visit: &Visit, one: &Past, all: &[Past], zone: &TimeZone) -> Markup {
    let at = one.at.to_zoned_datetime(zone.clone()).strftime("%-d %b %Y, %H:%M").to_string();
    let lines = words::lines(one, all);
    let told = html! { ul { @for line in &lines { li { @if one.stands { (line) } @else { s { (line) } } } } } };
    html! {
        li id={ "change-" (one.id) } class="change" {
            p { b { (at) } span class="soft" { " · change " (one.id) ", " (words::kind(&one.what)) @if !one.stands { " · taken back" } } }
            @if lines.len() <= TOLD { (told) } @else { (details(&format!("{} entries", lines.len()), &told)) }
            @if one.stands { (take_back(visit, one.id, "Undo", "list")) } @else { (bring_back(visit, one.id, "list")) }
        }
    }
}

/// `POST /history/undo`: takes a change of this bike back, or brings it again.
async fn undo(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.id.clone();
    let save = async {
        let change = posted.text("change").parse::<ChangeId>().unwrap_or_default();
        let stands = posted.text("want") == "stands";
        let post = posted.at(&state.clock().now());
        match turned(state.writing().store_mut(), &bike, change, stands, &post) {
            Ok(()) => {
                let said = if stands { "again" } else { "undone" };
                Redirect::to(&format!("/history?{said}={change}")).into_response()
            }
            Err(cause) => {
                visit.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Nothing was changed", &fault(&cause.to_string()))
            }
        }
    };
    Ok(state.once().run(&posted, save).await)
}

/// Brings a change of a bike into the state wanted; a change of another bike is none.
///
/// # Errors
/// No such change of this bike, or what would be left does not fit together.
pub(super) fn turned(
    store: &mut Store,
    bike: &str,
    change: ChangeId,
    stands: bool,
    post: &Post<'_>,
) -> Result<(), StoreError> {
    let past = store.past(bike)?;
    let known = past.iter().find(|one| one.id == change).ok_or(StoreError::NoSuchChange { id: change })?;
    if known.stands == stands { Ok(()) } else { turn(store, change, post) }
}

/// Undoes the last one of the chain of undoings of a change.
///
/// # Errors
/// No such change, or what would be left does not fit together.
pub(super) fn turn(store: &mut Store, change: ChangeId, post: &Post<'_>) -> Result<(), StoreError> {
    let mut last = change;
    loop {
        match store.undo(last, post) {
            Err(StoreError::UndoneAlready { by, .. }) => last = by,
            done => return done.map(drop),
        }
    }
}
