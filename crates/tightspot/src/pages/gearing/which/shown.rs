//! The answer to "which pair?", the answer first.

use advice::Verdict;
use advice::demand;
use advice::gearing::{self, GearingView, Swap};
use advice::proposal::Proposal;
use maud::{Markup, html};

use super::{Known, Other};
use crate::frame::details;
use crate::frame::notice::notice;
use crate::frame::table::{Column, Row, table};
use crate::frame::verdict::tag_saying;
use crate::pages::answer;
use crate::pages::gearing::question::address;
use crate::pages::gearing::speeds::speeds;

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
        (on_what(known))
        @match &view.proposal {
            Some(proposal) => (proposed(known, proposal, view.replay.is_some())),
            None => p class="lead" { (fitted) " is fitted. " (first_note(known)) },
        }
        @if known.ride.as_ref().is_some_and(|ride| ride.ride.made) {
            (notice("This ride is synthetic: it was made for trying the tool, nobody rode it."))
        }
        (speeds(&pairs, demand))
        @if demand.is_some() {
            h2 { "What the ride asked" }
            (answer::fact_list(&view.demand_facts))
            (answer::table_of(&view.share_table, |pair| pair == fitted.pair_words()))
        } @else {
            (answer::fact_list(&view.facts))
        }
        h2 { "A tooth or two either way" }
        (swaps(known, &view.swaps))
        (details("Pairs of nearly the same ratio", &answer::table_of(&view.near, |_| false)))
        (details("The gears in figures", &answer::table_of(&gearing::gear_table(&view.gears, fitted), |_| false)))
        h2 { "What to know" }
        ul { @for note in &view.notes { li { (note) } } }
        p class="buttons" {
            a class="button small" href="/gearing/map" { "What fits: the map" }
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

/// Which ride on which ground.
fn on_what(known: &Known) -> Markup {
    html! {
        @if let Some(ride) = &known.ride {
            p {
                "For ground like that of " a href={ "/rides/" (ride.id) } { (ride.ride.name) }
                ", taken as " (known.ground.name) "."
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
            }
        }
    }
}

/// What one tooth changes, both senses spelled out, with the fit as word and shape.
fn swaps(known: &Known, all: &[Swap]) -> Markup {
    let fitted = known.question.fitted;
    let columns = [Column::words("Pair"), Column::words("Means"), Column::words("On the fitted chain")];
    let rows: Vec<Row> = all
        .iter()
        .map(|swap| {
            Row::of([
                html! { a href=(known.address(swap.setup)) { (swap.setup.pair_words()) } },
                html! { (swap.words) },
                html! {
                    (tag_saying(swap.fit, swap.fit.fit_words()))
                    @if swap.fit != Verdict::Ready && !swap.fit_words.is_empty() { " " (swap.fit_words) }
                },
            ])
        })
        .collect();
    html! { @if !rows.is_empty() { (table("swaps", &format!("One or two teeth from {}", fitted.pair_words()), &columns, &rows)) } }
}
