//! Without a recorded ride: how slow it must crawl, how fast it must go, and the smallest change that does both.

use advice::Setup;
use advice::wish::{self, Wish, WishView};
use maud::{Markup, html};
use measure::bounds::gearing as bounds;
use upkeep::bike::Bike;

use super::ANSWER;
use super::question::{Question, address};
use crate::asked::{Door, Faulty};
use crate::frame::field::{Field, field};
use crate::frame::{actions, live_part};
use crate::pages::answer;

/// The crawl that stands in the form: a walking rider's pace uphill.
const CRAWL_KMH: &str = "12";

/// What was asked, and what came of it.
pub(super) struct Known {
    /// What was asked.
    pub(super) question: Question,
    view: Option<Result<WishView, advice::Gap>>,
}

impl Known {
    /// Reads the wish and asks.
    pub(super) fn ask(bike: &Bike, fitted: Setup, typed: Vec<(String, String)>) -> Self {
        let mut question = Question::read(fitted, typed);
        let mut door = Door::default();
        let crawl = question.text("crawl_kmh").unwrap_or(CRAWL_KMH);
        let crawl_kmh = door.number("crawl_kmh", Some(crawl), &bounds::TOP_KMH);
        let top_kmh = door.number("top_kmh", question.text("top_kmh"), &bounds::TOP_KMH);
        let shelf = door.shelf(question.text("shelf"));
        question.fault_all(door.faults);
        if crawl_kmh.is_none() && question.first_fault().is_none() {
            let text = "Give the slowest speed that shall be ridden with the clutch fully out.".to_owned();
            question.faults.push(Faulty { field: "crawl_kmh", text });
        }
        let view = crawl_kmh
            .filter(|_| question.first_fault().is_none())
            .map(|crawl_kmh| wish::view(bike, Wish { crawl_kmh, top_kmh }, &shelf));
        Self { question, view }
    }
}

/// The answer part.
pub(super) fn part(known: &Known) -> Markup {
    let question = &known.question;
    if let Some(fault) = question.first_fault() {
        return live_part(ANSWER, fault, &question.faults_in_part());
    }
    match &known.view {
        Some(Ok(view)) => live_part(
            ANSWER,
            &view.headline,
            &html! {
                (answer::blocks(view.blocks().get(1..).unwrap_or_default()))
                @if let Some(setup) = view.change_to {
                    p class="buttons" {
                        a class="button small" href=(address("/gearing/fit", setup)) { "Will " (setup.pair_words()) " fit?" }
                        a class="button small" href=(address("/jobs/plan", setup)) { "Plan the job" }
                    }
                }
            },
        ),
        Some(Err(gap)) => live_part(ANSWER, &gap.text, &answer::gap(gap)),
        None => live_part(ANSWER, "", &html! {}),
    }
}

/// The page around the answer.
pub(super) fn page(known: &Known, part: &Markup) -> Markup {
    let question = &known.question;
    let text = |name: &str| question.text(name).unwrap_or_default();
    let crawl = Field::decimal("crawl_kmh", "Slowest with the clutch fully out", "km/h")
        .value(question.text("crawl_kmh").unwrap_or(CRAWL_KMH))
        .fault(question.fault("crawl_kmh"));
    let top = Field::decimal("top_kmh", "Fastest", "km/h").value(text("top_kmh")).fault(question.fault("top_kmh"));
    let shelf = Field::text("shelf", "On the shelf")
        .hint("Teeth of sprockets, links of chains, such as 13, 50, 120.")
        .value(text("shelf"))
        .fault(question.fault("shelf"));
    html! {
        h1 { "How slow, how fast?" }
        (question.summary())
        p { "No ride is needed for this: what the ground asks at its slowest and its fastest." }
        form method="get" action="/gearing/wish" data-live=(ANSWER) {
            div class="form-grid" { (field(&crawl)) (field(&top.optional())) }
            (field(&shelf.optional()))
            (actions(&html! { button type="submit" class="button primary" { "Which pair does it?" } }))
        }
        (part)
    }
}
