//! Have I got it: the parts of the open order or of a job against the shelf, with price, delivery and last day to order.
//!
//! Layout: [`note`] what lies there, was ordered, came, costs · here the list.

mod note;

#[cfg(test)]
mod tests;

use advice::Gap;
use advice::record::{Record, shelf};
use advice::supplies::PartsView;
use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use maud::{Markup, html};

use super::answer::{blocks, gap as gap_of, table_of};
use super::changes;
use super::jobs::{Typed, form, wanted};
use crate::asked::{Door, Faulty};
use crate::frame::field::{Field, select};
use crate::frame::notice::saved;
use crate::frame::{Head, Place};
use crate::noted::supply::day;
use crate::serve::{AppState, Fault, Page, Visit};
use crate::shopping::Stock;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/parts", "Parts for the work", || get(show)).at(visits),
    Page::list("/parts/note", "The shelf", || get(note::show).post(note::send)).at(note::visits),
];

const HEAD: Head<'static> = Head::new("Parts for the work", Place::Parts);

fn visits(_: &AppState) -> Vec<String> {
    ["", "?job=final-drive-set&by=2026-10-10", "?by=soon", "?job=none"].map(|query| format!("/parts{query}")).to_vec()
}

/// `GET /parts`.
async fn show(
    State(state): State<AppState>,
    visit: Visit,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let typed = Typed::of(&query);
    let text = |name: &str| query.iter().find(|(known, _)| known == name).map(|(_, text)| text.as_str());
    let mut door = Door::default();
    let by = day(&mut door, "by", text("by"));
    let mut faults = door.faults;
    let wished = if typed.says_nothing() {
        None
    } else {
        wanted(&bike, &typed, Vec::new()).map(Some).unwrap_or_else(|more| {
            faults.extend(more);
            None
        })
    };
    let again = |faults: &[Faulty]| {
        visit.show_faults(HEAD, &html! { h1 { "Parts for the work" } (form(&typed, Place::Parts, faults)) })
    };
    if !faults.is_empty() {
        return Ok(again(&faults));
    }
    let keep = keeping(&query);
    let asked = format!("parts for {:?}", query.iter().filter(|(name, _)| name != "saved").collect::<Vec<_>>());
    let listing = move || {
        let work = |now| {
            let garage = state.garage();
            let stock = Stock::of(&garage, &bike, now)?;
            let log = garage.log(&bike.id)?;
            drop(garage);
            let worn = shelf::table(&Record::new(&bike, &log, now));
            Ok::<_, store::StoreError>(stock.list(&bike, wished, by).map(|view| listed(&view, &worn, &keep)))
        };
        state.answered(&bike, asked, work)
    };
    let answer = crate::serve::beside(listing).await.map_err(|cause| Fault::broken(&cause).into_response())?;
    let answer = answer.map_err(|why| Fault::broken(&why).into_response())?;
    let shown = match &*answer {
        Ok(shown) => shown,
        Err(missing) if missing.missing => return Ok(cannot(&visit, &typed, missing)),
        Err(wrong) => {
            let field = ["job", "links"].into_iter().find(|name| *name == wrong.field).unwrap_or("job");
            return Ok(again(&[Faulty { field, text: wrong.text.clone() }]));
        }
    };
    let change = text("saved").and_then(|text| text.parse().ok());
    let main = html! {
        @if let Some(change) = change { (saved("Noted.", &changes::button(&visit, change, "Undo", "just-now"))) }
        h1 { "Parts for the work" }
        (shown)
        (form(&typed, Place::Parts, &[]))
    };
    Ok(visit.show(HEAD, &main))
}

/// The list, the way to say what lies there, what is part-worn, and where to go on.
fn listed(view: &PartsView, worn: &advice::Table, keep: &[(String, String)]) -> Markup {
    html! {
        (blocks(&view.blocks()[1..]))
        (noting(view, keep))
        h2 { "Part-worn, with their hours" }
        @if worn.rows.is_empty() { p { "None is laid there. " code { "tightspot drive shelf front NAME --count 14 --used 40" } " lays one there." } }
        (table_of(worn, |_| false))
        p { a href="/parts/check" { "Before buying: does it fit, what goes with it" } }
        p { a href="/parts/order" { "What the drive needs next, and when" } }
    }
}

fn cannot(visit: &Visit, typed: &Typed, missing: &Gap) -> Response {
    visit.show(HEAD, &html! { h1 { "Parts for the work" } (gap_of(missing)) (form(typed, Place::Parts, &[])) })
}

/// What of an address is kept while something is noted.
fn keeping(query: &[(String, String)]) -> Vec<(String, String)> {
    query.iter().filter(|(name, text)| note::KEPT.contains(&name.as_str()) && !text.is_empty()).cloned().collect()
}

/// The way to say what lies there, was ordered, came, costs.
fn noting(view: &PartsView, keep: &[(String, String)]) -> Markup {
    let cells = |table: &advice::Table| {
        table.rows.iter().filter_map(|row| row.first()).map(|cell| cell.text.clone()).collect::<Vec<_>>()
    };
    let mut roles: Vec<String> = view.parts.iter().map(|part| part.role.clone()).collect();
    roles.extend(cells(&view.consumables));
    roles.extend(view.in_case.iter().map(|one| one.role.clone()));
    roles.extend(cells(&view.shelf));
    let mut holds: Vec<String> = view.in_case.iter().map(|one| one.hold.clone()).collect();
    for list in [&mut roles, &mut holds] {
        list.sort();
        list.dedup();
    }
    let choosing = |name: &'static str, label: &'static str, words: &[String], button: &str| {
        let options: Vec<(&str, &str)> = words.iter().map(|word| (word.as_str(), word.as_str())).collect();
        html! {
            form method="get" action="/parts/note" {
                @for (name, text) in keep { input type="hidden" name={ "for_" (name) } value=(text); }
                (select(&Field::text(name, label), &options))
                button type="submit" class="button" { (button) }
            }
        }
    };
    html! {
        h2 { "Say what you have" }
        (choosing("role", "Part or consumable", &roles, "Have, ordered, came, costs"))
        @if !holds.is_empty() { (choosing("hold", "A look that may fail", &holds, "My own chance")) }
        p { a href="/parts/note" { "Something else on the shelf" } }
    }
}
