//! Without a recorded ride: how slow it must crawl, how fast it must go, and the smallest change that does both.

use advice::Setup;
use advice::wish::{self, Wish, WishView};
use maud::{Markup, html};
use measure::bounds::gearing as bounds;
use upkeep::bike::Bike;

use super::laid::SHELF;
use super::question::{Question, address};
use super::{ANSWER, Asked};
use crate::asked::Door;
use crate::frame::field::Field;
use crate::frame::{Head, Place, actions};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// The crawl that stands in the form: a walking rider's pace uphill.
const CRAWL_KMH: &str = "12";

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    view: Option<Result<WishView, advice::Gap>>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("How slow, how fast?", Place::Gearing);

    fn ask(_: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let mut question = Question::read(fitted, typed);
        let mut door = Door::default();
        let crawl = question.text("crawl_kmh").unwrap_or(CRAWL_KMH);
        let crawl_kmh = door.number("crawl_kmh", Some(crawl), &bounds::TOP_KMH);
        let top_kmh = door.number("top_kmh", question.text("top_kmh"), &bounds::TOP_KMH);
        let shelf = door.shelf(question.text("shelf"));
        question.fault_all(door.faults);
        if crawl_kmh.is_none() && !question.is_faulty() {
            question.fault_at("crawl_kmh", "Give the slowest speed that shall be ridden with the clutch fully out.");
        }
        let view = crawl_kmh
            .filter(|_| !question.is_faulty())
            .map(|crawl_kmh| wish::view(bike, Wish { crawl_kmh, top_kmh }, &shelf));
        Self { question, view }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        super::said(self.view.as_ref(), |view| &view.headline)
    }

    fn answer(&self) -> Markup {
        super::answered(self.view.as_ref(), shown)
    }

    fn page(&self, answer: &Markup) -> Markup {
        let typed = self.question.typed();
        let crawl = Field::decimal("crawl_kmh", "Slowest with the clutch fully out", "km/h").value(CRAWL_KMH);
        html! {
            p { "No ride is needed for this: what the ground asks at its slowest and its fastest." }
            form method="get" action="/gearing/wish" data-live=(ANSWER) {
                div class="form-grid" {
                    (typed.field(crawl))
                    (typed.field(Field::decimal("top_kmh", "Fastest", "km/h").optional()))
                }
                (typed.field(SHELF))
                (actions(&html! { button type="submit" class="button primary" { "Which pair does it?" } }))
            }
            (answer)
        }
    }
}

fn shown(view: &WishView) -> Markup {
    html! {
        (answer::blocks(view.blocks().get(1..).unwrap_or_default()))
        @if let Some(setup) = view.change_to {
            p class="buttons" {
                a class="button small" href=(address("/gearing/fit", setup)) { "Will " (setup.pair_words()) " fit?" }
                a class="button small" href=(address("/jobs/plan", setup)) { "Plan the job" }
            }
        }
    }
}
