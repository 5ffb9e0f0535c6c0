//! The first day of a bike bought used: its hours as a range, an honest first verdict, and what would narrow it.

use advice::record::first_day::{self, FirstDayView};
use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use maud::{Markup, html};
use measure::bounds::record as bounds;

use super::answer;
use crate::asked::{Door, Faulty};
use crate::frame::field::{self, Field, asking_faults, field};
use crate::frame::notice::notice;
use crate::frame::verdict::verdict;
use crate::frame::{Head, Place, actions};
use crate::pages::bike::sentence;
use crate::serve::{AppState, Fault, Page, Visit};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[Page::new("/drive/first-day", "First day of a bike bought used", || get(show))
    .at(|_| ["", "?low=40&high=80", "?low=80&high=40"].map(|query| format!("/drive/first-day{query}")).to_vec())];

const HEAD: Head<'static> = Head::new("First day", Place::Drive);

/// `GET /drive/first-day`: asking changes nothing, so the range stands in the address.
async fn show(
    visit: Visit,
    State(state): State<AppState>,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let text = |name: &str| query.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str());
    let mut door = Door::default();
    let low = door.number("low", Some(text("low")), &bounds::USED);
    let high = door.number("high", Some(text("high")), &bounds::USED);
    match (low, high) {
        (Some(low), Some(high)) if high < low => {
            let text = format!("high: {high} h lies below {low} h. Swap or correct them.");
            door.faults.push(Faulty { field: "high", text });
        }
        (Some(_), None) if door.faults.is_empty() => {
            door.faults.push(Faulty {
                field: "high",
                text: "high: the upper end is missing; the seller's \"at most\".".to_owned(),
            });
        }
        (None, Some(_)) if door.faults.is_empty() => {
            door.faults
                .push(Faulty { field: "low", text: "low: the lower end is missing; 0 if nobody knows.".to_owned() });
        }
        _ => {}
    }
    let faults: Vec<Faulty> =
        door.faults.into_iter().map(|one| Faulty { field: one.field, text: sentence(one.field, &one.text) }).collect();
    let now = state.clock().now().datetime();
    let asked = low.zip(high).filter(|_| faults.is_empty());
    let seen = crate::serve::beside(move || {
        let record = state.garage().record_at(&bike, now);
        let record = record.map_err(|why| Fault::broken(&why.lines().join(" ")))?;
        Ok::<_, Fault>(asked.map(|(low, high)| first_day::view(&record, low, high)))
    });
    let seen = seen.await.map_err(|cause| Fault::broken(&cause).into_response())?;
    let seen = seen.map_err(|fault| fault.into_response())?;
    let main = html! {
        (asking_faults(&faults.iter().map(|one| field::Fault { field: one.field, text: &one.text }).collect::<Vec<_>>()))
        @match &seen {
            Some(Ok(view)) => (answered(view)),
            Some(Err(gap)) => { h1 { "First day" } (answer::gap(gap)) },
            None => h1 { "First day of a bike bought used" },
        }
        (form(&text, &faults))
    };
    Ok(if faults.is_empty() { visit.show(HEAD, &main) } else { visit.show_faults(HEAD, &main) })
}

fn answered(view: &FirstDayView) -> Markup {
    html! {
        (verdict(view.verdict, &view.sentence, &html! {}))
        (answer::reason_list_to(&view.reasons, |_| "/drive/measure/elongation".to_owned()))
        (answer::fact_list(&view.facts))
        (answer::table_of(&view.narrows, |head| head == "As known now"))
        @for note in &view.notes { (notice(note)) }
        p class="buttons" { a class="button" href="/drive/measure/elongation" { "Measure the chain's length" } }
    }
}

fn form<'q>(text: &impl Fn(&str) -> &'q str, faults: &[Faulty]) -> Markup {
    let fault = |name: &str| faults.iter().find(|one| one.field == name).map_or("", |one| one.text.as_str());
    let one = |name, label, hint| Field::decimal(name, label, "h").hint(hint).value(text(name)).fault(fault(name));
    html! {
        form method="get" action="/drive/first-day" {
            p { "How many hours has this chain? A range is an answer: \"forty to eighty\" is 40 and 80. The last length reading is held against it." }
            div class="form-grid" {
                (field(&one("low", "At least", "0 if nobody knows.")))
                (field(&one("high", "At most", "What the seller says at most, or the bike's own hours.")))
            }
            (actions(&html! { button type="submit" class="button primary" { "What is left?" } }))
        }
    }
}
