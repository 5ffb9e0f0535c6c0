//! Choices about parts and rides: replace together or singly, what to measure next, ride it or miss it, order by when.
//!
//! Layout: [`buying`] before buying · [`replace`] and [`through`] the two that ask something · [`mod@calendar`] the days ahead
//! as a file · here the rest.

mod buying;
pub(crate) mod calendar;
mod replace;
mod through;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use advice::record::{Record, next, order, shelf};
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::answer::{blocks, gap, table_of};
use super::typed::Typed;
use crate::asked::Door;
use crate::choosing;
use crate::frame::field::Field;
use crate::frame::{Head, Place, actions};
use crate::serve::{AppState, Fault, Page, Visit, beside};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::new("/drive/replace", "Replace together or singly", || get(replace::show)).at(replace::visits),
    Page::new("/drive/next", "What to measure next", || get(next_reading)),
    Page::new("/drive/through", "Ride it or miss it", || get(through::show)).at(through::visits),
    Page::new("/parts/check", "Before buying", || get(buying::show)).at(buying::visits),
    Page::list("/parts/order", "What to order by when", || get(to_order)).at(visits),
];

fn visits(_: &AppState) -> Vec<String> {
    ["/parts/order", "/parts/order?lead_d=9", "/parts/order?lead_d=soon"].map(str::to_owned).to_vec()
}

/// Ways from one of these pages to the others.
pub(super) fn elsewhere() -> Markup {
    html! {
        ul class="list" {
            li { a href="/drive/replace" { "Replace together or singly" } }
            li { a href="/drive/next" { "What to measure next" } }
            li { a href="/drive/through" { "Ride it or miss it" } }
            li { a href="/drive/sets" { "Sets of chain and sprockets, with their hours" } }
            li { a href="/parts/order" { "What to order by when" } }
            li { a href="/parts/check" { "Before buying: does it fit, what goes with it" } }
            li { a href="/calendar.ics" { "The days ahead as a calendar file" } }
        }
    }
}

async fn next_reading(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let view = kept_of_record(state, bike, "next".to_owned(), next::view).await?;
    let main = html! {
        h1 { "What to measure next" }
        @match &*view {
            Ok(view) => { (blocks(&view.blocks()[1..])) }
            Err(why) => { (gap(why)) }
        }
        p { a class="button primary" href="/drive#measure" { "How to measure" } }
        (elsewhere())
    };
    Ok(visit.show(Head::new("What to measure next", Place::Drive), &main))
}

async fn to_order(visit: Visit, State(state): State<AppState>, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let mut door = Door::default();
    let asked = choosing::replace(&mut door, &bike, |field| typed.given(field));
    let lead = choosing::lead(&mut door, typed.given("lead_d"));
    typed.take(door.faults);
    let work =
        move |record: &Record<'_>| (asked.and_then(|asked| order::view(record, &asked, lead)), shelf::table(record));
    let view = kept_of_record(state, bike, format!("order {:?}", typed.texts()), work).await?;
    let main = html! {
        (typed.not_answered())
        h1 { "What to order by when" }
        @match &view.0 {
            Ok(view) if !typed.is_faulty() => { (blocks(&view.blocks()[1..])) }
            Ok(_) => {}
            Err(why) => { (gap(why)) }
        }
        form method="get" action="/parts/order" {
            (typed.field(Field::whole("lead_d", "Days of delivery", "d").hint("Until something ordered lies on your bench.").optional()))
            (actions(&html! { button type="submit" class="button primary" { "By when?" } }))
        }
        (table_of(&view.1, |_| false))
        p { a href="/parts/shelf" { "Lay a part on the shelf, or say that it is gone" } }
        (elsewhere())
    };
    Ok(typed.answer(&visit, Head::new("What to order by when", Place::Parts), &main))
}

/// Asks something of the bike's record, off the threads that answer browsers; the store is free meanwhile.
async fn of_record<T: Send + 'static>(
    state: AppState,
    bike: Bike,
    work: impl FnOnce(&Record<'_>) -> T + Send + 'static,
) -> Result<T, Response> {
    let now = state.clock().now().datetime();
    let answering = move || {
        let record = state.garage().record_at(&bike, now)?;
        Ok::<_, Fault>(work(&record))
    };
    Ok(beside(answering).await??)
}

/// The same, kept for the minute and the record; `asked` holds all that was typed.
async fn kept_of_record<T: Send + Sync + 'static>(
    state: AppState,
    bike: Bike,
    asked: String,
    work: impl FnOnce(&Record<'_>) -> T + Send + 'static,
) -> Result<Arc<T>, Response> {
    let answering = move || {
        state.answered(&bike, asked, |now| {
            let record = state.garage().record_at(&bike, now)?;
            Ok::<_, Fault>(work(&record))
        })
    };
    Ok(beside(answering).await??)
}
