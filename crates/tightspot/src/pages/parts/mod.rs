//! Have I got it: the parts of the open order or of a job against the shelf, with price, delivery and last day to order.
//!
//! Layout: [`note`] what lies there, was ordered, came, costs · [`lay`] a part with its hours · here the list.

mod lay;
pub(super) mod note;

#[cfg(test)]
mod tests;

use advice::Block;
use advice::record::{Record, shelf};
use advice::supplies::PartsView;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::answer::{gap as gap_of, one, table_of};
use super::changes;
use super::jobs::{WISHES, at_fault, form, wanted};
use super::typed::Typed;
use crate::asked::Door;
use crate::frame::field::{Field, select};
use crate::frame::{Head, Place, details};
use crate::noted::supply::day;
use crate::serve::{AppState, Fault, Page, Visit, beside};
use crate::shopping::Stock;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/parts", "Parts for the work", || get(show)).at(visits),
    Page::list("/parts/note", "The shelf", || get(note::show).post(note::send)).at(note::visits),
    Page::new("/parts/shelf", "A part and where it is", || get(lay::show).post(lay::send)).at(|_| {
        ["", "?where=bike", "?where=gone&role=front&name=old+14"].map(|query| format!("/parts/shelf{query}")).to_vec()
    }),
];

const HEAD: Head<'static> = Head::new("Parts for the work", Place::Parts);

fn visits(_: &AppState) -> Vec<String> {
    ["", "?job=final-drive-set&by=2026-10-10", "?by=soon", "?job=none"].map(|query| format!("/parts{query}")).to_vec()
}

/// `GET /parts`.
async fn show(State(state): State<AppState>, visit: Visit, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let mut door = Door::default();
    let by = day(&mut door, "by", typed.given("by"));
    typed.take(door.faults);
    let mut wished = None;
    if WISHES.iter().any(|name| !typed.text(name).trim().is_empty()) {
        match wanted(&bike, &typed, Vec::new()) {
            Ok(wish) => wished = Some(wish),
            Err(faults) => typed.take(faults),
        }
    }
    if typed.is_faulty() {
        return Ok(shown(&visit, &typed, &html! {}));
    }
    let keep = keeping(&typed);
    let asked = format!("parts for {:?}", typed.texts().iter().filter(|(name, _)| name != "saved").collect::<Vec<_>>());
    let listing = move || {
        let work = |now| {
            let garage = state.garage();
            let stock = Stock::of(&garage, &bike, now)?;
            let log = garage.log(&bike.id)?;
            drop(garage);
            let worn = shelf::table(&Record::new(&bike, &log, now));
            Ok::<_, Fault>(stock.list(&bike, wished, by).map(|view| listed(&view, &worn, &keep)))
        };
        state.answered(&bike, asked, work)
    };
    let answer = beside(listing).await??;
    Ok(match &*answer {
        Ok(list) => shown(&visit, &typed, list),
        Err(missing) if missing.missing => shown(&visit, &typed, &gap_of(missing)),
        Err(wrong) => {
            typed.fault_at(at_fault(wrong), &wrong.text);
            shown(&visit, &typed, &html! {})
        }
    })
}

/// The page with its answer and the form to ask for something else.
fn shown(visit: &Visit, typed: &Typed, answer: &Markup) -> Response {
    let main = html! {
        (typed.not_answered())
        @if let Some(change) = typed.number("saved") { (changes::just_saved(visit, change)) }
        h1 { (HEAD.title) }
        (answer)
        (form(typed, Place::Parts))
    };
    typed.answer(visit, HEAD, &main)
}

/// The list, the way to say what lies there, what is part-worn, and where to go on.
fn listed(view: &PartsView, worn: &advice::Table, keep: &[(String, String)]) -> Markup {
    html! {
        ul class="jump" {
            li { a href="#have" { "Say what you have" } }
            li { a href="#worn" { "Part-worn, with their hours" } }
            li { a href="#other" { "Plan something else" } }
        }
        @for block in &view.blocks()[1..] {
            @match block {
                // Needed only if something goes wrong: a tap away.
                Block::Table(table) if table.key == view.in_case_table.key => {
                    (details(&format!("In case a look fails: {} parts", table.rows.len()), &table_of(table, |_| false)))
                },
                block => (one(block)),
            }
        }
        (noting(view, keep))
        h2 id="worn" { "Part-worn, with their hours" }
        @if worn.rows.is_empty() { p { "None is laid there." } }
        (table_of(worn, |_| false))
        p { a class="button small" href="/parts/shelf" { "Lay a part there, or say where it is" } }
        p { a href="/parts/check" { "Before buying: does it fit, what goes with it" } }
        p { a href="/parts/order" { "What to order by when" } }
    }
}

/// What of an address is kept while something is noted.
fn keeping(typed: &Typed) -> Vec<(String, String)> {
    let kept = |(name, text): &&(String, String)| note::KEPT.contains(&name.as_str()) && !text.is_empty();
    typed.texts().iter().filter(kept).cloned().collect()
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
        let shown: Vec<String> = words.iter().map(|word| word.replace('-', " ")).collect();
        let options: Vec<(&str, &str)> =
            words.iter().map(String::as_str).zip(shown.iter().map(String::as_str)).collect();
        html! {
            form method="get" action="/parts/note" {
                @for (name, text) in keep { input type="hidden" name={ "for_" (name) } value=(text); }
                (select(&Field::text(name, label), &options))
                button type="submit" class="button" { (button) }
            }
        }
    };
    html! {
        h2 id="have" { "Say what you have" }
        (choosing("role", "Part or consumable", &roles, "Have, ordered, came, costs"))
        @if !holds.is_empty() { (choosing("hold", "A look that may fail", &holds, "My own chance")) }
        p { a href="/parts/note" { "Something else on the shelf" } }
    }
}
