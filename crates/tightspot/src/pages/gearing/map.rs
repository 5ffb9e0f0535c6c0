//! The map of what fits: a table of pairs, each chain in it leading to its own page.

use advice::fit::CARE_ROOM_MM;
use advice::map::{self, Chain, MapView, Square};
use advice::words::quantity;
use advice::{Gap, Setup, Verdict};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::question::{Question, address};
use super::{ANSWER, Asked};
use crate::frame::table::{Column, Row, table};
use crate::frame::{Head, Place, actions};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    view: Result<MapView, Gap>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("What fits?", Place::Gearing);

    fn ask(_: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let (question, view) = Question::asking(fitted, typed, |setup| map::view(bike, setup));
        Self { question, view }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        match &self.view {
            Ok(_) => format!("Map around {}.", self.question.setup),
            Err(gap) => gap.text.clone(),
        }
    }

    fn answer(&self) -> Markup {
        self.view.as_ref().map_or_else(answer::gap, |view| drawn(view, self.question.fitted))
    }

    fn page(&self, map: &Markup) -> Markup {
        html! {
            (map)
            h2 { "The map around another pair" }
            form method="get" action="/gearing/map" data-live=(ANSWER) {
                (self.question.counts())
                (actions(&html! { button type="submit" class="button primary" { "Draw the map" } }))
            }
        }
    }
}

fn drawn(view: &MapView, fitted: Setup) -> Markup {
    let heads: Vec<String> = view.fronts.iter().map(|front| front.to_string()).collect();
    let mut columns = vec![Column::words("Rear \\ front")];
    columns.extend(heads.iter().map(|head| Column::words(head)));
    let rows: Vec<Row> = view
        .rears
        .iter()
        .zip(&view.squares)
        .map(|(rear, squares)| {
            let row = Row::of(std::iter::once(html! { (rear) }).chain(squares.iter().map(|one| square(one, fitted))));
            if *rear == view.fitted.rear_teeth { row.marked() } else { row }
        })
        .collect();
    html! {
        p {
            "Each number is a chain, in links, that puts the axle between the stops. "
            b { "!" } " less than " (quantity(CARE_ROOM_MM, "mm", 0)) " to a stop; " b { "*" } " fitted; – no even count reaches. Press one to see it judged."
        }
        (table("map", &view.table.caption, &columns, &rows))
        @for note in view.notes.iter().skip(1) { p { (note) } }
    }
}

fn square(square: &Square, fitted: Setup) -> Markup {
    html! {
        @if square.chains.is_empty() { span class="unseen" { "none" } "–" }
        @for chain in &square.chains { (chain_link(square.setup, chain, fitted)) " " }
    }
}

fn chain_link(pair: Setup, chain: &Chain, fitted: Setup) -> Markup {
    let setup = pair.with_links(chain.links);
    let (care, own) = (chain.verdict == Verdict::Care, setup == fitted);
    let class = match (care, own) {
        (true, false) => Some("care"),
        (_, true) => Some("fitted"),
        (false, false) => None,
    };
    html! {
        a class=[class] href=(address("/gearing/fit", setup)) {
            (chain.links)
            @if care { "!" span class="unseen" { " with care" } }
            @if own { "*" span class="unseen" { " fitted" } }
            span class="unseen" { ", " (pair.pair_words()) }
        }
    }
}
