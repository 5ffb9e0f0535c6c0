//! Gearing: which pair for this ground, whether it fits, and the map of what fits.
//!
//! Layout: [`question`] typed text → setup and faults · [`laid`] which rides, how often each counts · [`kept`] replays
//! kept for the next look · [`which`] the pair for this ground · [`mod@speeds`] its gears and the ride as a picture ·
//! [`wish`] without a ride · [`stretch`] a part of one · [`like`] another bike · [`season`] · [`outcome`] of a change ·
//! [`fit`] · [`slot`] the axle in its slot, to scale · [`map`] · here the handlers.

mod fit;
mod kept;
mod laid;
mod like;
mod map;
mod outcome;
mod question;
mod season;
mod slot;
mod speeds;
mod stretch;
#[cfg(test)]
mod tests;
mod which;
mod wish;

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
pub(super) use laid::Laid;
use question::Question;
pub(super) use speeds::speeds;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::new("/gearing", "Gearing: which pair for this ground", || get(show_which)).at(which_visits),
    Page::new("/gearing/fit", "Will it fit?", || get(show_fit)).at(fit_visits),
    Page::new("/gearing/map", "What fits: the map", || get(show_map)).at(map_visits),
    Page::new("/gearing/wish", "How slow, how fast?", || get(show_wish)).at(|_| at("/gearing/wish", &WISHES)),
    Page::new("/gearing/stretch", "A stretch of a ride", || get(show_stretch))
        .at(|_| at("/gearing/stretch", &STRETCHES)),
    Page::new("/gearing/like", "Like another bike", || get(show_like)).at(|_| at("/gearing/like", &LIKES)),
    Page::new("/gearing/season", "Sprockets for a season", || get(show_season)).at(|_| at("/gearing/season", &SEASONS)),
    Page::new("/gearing/outcome", "Did a change help?", || get(show_outcome)).at(|_| at("/gearing/outcome", &OUTCOMES)),
];

const WISHES: [&str; 4] =
    ["", "?crawl_kmh=9&top_kmh=90&shelf=13", "?crawl_kmh=1", "?crawl_kmh=slow&top_kmh=-1&shelf=7"];
const STRETCHES: [&str; 4] = [
    "",
    "?ride=1&from_s=4:20&to_s=7:05",
    "?from_s=4:20&to_s=7:05&pairs=13/48,14/50&ground=sand",
    "?ride=99&from_s=4.20&to_s=&pairs=x",
];
const LIKES: [&str; 3] = ["", "?other=sorrel-250&by=thrust", "?other=none&by=feel"];
const SEASONS: [&str; 3] = ["", "?season=1&shelf=13,50", "?shelf=x"];
const OUTCOMES: [&str; 3] = ["", "?old=14/48&new=13/48&ground=trail", "?old=x&new=13/900&ground=ice"];

/// A page asked several questions.
fn at(page: &str, queries: &[&str]) -> Vec<String> {
    queries.iter().map(|query| format!("{page}{query}")).collect()
}

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
        "?ride=several&half_life_d=60&one_gear_step=1.2&shelf=13",
        "?ride=1&weight_1=-1&half_life_d=x&clutch_slip=x",
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
    crate::serve::beside(work).await.map_err(|cause| Fault::broken(&cause).into_response())
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
    if question.first_fault().is_none() { visit.show(head, &page) } else { visit.show_faults(head, &page) }
}

const WHICH: Head<'static> = Head::new("Which pair for this ground?", Place::Gearing);

async fn show_which(visit: Visit, State(state): State<AppState>, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, WHICH)?;
    let known = beside(move || which::Known::ask(&state, &bike, fitted, typed)).await?;
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

const WISH: Head<'static> = Head::new("How slow, how fast?", Place::Gearing);

async fn show_wish(visit: Visit, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, WISH)?;
    let known = beside(move || wish::Known::ask(&bike, fitted, typed)).await?;
    let part = wish::part(&known);
    Ok(told(&visit, WISH, &known.question, part, |part| wish::page(&known, part)))
}

const STRETCH: Head<'static> = Head::new("A stretch of a ride", Place::Gearing);

async fn show_stretch(visit: Visit, State(state): State<AppState>, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, STRETCH)?;
    let known = beside(move || stretch::Known::ask(&state, &bike, fitted, typed)).await?;
    let part = stretch::part(&known);
    Ok(told(&visit, STRETCH, &known.question, part, |part| stretch::page(&known, part)))
}

const LIKE: Head<'static> = Head::new("Like another bike", Place::Gearing);

async fn show_like(visit: Visit, State(state): State<AppState>, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, LIKE)?;
    let known = beside(move || like::Known::ask(&state, &bike, fitted, typed)).await?;
    let part = like::part(&known);
    Ok(told(&visit, LIKE, &known.question, part, |part| like::page(&known, part)))
}

const SEASON: Head<'static> = Head::new("Sprockets for a season", Place::Gearing);

async fn show_season(visit: Visit, State(state): State<AppState>, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, SEASON)?;
    let known = beside(move || season::Known::ask(&state, &bike, fitted, typed)).await?;
    let part = season::part(&known);
    Ok(told(&visit, SEASON, &known.question, part, |part| season::page(&known, part)))
}

const OUTCOME: Head<'static> = Head::new("Did a change help?", Place::Gearing);

async fn show_outcome(visit: Visit, State(state): State<AppState>, Query(typed): Typed) -> Result<Response, Response> {
    let (bike, fitted) = fitted(&visit, OUTCOME)?;
    let known = beside(move || outcome::Known::ask(&state, &bike, fitted, typed)).await?;
    let part = outcome::part(&known);
    Ok(told(&visit, OUTCOME, &known.question, part, |part| outcome::page(&known, part)))
}
