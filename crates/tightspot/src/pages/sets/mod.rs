//! Sets of chain and sprockets: what belongs together, how long each part ran, one put on in place of another as one act.
//!
//! Layout: [`change`] putting on and taking off, with what safety hangs on · [`keep`] a set put together or kept no longer ·
//! here the list.

mod change;
mod keep;

#[cfg(test)]
mod tests;

use advice::record::kept_sets::{self, KeptSet, SetsView};
use axum::extract::State;
use axum::response::Response;
use axum::routing::{get, post};
use jiff::civil::DateTime;
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::answer::{gap, table_of};
use super::changes;
use super::typed::Typed;
use crate::frame::{Head, Place, details};
use crate::serve::{AppState, Fault, Page, Visit, beside, encoded};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/drive/sets", "Sets of chain and sprockets", || get(show)).at(visits),
    Page::new("/drive/sets/keep", "Keep a set", || get(keep::show).post(keep::send)),
    Page::new("/drive/sets/on", "Put a set on", || get(change::show).post(change::send))
        .at(|_| ["/drive/sets/on?set=none", "/drive/sets/on?off=yes"].map(str::to_owned).to_vec()),
    Page::new("/drive/sets/confirm", "Confirm what safety hangs on", || get(change::confirm).post(change::confirmed)),
    Page::target("/drive/sets/forget", || post(keep::forget)),
];

const HEAD: Head<'static> = Head::new("Sets of chain and sprockets", Place::Drive);

fn visits(_: &AppState) -> Vec<String> {
    ["/drive/sets", "/drive/sets?saved=1"].map(str::to_owned).to_vec()
}

/// `GET /drive/sets`.
async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let seen = beside(move || state.answered(&bike, "sets".to_owned(), |now| seen(&state, &bike, now))).await??;
    let main = html! {
        @if let Some(change) = typed.number("saved") { (changes::just_saved(&visit, change)) }
        h1 { (HEAD.title) }
        @match &*seen {
            Ok(view) => (list(&visit, view)),
            Err(why) => (gap(why)),
        }
        p class="buttons" {
            a class="button primary" href="/drive/sets/keep" { "Keep a set" }
            a class="button" href="/drive/sets/confirm" { "Confirm what safety hangs on" }
            a class="button" href="/drive/history" { "What was read, and what ran" }
        }
    };
    Ok(visit.show(HEAD, &main))
}

fn seen(state: &AppState, bike: &Bike, now: DateTime) -> Result<Result<SetsView, advice::Gap>, Fault> {
    let garage = state.garage();
    let record = garage.record_at(bike, now)?;
    Ok(kept_sets::view(&record))
}

fn list(visit: &Visit, view: &SetsView) -> Markup {
    html! {
        @if view.sets.is_empty() {
            p { "No set is kept yet. What wears together goes on and comes off together: keep the chain and the sprockets that are on as a set, and the next pair as another." }
        }
        (table_of(&view.table, |_| false))
        @for set in &view.sets { (one(visit, set)) }
        (table_of(&view.on_the_bike, |_| false))
        @if view.fitted.is_empty() {
            p { "Nothing is recorded as being on the bike. " a href="/parts/shelf?where=bike" { "Write down what is on" } "." }
        } @else {
            (details("Take everything off", &html! {
                p { "Chain and sprockets go to the shelf with their hours; the bike is not to be ridden until a set is on." }
                p { a class="button small" href="/drive/sets/on?off=yes" { "Take it off" } }
            }))
        }
    }
}

fn one(visit: &Visit, set: &KeptSet) -> Markup {
    html! {
        section {
            h2 { (set.name) }
            p { "Kept since " (set.since) ". " @if set.on { "On the bike." } @else if !set.against.is_empty() { (set.against) } }
            div class="buttons" {
                @if !set.on && set.against.is_empty() {
                    a class="button primary" href={ "/drive/sets/on?set=" (encoded(&set.name)) } { "Put it on" span class="unseen" { ", " (set.name) } }
                }
                form method="post" action="/drive/sets/forget" {
                    (visit.form_key_of(&format!("forget-{}", set.name)))
                    input type="hidden" name="set" value=(set.name);
                    button type="submit" class="button small" { "Keep it no longer" span class="unseen" { ", " (set.name) } }
                }
            }
        }
    }
}
