//! "Will it fit?": the verdict with its reasons, the axle in its slot, which chain to order or cut.

use advice::fit::{self, FitView};
use advice::{Setup, Table, Verdict};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::super::answer;
use super::ANSWER;
use super::question::{Question, address};
use super::slot::slot;
use crate::frame::table::{Column, Row, table};
use crate::frame::verdict::tag_saying;
use crate::frame::{actions, live_part};

/// The page around the answer.
pub(super) fn page(question: &Question, part: &Markup) -> Markup {
    html! {
        h1 { "Will it fit?" }
        (question.summary())
        form method="get" action="/gearing/fit" data-live=(ANSWER) {
            (question.counts())
            (actions(&html! { button type="submit" class="button primary" { "See whether it fits" } }))
        }
        (part)
    }
}

/// The answer; what cannot be answered because of a typed count is a fault of that field.
pub(super) fn part(bike: &Bike, question: &mut Question) -> Markup {
    if let Some(fault) = question.first_fault() {
        return live_part(ANSWER, fault, &question.faults_in_part());
    }
    match fit::view(bike, question.setup) {
        Ok(view) => {
            let said = format!("{}: {}.", view.place.setup, view.place.verdict.fit_words());
            live_part(ANSWER, &said, &answered(&view))
        }
        Err(gap) if question.takes(&gap) => live_part(ANSWER, &gap.text, &question.faults_in_part()),
        Err(gap) => live_part(ANSWER, &gap.text, &answer::gap(&gap)),
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
    let columns: Vec<Column<'_>> = view
        .columns
        .iter()
        .map(|column| if column.numeric { Column::digits(&column.label, "") } else { Column::words(&column.label) })
        .collect();
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
    html! { @if !rows.is_empty() { (table(view.key, &view.caption, &columns, &rows)) } }
}

/// The words of a fit with their shape.
pub(super) fn fit_tag(words: &str) -> Markup {
    let all = [Verdict::Ready, Verdict::Care, Verdict::Unknown, Verdict::Stop];
    match all.into_iter().find(|verdict| verdict.fit_words() == words) {
        Some(verdict) => tag_saying(verdict, words),
        None => html! { (words) },
    }
}
