//! Gearing: which pair for this ground, whether it fits, and the map of what fits.
//!
//! Layout: [`question`] typed text → setup and faults · [`laid`] which rides, how often each counts · [`kept`] replays
//! kept for the next look · [`which`] the pair for this ground · [`mod@speeds`] its gears and the ride as a picture ·
//! [`wish`] without a ride · [`stretch`] a part of one · [`like`] another bike · [`season`] · [`outcome`] of a change ·
//! [`fit`] · [`slot`] the axle in its slot, to scale · [`map`] · here the one handler of all.

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

use advice::{Gap, Setup};
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::answer;
use super::typed::Typed;
use crate::frame::{Head, live_part};
use crate::serve::{AppState, Page, Visit, beside};
pub(super) use kept::{Brought, replayed};
pub(super) use laid::Laid;
use question::Question;
pub(super) use question::address;
pub(super) use speeds::speeds;
pub(super) use stretch::FROM_TO;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::new("/gearing", "Gearing: which pair for this ground", || get(show::<which::Known>))
        .at(|_| at("/gearing", &WHICH)),
    Page::new("/gearing/fit", "Will it fit?", || get(show::<fit::Known>)).at(|_| at("/gearing/fit", &FITS)),
    Page::new("/gearing/map", "What fits: the map", || get(show::<map::Known>)).at(|_| at("/gearing/map", &MAPS)),
    Page::new("/gearing/wish", "How slow, how fast?", || get(show::<wish::Known>)).at(|_| at("/gearing/wish", &WISHES)),
    Page::new("/gearing/stretch", "A stretch of a ride", || get(show::<stretch::Known>))
        .at(|_| at("/gearing/stretch", &STRETCHES)),
    Page::new("/gearing/like", "Like another bike", || get(show::<like::Known>)).at(|_| at("/gearing/like", &LIKES)),
    Page::new("/gearing/season", "Sprockets for a season", || get(show::<season::Known>))
        .at(|_| at("/gearing/season", &SEASONS)),
    Page::new("/gearing/outcome", "Did a change help?", || get(show::<outcome::Known>))
        .at(|_| at("/gearing/outcome", &OUTCOMES)),
];

const WHICH: [&str; 8] = [
    "",
    "?ride=none",
    "?front_teeth=13&rear_teeth=48&links=118&ride=none",
    "?front_teeth=13&ground=sand",
    "?links=117",
    "?ride=several&half_life_d=60&one_gear_step=1.2&shelf=13",
    "?ride=1&weight_1=-1&half_life_d=x&clutch_slip=x",
    "?front_teeth=x&rear_teeth=-4&ride=99&ground=ice",
];
const FITS: [&str; 5] = ["", "?rear_teeth=46", "?rear_teeth=52&links=118", "?links=117", "?front_teeth=&rear_teeth=4x"];
const MAPS: [&str; 3] = ["", "?front_teeth=12&rear_teeth=44&links=114", "?rear_teeth=900"];
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

/// What a page about gearing was asked, and what came of it.
trait Asked: Sized + Send + 'static {
    /// The page's head.
    const HEAD: Head<'static>;

    /// Reads what was typed, and asks.
    fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self;

    /// What was asked.
    fn question(&self) -> &Question;

    /// What is read out when the answer was renewed.
    fn said(&self) -> String;

    /// The answer, of a question without fault.
    fn answer(&self) -> Markup;

    /// The page around the answer.
    fn page(&self, answer: &Markup) -> Markup;
}

/// What is read out of an answer: its headline, or what is missing for it; nothing where nothing was asked.
fn said<V>(view: Option<&Result<V, Gap>>, headline: impl FnOnce(&V) -> &String) -> String {
    match view {
        Some(Ok(view)) => headline(view).clone(),
        Some(Err(gap)) => gap.text.clone(),
        None => String::new(),
    }
}

/// An answer, or what is missing for it; nothing where nothing was asked.
fn answered<V>(view: Option<&Result<V, Gap>>, shown: impl FnOnce(&V) -> Markup) -> Markup {
    match view {
        Some(Ok(view)) => shown(view),
        Some(Err(gap)) => answer::gap(gap),
        None => html! {},
    }
}

/// The whole page or the answer alone; faults make it 422.
async fn show<A: Asked>(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let fitted = match Setup::fitted(&bike) {
        Ok(fitted) => fitted,
        Err(gap) => return Ok(visit.show(A::HEAD, &html! { h1 { (A::HEAD.title) } (answer::gap(&gap)) })),
    };
    let asked = beside(move || A::ask(&state, &bike, fitted, typed)).await?;
    let question = asked.question();
    let part = match question.first_fault() {
        Some(fault) => live_part(ANSWER, fault, &question.faults_in_part()),
        None => live_part(ANSWER, &asked.said(), &asked.answer()),
    };
    if visit.wants(ANSWER) {
        return Ok(visit.fragment(part));
    }
    let main = html! { (question.summary()) h1 { (A::HEAD.title) } (asked.page(&part)) };
    Ok(if question.is_faulty() { visit.show_faults(A::HEAD, &main) } else { visit.show(A::HEAD, &main) })
}
