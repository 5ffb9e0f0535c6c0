//! The season on one page: hours, ground, sets, faults, jobs, cost, what comes next; made to be printed.

use advice::Gap;
use advice::record::season::{self, SeasonView};
use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use jiff::ToSpan as _;
use jiff::civil::Date;
use maud::{Markup, html};

use super::answer;
use crate::asked::Faulty;
use crate::frame::field::{self, Field, Room, asking_faults, field};
use crate::frame::{Head, Place};
use crate::noted;
use crate::pages::bike::sentence;
use crate::serve::{AppState, Fault, Page, Visit};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[Page::list("/rides/season", "Season", || get(show)).at(|_| {
    ["", "?from=2026-09-01&to=2026-09-05", "?from=spring"].map(|query| format!("/rides/season{query}")).to_vec()
})];

const HEAD: Head<'static> = Head::new("Season", Place::Rides);

/// `GET /rides/season`: the span stands in the address; left out, the last twelve months.
async fn show(
    visit: Visit,
    State(state): State<AppState>,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let now = state.clock().now().datetime();
    let text = |name: &str| query.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.trim());
    let mut faults = Vec::new();
    let mut day = |field: &'static str, unasked: Date| match text(field) {
        "" => unasked,
        typed => noted::time(field, typed, now, 12).map(|at| at.date()).unwrap_or_else(|fault| {
            faults.push(Faulty { field, text: sentence(field, &fault.text) });
            unasked
        }),
    };
    let to = day("to", now.date());
    let from = day("from", to.checked_sub(1.year()).unwrap_or(to));
    if faults.is_empty() && from > to {
        faults.push(Faulty { field: "from", text: format!("{from} lies after {to}. Swap them, or leave one out.") });
    }
    let view = if faults.is_empty() {
        let (asked, of) = (state.clone(), bike.clone());
        let worked_out = move |now| {
            let record = state.garage().record_at(&bike, now);
            let record = record.map_err(|why| Fault::broken(&why.lines().join(" ")))?;
            Ok::<_, Fault>(season::view(&record, from, to).as_ref().map(page).map_err(Gap::clone))
        };
        let seen = move || asked.answered(&of, format!("season {from} {to}"), worked_out);
        let seen = crate::serve::beside(seen).await.map_err(|cause| Fault::broken(&cause).into_response())?;
        Some(seen.map_err(|fault| fault.into_response())?)
    } else {
        None
    };
    let main = html! {
        (asking_faults(&faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect::<Vec<_>>()))
        h1 { "Season" }
        @match view.as_deref() {
            Some(Ok(shown)) => (shown),
            Some(Err(gap)) => (answer::gap(gap)),
            None => {},
        }
        (span(&text, &faults))
    };
    Ok(if faults.is_empty() { visit.show(HEAD, &main) } else { visit.show_faults(HEAD, &main) })
}

fn page(view: &SeasonView) -> Markup {
    // The page's own heading stands above; the rest is the view in its order.
    html! { (answer::blocks(view.blocks().get(1..).unwrap_or_default())) }
}

fn span<'q>(text: &impl Fn(&str) -> &'q str, faults: &[Faulty]) -> Markup {
    let fault = |name: &str| faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str());
    let one = |name, label, hint| Field {
        room: Room::Twelve,
        ..Field::text(name, label).hint(hint).value(text(name)).fault(fault(name)).optional()
    };
    html! {
        section class="no-print" {
            h2 { "Another span" }
            form method="get" action="/rides/season" {
                div class="form-grid" {
                    (field(&one("from", "From", "Such as 2025-10-01; left empty, twelve months before.")))
                    (field(&one("to", "To", "Left empty, today.")))
                }
                p class="buttons" { button type="submit" class="button" { "Show it" } }
            }
        }
    }
}
