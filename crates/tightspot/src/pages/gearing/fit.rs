//! "Will it fit?": the verdict with its reasons, the axle in its slot, which chain to order or cut.

use advice::fit::{self, FitView};
use advice::{Gap, Setup, Table, Verdict};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::question::{Question, address};
use super::slot::slot;
use super::{ANSWER, Asked};
use crate::frame::table::{Row, table};
use crate::frame::verdict::tag_saying;
use crate::frame::{Head, Place, actions};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    view: Result<FitView, Gap>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("Will it fit?", Place::Gearing);

    fn ask(_: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let (question, view) = Question::asking(fitted, typed, |setup| fit::view(bike, setup));
        Self { question, view }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        match &self.view {
            Ok(view) => format!("{}: {}.", view.place.setup, view.place.verdict.fit_words()),
            Err(gap) => gap.text.clone(),
        }
    }

    fn answer(&self) -> Markup {
        self.view.as_ref().map_or_else(answer::gap, answered)
    }

    fn page(&self, answer: &Markup) -> Markup {
        html! {
            form method="get" action="/gearing/fit" data-live=(ANSWER) {
                (self.question.counts())
                (actions(&html! { button type="submit" class="button primary" { "See whether it fits" } }))
            }
            (answer)
        }
    }
}

fn answered(view: &FitView) -> Markup {
    let place = &view.place;
    html! {
        p class="verdict-line" { (tag_saying(place.verdict, place.verdict.fit_words())) " " (place.setup) "." }
        (answer::reason_list(&place.reasons))
        div class="narrow" { (slot(place)) }
        h2 { "Which chain to order or cut" }
        p { (view.chain) }
        h2 { "Figures" }
        (answer::fact_list(&view.facts))
        (same_chain(&view.same_chain, place.setup))
        p class="buttons" {
            a class="button small" href=(address("/gearing/map", place.setup)) { "What else fits: the map" }
            a class="button small" href=(address("/gearing", place.setup)) { "What this pair does" }
            a class="button small" href={ (address("/parts/check", place.setup)) "&what=sprockets" } { "Before buying it" }
        }
    }
}

/// The pairs around it on the same chain; each leads to its own page.
fn same_chain(view: &Table, setup: Setup) -> Markup {
    let rows = view.rows.iter().map(|cells| {
        let rear = cells.first().and_then(|cell| cell.text.parse().ok()).unwrap_or(setup.rear_teeth);
        let row = Row::of(cells.iter().enumerate().map(|(n, cell)| match n {
            0 => html! { a href=(address("/gearing/fit", setup.pair(setup.front_teeth, rear))) { (cell.text) } },
            1 => fit_tag(&cell.text),
            _ => html! { (cell.text) },
        }));
        if rear == setup.rear_teeth { row.marked() } else { row }
    });
    let rows: Vec<Row> = rows.collect();
    html! { @if !rows.is_empty() { (table(view.key, &view.caption, &answer::columns(view), &rows)) } }
}

/// The words of a fit with their shape.
pub(super) fn fit_tag(words: &str) -> Markup {
    let all = [Verdict::Ready, Verdict::Care, Verdict::Unknown, Verdict::Stop];
    match all.into_iter().find(|verdict| verdict.fit_words() == words) {
        Some(verdict) => tag_saying(verdict, words),
        None => html! { (words) },
    }
}
