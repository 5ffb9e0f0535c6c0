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

use axum::response::Response;
use axum::routing::get;

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
async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let answering = move || {
        let mut question = Question::read(&bike, typed);
        let part = view::part(&bike, &mut question);
        (question, part)
    };
    let (question, part) = beside(answering).await?;
    if visit.wants(ANSWER) {
        return Ok(visit.fragment(part));
    }
    let page = view::page(&question, &part);
    Ok(question.typed.answer(&visit, HEAD, &page))
}
