//! The whole of each list of readings, newest first, some of them on each page.

use advice::record::{history, trend};
use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use store::Noted;

use super::NEWEST;
use crate::frame::{Head, Part, Place, between, newest_first};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Visit, beside};

/// Where the length readings stand.
pub(super) const LENGTHS: &str = "/drive/history/lengths";
/// Where the slack readings stand.
pub(super) const SLACKS: &str = "/drive/history/slacks";
/// Where every reading stands as it was written down.
pub(super) const READINGS: &str = "/drive/history/readings";
/// Kinds of fact that are readings of the drive.
const KINDS: [&str; 4] = ["slack", "elongation", "axle", "meter"];

/// `GET /drive/history/lengths`.
pub(super) async fn lengths(visit: Visit, State(state): State<AppState>, asked: Typed) -> Result<Response, Response> {
    let page = asked.page();
    shown(visit, state, page, "Every length reading", move |state, bike, now| {
        let record = state.garage().record_at(bike, now)?;
        let chains = match trend::chains(&record) {
            Ok(chains) => chains,
            Err(gap) => return Ok(answer::gap(&gap)),
        };
        let part = part(trend::readings(&chains), page)?;
        let table = trend::lengths(&chains, part.range());
        Ok(html! { (answer::newest_rows(&table, "length readings", "earlier-lengths")) (part.links(LENGTHS, "Length readings")) })
    })
    .await
}

/// `GET /drive/history/slacks`.
pub(super) async fn slacks(visit: Visit, State(state): State<AppState>, asked: Typed) -> Result<Response, Response> {
    let page = asked.page();
    shown(visit, state, page, "Every slack reading", move |state, bike, now| {
        let record = state.garage().record_at(bike, now)?;
        let part = part(trend::slacks(&record), page)?;
        Ok(match trend::tight_spots(&record, part.range()) {
            Ok(table) => {
                html! { (answer::newest_rows(&table, "slack readings", "earlier-slacks")) (judged()) (part.links(SLACKS, "Slack readings")) }
            }
            Err(gap) => answer::gap(&gap),
        })
    })
    .await
}

/// `GET /drive/history/readings`.
pub(super) async fn readings(visit: Visit, State(state): State<AppState>, asked: Typed) -> Result<Response, Response> {
    let page = asked.page();
    shown(visit, state, page, "Every reading", move |state, bike, _| {
        let noted = state.garage().noted(&bike.id)?;
        let all: Vec<&Noted> = of_drive(&noted).collect();
        let part = part(all.len(), page)?;
        let shown = all.get(part.range()).unwrap_or_default();
        let list = |some: &[&Noted], _: bool| lines(some);
        Ok(html! { (newest_first(shown, earlier, list)) (part.links(READINGS, "Readings")) })
    })
    .await
}

fn part(lines: usize, page: usize) -> Result<Part, Fault> {
    Part::of(lines, page).ok_or_else(|| Fault::not_found(format!("This list has no page {page}.")))
}

/// One page of a list in its frame, worked out once a minute and record.
async fn shown(
    visit: Visit,
    state: AppState,
    page: usize,
    title: &'static str,
    work: impl FnOnce(&AppState, &upkeep::bike::Bike, jiff::civil::DateTime) -> Result<Markup, Fault> + Send + 'static,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let working = move || state.answered(&bike, format!("{title}, page {page}"), |now| work(&state, &bike, now));
    let listed = beside(working).await??;
    let main = html! {
        h1 { (title) }
        (listed)
        p class="buttons" { a class="button" href="/drive/history" { "What was read, and what ran" } }
    };
    Ok(visit.show(Head::new(title, Place::Drive), &main))
}

/// With what the slack readings are judged.
pub(super) fn judged() -> Markup {
    html! { p class="soft" { "Judged with the sprockets that the bike sheet has now." } }
}

fn of_drive(noted: &[Noted]) -> impl Iterator<Item = &Noted> {
    noted.iter().rev().filter(|noted| KINDS.contains(&noted.entry.fact.kind()))
}

/// The newest readings as they were written down, and the way to all of them.
pub(super) fn newest(noted: &[Noted]) -> Markup {
    let all = of_drive(noted).count();
    let first: Vec<&Noted> = of_drive(noted).take(NEWEST).collect();
    html! {
        h2 { "Every reading" }
        @if all == 0 { p { "None yet." } } @else { (lines(&first)) }
        @if all > NEWEST { p { a class="in-table" href=(READINGS) { "All " (all) " readings, page by page" } } }
    }
}

fn earlier(rest: &[&Noted]) -> String {
    let day = |one: &Noted| one.entry.at.date();
    let span = rest.last().zip(rest.first()).map(|(oldest, newest)| between(day(oldest), day(newest)));
    format!("Earlier: {} readings, {}", rest.len(), span.unwrap_or_default())
}

/// Each reading with its verdict's page; those struck out or measured again are struck through.
fn lines(shown: &[&Noted]) -> Markup {
    html! {
        ul class="list" {
            @for one in shown {
                @let words = history::words(&one.entry.fact);
                li {
                    a href={ "/drive/reading/" (one.entry.id) } { (one.entry.at.strftime("%Y-%m-%d %H:%M").to_string()) }
                    p {
                        @if one.undone { s { (words) } " (struck out)" }
                        @else if one.corrected_by.is_some() { s { (words) } " (measured again)" }
                        @else { (words) }
                    }
                }
            }
        }
    }
}
