//! The page about the drive: the question in short, the verdict with its reasons, what to do, then pictures and figures.

use advice::Gap;
use advice::slack::{self, SlackView};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::super::answer::{self, fact_list, reason_list_to};
use super::super::bike::sentence as plain;
use super::super::choose;
use super::super::gearing::address;
use super::ANSWER;
use super::question::Question;
use super::{bench, picture};
use crate::frame::notice::notice;
use crate::frame::verdict::{Verdict, tag_saying, verdict};
use crate::frame::{actions, details, live_part};

/// The page around the answer.
pub(super) fn page(question: &Question, part: &Markup, read_last: &Markup) -> Markup {
    html! {
        (question.typed.not_answered())
        (read_last)
        form method="get" action="/drive" data-live=(ANSWER) {
            (question.fields())
            (actions(&html! { button type="submit" class="button primary" { "Is it right?" } }))
        }
        (part)
    }
}

/// The answer; what cannot be answered because of what was typed is a fault of that field.
pub(super) fn part(bike: &Bike, question: &mut Question) -> Markup {
    if !question.typed.is_faulty() {
        let answered = question.setup.clone().and_then(|setup| slack::view(bike, setup, question.read));
        match answered {
            Ok(view) => return live_part(ANSWER, &said(&view), &inside(bike, question, &view)),
            Err(gap) if question.takes(&gap) => {}
            Err(gap) => return live_part(ANSWER, &gap.text, &not_known(&gap)),
        }
    }
    let first = question.typed.faults().first().map_or("", |fault| &fault.text);
    live_part(ANSWER, first, &html! { h1 { "Final drive" } (question.faults_in_part()) })
}

fn said(view: &SlackView) -> String {
    format!("{}. {}", view.verdict.words(), view.reasons.first().map_or("", |reason| &reason.text))
}

/// What the sheet lacks: nobody can say, and how to find it.
fn not_known(gap: &Gap) -> Markup {
    html! {
        (verdict(Verdict::Unknown, "The bike sheet lacks a figure that this needs.", &html! {}))
        (answer::gap(gap))
        (bench::measuring(false))
    }
}

fn inside(bike: &Bike, question: &Question, view: &SlackView) -> Markup {
    let has_reading = question.read.slack_mm.is_some();
    let set_to = view.facts.first().map_or("", |fact| &fact.text);
    let sentence = format!("Set to {set_to} for {}.", view.place.setup);
    let (deciding, others) = view.facts.split_at(view.facts.len().min(4));
    html! {
        (verdict(view.verdict, &sentence, &html! {}))
        @for echo in question.echoes() { p class="soft" { (echo) } }
        (reason_list_to(&view.reasons, |place| match place {
            "drive" if has_reading => "#adjust".to_owned(),
            "drive" => "#measure".to_owned(),
            other => format!("/{other}"),
        }))
        @if !question.asks_what_is_fitted() { (fit(view)) }
        (bench::setting(bike, view))
        (bench::measuring(has_reading))
        h2 { "The reading to set" }
        (fact_list(deciding))
        (alignment(view, question))
        (picture::pictures(view, question.read.slack_mm))
        (details("The figures behind it", &html! {
            p { "A free reading is the whole way of the run, up and down. A gap reading is the chain lifted off the swingarm. Neither is ever turned into the other." }
            (fact_list(others))
        }))
        @for note in &view.notes { (notice(&plain("", note))) }
        h2 { "Chain and sprockets as a set" }
        (choose::elsewhere())
    }
}

/// Whether a setup that is only thought of reaches its place at all.
fn fit(view: &SlackView) -> Markup {
    let place = &view.place;
    html! {
        p class="verdict-line" {
            (tag_saying(place.verdict, place.verdict.fit_words())) " " (place.setup) ". "
            a href=(address("/gearing/fit", place.setup)) { "Where the axle comes to stand" } "."
        }
    }
}

fn alignment(view: &SlackView, question: &Question) -> Markup {
    html! {
        h2 { "Is the wheel straight?" }
        @if question.read.left_mm.is_none() {
            p { "Measure pivot centre to axle centre on both sides and type both; marks on the swingarm are too coarse to show it." }
        }
        (fact_list(&view.alignment))
    }
}
