//! The answer to "which pair?", the answer first.

use advice::Verdict;
use advice::demand;
use advice::gearing::{self, GearingView, Swap};
use advice::proposal::Proposal;
use advice::words::{kmh, mm, number};
use maud::{Markup, html};

use super::{Known, Other};
use crate::frame::details;
use crate::frame::notice::notice;
use crate::frame::table::{Column, Row, table};
use crate::frame::verdict::tag_saying;
use crate::pages::answer;
use crate::pages::gearing::laid::One;
use crate::pages::gearing::question::address;
use crate::pages::gearing::speeds::speeds;

/// Rides named in the sentence at most.
const NAMED: usize = 4;

/// What is read out when the part was renewed.
pub(super) fn said(known: &Known) -> String {
    if let Some(other) = &known.other {
        return format!("{}: {}.", other.setup, other.swap.words);
    }
    match &known.main {
        Ok(view) => {
            view.proposal.as_ref().map_or_else(|| "Answer renewed.".to_owned(), |proposal| proposal.headline.clone())
        }
        Err(gap) => gap.text.clone(),
    }
}

/// The whole answer.
pub(super) fn answer(known: &Known) -> Markup {
    html! {
        @if let Some(other) = &known.other { (asked_about(known, other)) }
        @match &known.main {
            Ok(view) => (from_view(known, view)),
            Err(gap) => {
                (answer::gap(gap))
                p { "Without it only ratios can be compared:" }
                (swaps(known, &known.swaps))
            }
        }
    }
}

/// The pair asked about, against the fitted one.
fn asked_about(known: &Known, other: &Other) -> Markup {
    let (fitted, swap) = (known.question.fitted, &other.swap);
    let shares = match (&known.main, &other.demand) {
        (Ok(view), Some(demand)) => view.demands.first().map(|first| demand::shares(&[first.clone(), demand.clone()])),
        _ => None,
    };
    html! {
        h2 {
            @if other.setup.links == fitted.links { (other.setup.pair_words()) " instead of " (fitted.pair_words()) }
            @else { (other.setup) " instead of " (fitted) }
        }
        p class="lead" { (swap.words) "." }
        p { (tag_saying(swap.fit, swap.fit.fit_words())) " " (swap.fit_words) }
        (answer::fact_list(&other.facts))
        @if let Some(shares) = shares {
            // The same table stands further down for the pairs replayed; this one has its own name.
            (answer::table_of(&advice::Table { key: "asked_shares", ..shares }, |_| false))
        }
        p class="buttons" {
            a class="button small" href=(address("/gearing/fit", other.setup)) { "Will it fit?" }
            a class="button small" href=(known.address(fitted)) { "Back to what is fitted" }
        }
    }
}

fn from_view(known: &Known, view: &GearingView) -> Markup {
    let fitted = view.fitted;
    let mut pairs = vec![(fitted, view.gears.as_slice())];
    if let Some(other) = known.other.as_ref().filter(|other| !other.setup.same_pair(fitted)) {
        pairs.push((other.setup, other.gears.as_slice()));
    }
    let demand = view.demands.first();
    html! {
        (on_what(known, view))
        @match &view.proposal {
            Some(proposal) => (proposed(known, proposal, view.replay.is_some())),
            None => p class="lead" { (fitted) " is fitted. " (first_note(known)) },
        }
        @if known.laid.made() {
            (notice("This ride is synthetic: it was made for trying the tool, nobody rode it."))
        }
        (candidates(known, view))
        (answer::table_of(&view.ride_table, |_| false))
        (speeds(&pairs, demand))
        @if demand.is_some() {
            (details("What the ride asked", &answer::fact_list(&view.demand_facts)))
            (answer::table_of(&view.share_table, |pair| pair == fitted.pair_words()))
        } @else {
            (answer::fact_list(&view.facts))
        }
        h2 { "A tooth or two either way" }
        (swaps(known, &view.swaps))
        (details("Pairs of nearly the same ratio", &answer::table_of(&view.near, |_| false)))
        (details("The gears in figures", &answer::table_of(&gearing::gear_table(&view.gears, fitted), |_| false)))
        (details("What to know", &html! { ul { @for note in &view.notes { li { (note) } } } }))
        p class="buttons" {
            a class="button small" href="/gearing/map" { "What fits: the map" }
            a class="button small" href="/gearing/wish" { "Without a ride: crawl and top" }
            a class="button small" href="/gearing/like" { "Like another bike" }
            a class="button small" href="/gearing/season" { "Sprockets for a season" }
            a class="button small" href="/gearing/outcome" { "Did a change help?" }
            a class="button small" href="/rides" { "Rides" }
        }
    }
}

fn first_note(known: &Known) -> &'static str {
    if known.rides.is_empty() {
        "Bring in a recorded ride under Rides, and the pairs are laid against it."
    } else {
        "Choose a ride above, and the pairs are laid against it."
    }
}

/// Which rides on which ground, how fast they were, and what room the axle has.
fn on_what(known: &Known, view: &GearingView) -> Markup {
    let counted: Vec<&One> = known.laid.all.iter().filter(|one| one.weight > 0.0).collect();
    let taken = known.laid.rides().grounds();
    html! {
        @if !counted.is_empty() {
            p {
                "For ground like that of "
                @for (n, one) in counted.iter().enumerate().take(NAMED) {
                    @if n > 0 { ", " }
                    a href={ "/rides/" (one.brought.id) } { (one.brought.ride.name) }
                    @if (one.weight - 1.0).abs() > f64::EPSILON { " (×" (number(one.weight, 2).trim_end_matches('0').trim_end_matches('.')) ")" }
                }
                @if counted.len() > NAMED { " and " (counted.len() - NAMED) " more" }
                ", taken as " (taken) "."
                @if let Some(demand) = view.demands.first() {
                    " A tenth of the time was slower than " (kmh(demand.slow_kmh)) ", the fast end is " (kmh(demand.fast_kmh)) "."
                }
            }
        }
        @if let Some(room) = &known.room {
            p {
                "On " (view.fitted) " the axle has " (mm(room.left_mm)) " to the rear stop and "
                (mm(room.from_front_mm)) " to the front one."
            }
        }
    }
}

fn proposed(known: &Known, proposal: &Proposal, replayed: bool) -> Markup {
    let fitted = known.question.fitted;
    let as_good = if replayed { "As good within 3 %: " } else { "As good within 1 % of clutch-slip time: " };
    html! {
        p class="lead" { (proposal.headline) }
        @if let Some(place) = &known.place {
            p {
                (tag_saying(place.verdict, place.verdict.fit_words()))
                @for reason in &place.reasons { " " (reason.text) }
            }
        }
        ul { @for one in &proposal.because { li { (one) } } }
        @if !proposal.as_good.is_empty() { p { (as_good) (proposal.as_good.join(", ")) "." } }
        @if !proposal.rival.is_empty() { p { "Next best: " (proposal.rival) "." } }
        p { b { "How sure: " } (proposal.certainty) "." }
        p { b { "What would change it: " } (proposal.changes) "." }
        @if proposal.setup != fitted {
            p class="buttons" {
                a class="button small" href=(address("/gearing/fit", proposal.setup)) { "Will " (proposal.setup.pair_words()) " fit?" }
                a class="button small" href=(known.address(proposal.setup)) { "Compare it with " (fitted.pair_words()) }
                a class="button small" href=(address("/jobs/plan", proposal.setup)) { "Plan the job" }
            }
        }
    }
}

/// What one tooth changes, both senses spelled out, with the fit as word and shape.
fn swaps(known: &Known, all: &[Swap]) -> Markup {
    let fitted = known.question.fitted;
    // Whether it fits comes first: on a phone the last column stands beyond the edge.
    let columns = [Column::words("Pair"), Column::words("On the fitted chain"), Column::words("Means")];
    let rows: Vec<Row> = all
        .iter()
        .map(|swap| {
            Row::of([
                html! { a href=(known.address(swap.setup)) { (swap.setup.pair_words()) } },
                html! {
                    (tag_saying(swap.fit, swap.fit.fit_words()))
                    @if swap.fit != Verdict::Ready && !swap.fit_words.is_empty() { " " (swap.fit_words) }
                },
                html! { (swap.words) },
            ])
        })
        .collect();
    html! { @if !rows.is_empty() { (table("swaps", &format!("One or two teeth from {}", fitted.pair_words()), &columns, &rows)) } }
}

/// The pairs worth showing with their parts, each after fit and slack; each leads to its own fit.
fn candidates(known: &Known, view: &GearingView) -> Markup {
    let fitted = view.fitted.pair_words();
    let rows: Vec<Row> = view
        .candidates
        .iter()
        .zip(&view.candidate_table.rows)
        .map(|(candidate, cells)| {
            let setup = candidate.replayed.setup;
            let row = Row::of(cells.iter().enumerate().map(|(n, cell)| match n {
                0 => html! { a href=(known.address(setup)) { (cell.text) } },
                3 => html! {
                    (tag_saying(candidate.verdict, candidate.verdict.fit_words()))
                    @if let Some(reason) = candidate.reasons.first() { " " (reason.text) }
                },
                _ => html! { (cell.text) },
            }));
            if setup.pair_words() == fitted { row.marked() } else { row }
        })
        .collect();
    html! { @if !rows.is_empty() { (table("candidates", &view.candidate_table.caption, &answer::columns(&view.candidate_table), &rows)) } }
}
