//! The season on one page: hours, ground, sets, faults, jobs, cost, what comes next; made to be printed.

use advice::Gap;
use advice::record::season::{self, SeasonView};
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use jiff::ToSpan as _;
use jiff::civil::{Date, DateTime};
use maud::{Markup, html};

use super::answer;
use super::typed::Typed;
use crate::frame::field::{Field, Room};
use crate::frame::{Head, Place};
use crate::noted;
use crate::serve::{AppState, Fault, Page, Visit, beside};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[Page::list("/rides/season", "Season", || get(show)).at(|_| {
    ["", "?from=2026-09-01&to=2026-09-05", "?from=spring"].map(|query| format!("/rides/season{query}")).to_vec()
})];

const HEAD: Head<'static> = Head::new("Season", Place::Rides);

/// `GET /rides/season`: the span stands in the address; left out, the last twelve months.
async fn show(visit: Visit, State(state): State<AppState>, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let now = state.clock().now().datetime();
    let to = day(&mut typed, "to", now, now.date());
    let from = day(&mut typed, "from", now, to.checked_sub(1.year()).unwrap_or(to));
    if !typed.is_faulty() && from > to {
        typed.fault_at("from", format!("{from} lies after {to}. Swap them, or leave one out."));
    }
    let view = if typed.is_faulty() {
        None
    } else {
        let seen = move || {
            state.answered(&bike, format!("season {from} {to}"), |now| {
                let record = state.garage().record_at(&bike, now)?;
                Ok::<_, Fault>(season::view(&record, from, to).as_ref().map(page).map_err(Gap::clone))
            })
        };
        Some(beside(seen).await??)
    };
    let main = html! {
        (typed.not_answered())
        h1 { "Season" }
        @match view.as_deref() {
            Some(Ok(shown)) => (shown),
            Some(Err(gap)) => (answer::gap(gap)),
            None => {},
        }
        (span(&typed))
    };
    Ok(typed.answer(&visit, HEAD, &main))
}

/// The day that was typed; the one that stands there unasked for nothing, or for what is no day.
fn day(typed: &mut Typed, field: &'static str, now: DateTime, unasked: Date) -> Date {
    match typed.text(field).trim() {
        "" => unasked,
        text => noted::time(field, text, now, 12).map(|at| at.date()).unwrap_or_else(|fault| {
            typed.take(vec![fault]);
            unasked
        }),
    }
}

fn page(view: &SeasonView) -> Markup {
    // The page's own heading stands above; the rest is the view in its order.
    html! { (answer::blocks(view.blocks().get(1..).unwrap_or_default())) }
}

fn span(typed: &Typed) -> Markup {
    let one =
        |name, label, hint| typed.field(Field { room: Room::Twelve, ..Field::text(name, label).hint(hint).optional() });
    html! {
        section class="no-print" {
            h2 { "Another span" }
            form method="get" action="/rides/season" {
                div class="form-grid" {
                    (one("from", "From", "Such as 2025-10-01; left empty, twelve months before."))
                    (one("to", "To", "Left empty, today."))
                }
                p class="buttons" { button type="submit" class="button" { "Show it" } }
            }
        }
    }
}
