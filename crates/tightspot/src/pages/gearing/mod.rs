//! Gearing: which pair for this ground, whether it fits, and the map of what fits.
//!
//! Layout: [`question`] typed text → setup, ride, ground · [`kept`] replays kept for the next look · [`which`] the
//! pair for this ground · [`mod@speeds`] its gears and the ride as a picture · [`fit`] · [`slot`] the axle in its slot,
//! to scale · [`map`] · here the handlers.

mod fit;
mod kept;
mod map;
mod question;
mod slot;
mod speeds;
#[cfg(test)]
mod tests;
mod which;

use advice::Setup;
use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::answer;
use crate::frame::{Head, Place};
use crate::serve::{AppState, Fault, Page, Visit};
pub(super) use kept::{Brought, replayed};
use question::Question;
pub(super) use speeds::speeds;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::new("/gearing", "Gearing: which pair for this ground", || get(show_which)).at(which_visits),
    Page::new("/gearing/fit", "Will it fit?", || get(show_fit)).at(fit_visits),
    Page::new("/gearing/map", "What fits: the map", || get(show_map)).at(map_visits),
];

/// The part that is answered alone.
const ANSWER: &str = "answer";
/// What is typed, as an address has it.
type Typed = Query<Vec<(String, String)>>;

fn which_visits(_: &AppState) -> Vec<String> {
    [
        "",
        "?ride=none",
        "?front_teeth=13&rear_teeth=48&links=118&ride=none",
        "?front_teeth=13&ground=sand",
        "?links=117",
        "?front_teeth=x&rear_teeth=-4&ride=99&ground=ice",
    ]
    .map(|query| format!("/gearing{query}"))
    .to_vec()
}

fn fit_visits(_: &AppState) -> Vec<String> {
    ["", "?rear_teeth=46", "?rear_teeth=52&links=118", "?links=117", "?front_teeth=&rear_teeth=4x"]
        .map(|query| format!("/gearing/fit{query}"))
        .to_vec()
}

fn map_visits(_: &AppState) -> Vec<String> {
    ["", "?front_teeth=12&rear_teeth=44&links=114", "?rear_teeth=900"]
        .map(|query| format!("/gearing/map{query}"))
        .to_vec()
}

/// The bike and what is fitted, or the page that says what is missing.
#[expect(clippy::result_large_err, reason = "the other way out is a whole page, answered once a visit")]
fn fitted(visit: &Visit, head: Head<'_>) -> Result<(Bike, Setup), Response> {
    let bike = visit.bike()?;
    match Setup::fitted(bike) {
        Ok(fitted) => Ok((bike.clone(), fitted)),
        Err(gap) => Err(visit.show(head, &html! { h1 { (head.title) } (answer::gap(&gap)) })),
    }
}

/// Runs what takes longer than a glance beside the server's own work.
async fn beside<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T, Response> {
    tokio::task::spawn_blocking(work).await.map_err(|cause| Fault::broken(&cause).into_response())
}

/// The whole page or the part asked for; faults make it 422.
fn told(
    visit: &Visit,
    head: Head<'_>,
    question: &Question,
    answer: Markup,
    around: impl Fn(&Markup) -> Markup,
) -> Response {
    if visit.wants(ANSWER) {
        return visit.fragment(answer);
    }
    let page = around(&answer);
    if question.faults.is_empty() { visit.show(head, &page) } else { visit.show_faults(head, &page) }
}

const WHICH: Head<'static> = Head::new("Which pair for this ground?", Place::Gearing);

async fn show_which(visit: Visit, State(state): State<AppState>, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, WHICH)?;
    let known = beside(move || which::Known::ask(&state, bike, fitted, typed)).await?;
    let part = which::part(&known);
    Ok(told(&visit, WHICH, &known.question, part, |part| which::page(&known, part)))
}

const FIT: Head<'static> = Head::new("Will it fit?", Place::Gearing);

async fn show_fit(visit: Visit, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, FIT)?;
    let mut question = Question::read(fitted, typed);
    let part = fit::part(&bike, &mut question);
    Ok(told(&visit, FIT, &question, part, |part| fit::page(&question, part)))
}

const MAP: Head<'static> = Head::new("What fits?", Place::Gearing);

async fn show_map(visit: Visit, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, MAP)?;
    let (question, part) = beside(move || {
        let mut question = Question::read(fitted, typed);
        let part = map::part(&bike, &mut question);
        (question, part)
    })
    .await?;
    Ok(told(&visit, MAP, &question, part, |part| map::page(&question, part)))
}
