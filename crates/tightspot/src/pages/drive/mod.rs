//! Is the chain right: what a slack reading makes of the bike, how far to turn the adjusters, the drive to scale.
//!
//! Layout: [`question`] typed text → what is asked · [`view`] the page and its answer · [`mod@bench`] cautions, how to
//! measure, how to set · [`picture`] the drive to scale and slack through the travel · here the handler.

mod bench;
mod picture;
mod question;
mod view;

#[cfg(test)]
mod tests;

use advice::ready::standing_slack;
use advice::words::mm;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use upkeep::bike::Bike;

use crate::frame::{Head, Place};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Page, Visit, beside};
use question::Question;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::new("/drive", "Final drive: slack and alignment", || get(show)).at(visits)];

const HEAD: Head<'static> = Head::new("Final drive", Place::Drive);
/// The part that the script renews.
const ANSWER: &str = "answer";

fn visits(_: &AppState) -> Vec<String> {
    let asked = [
        "",
        "?slack_mm=85",
        "?slack_mm=70",
        "?slack_mm=83&left_mm=605,1&right_mm=606,1",
        "?slack_mm=95&front_teeth=13&rear_teeth=49&links=116",
        "?front_teeth=14&rear_teeth=53",
        "?slack_mm=3+fingers&left_mm=1,250&rear_teeth=4x",
    ];
    asked.map(|query| format!("/drive{query}")).to_vec()
}

/// `GET /drive`: asking changes nothing, so the whole question stands in the address.
async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let answering = move || {
        let mut question = Question::read(&bike, typed);
        let part = view::part(&bike, &mut question);
        (question, part, bike)
    };
    let (question, part, bike) = beside(answering).await?;
    if visit.wants(ANSWER) {
        return Ok(visit.fragment(part));
    }
    let page = view::page(&question, &part, &read_last(&state, &bike, &question));
    Ok(question.typed.answer(&visit, HEAD, &page))
}

/// The reading that the record holds, where none was typed: one tap judges it.
fn read_last(state: &AppState, bike: &Bike, question: &Question) -> Markup {
    if !question.typed.text("slack_mm").trim().is_empty() {
        return html! {};
    }
    let garage = state.garage();
    let record = garage.record_at(bike, state.clock().now().datetime()).ok();
    let standing = record.as_ref().and_then(standing_slack);
    html! {
        @if let Some((slack_mm, age)) = standing {
            p class="buttons" {
                "Read last: " (mm(slack_mm)) ", " (age) ". "
                a class="button small" href={ "/drive?slack_mm=" (measure::shown::number(slack_mm, 2)) "+mm" } { "Is that right?" }
            }
        }
    }
}
