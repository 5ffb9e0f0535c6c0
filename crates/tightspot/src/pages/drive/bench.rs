//! What is done by hand: the cautions first, then how slack is measured, then how it is set.

use advice::adjust::Adjust;
use advice::slack::SlackView;
use advice::words::mm;
use maud::{Markup, html};
use upkeep::bike::Bike;

use crate::frame::details;
use crate::frame::number::signed;
use crate::frame::table::{Column, Row, table};
use crate::pages::bike::shown;
use crate::pages::cautions;

/// How slack is measured, in three sentences.
fn how_to_measure() -> Markup {
    html! {
        ol {
            li { "Bike on the stand, wheel hanging: turn the wheel by hand, a quarter turn at a time for three turns, and mark the place where the lower run moves least." }
            li { "At that place, midway along the lower run, push the chain fully down and hold a rule beside it, then push it fully up, square to the run: the whole way is the reading." }
            li { "Take the tightest place only, never the mean, and read it again after the axle nut is tight." }
        }
    }
}

/// Measuring, with its cautions in front; open where there is no reading yet.
pub(super) fn measuring(has_reading: bool) -> Markup {
    html! {
        section id="measure" {
            @if has_reading {
                (details("How slack is measured", &how_to_measure()))
            } @else {
                h2 { "Measure the slack" }
                (cautions::by_hand())
                (how_to_measure())
            }
        }
    }
}

/// Setting: how far, in which rounds, and what comes after the last one.
pub(super) fn setting(bike: &Bike, view: &SlackView) -> Markup {
    let Some(adjust) = &view.adjust else { return html! {} };
    if adjust.rounds.is_empty() {
        return html! { section id="adjust" { h2 { "The adjusters" } p { (adjust.words) } (cautions::by_hand()) } };
    }
    html! {
        section id="adjust" {
            h2 { "Turn the adjusters" }
            (cautions::by_hand())
            p class="lead" { (adjust.words) }
            (rounds(adjust))
            (sequence(bike, view))
        }
    }
}

fn rounds(adjust: &Adjust) -> Markup {
    let rows: Vec<Row> = adjust
        .rounds
        .iter()
        .enumerate()
        .map(|(n, [left, right])| {
            Row::of([html! { (n + 1) }, html! { (signed(*left, 1)) }, html! { (signed(*right, 1)) }])
        })
        .collect();
    let columns = [Column::words("Round"), Column::digits("Left", "flats"), Column::digits("Right", "flats")];
    let caption = "Small even rounds; a flat is a sixth of a turn, + moves the axle back";
    table("rounds", caption, &columns, &rows)
}

/// The order of the hand's work, with the axle's own torque from the sheet or the word that it is not there.
fn sequence(bike: &Bike, view: &SlackView) -> Markup {
    let [_, target] = view.adjust.as_ref().map_or([0.0, view.target_mm], |adjust| adjust.from_to_mm);
    html! {
        ol {
            li { "Loosen the axle nut and the lock nuts; the wheel must follow the adjusters." }
            li { "Turn round by round, left first in one round, right first in the next. End tightening, wheel pushed forward onto the adjusters." }
            li { "After each round measure at the tightest place; stop at " b { (mm(target)) } ", whatever the table says." }
            li { "Hold the chain tight so that the blocks sit on the adjusters, then tighten the axle: " (axle_torque(bike)) }
            li { "Lock nuts, then measure once more: the slack after the torque is the one that counts." }
        }
    }
}

fn axle_torque(bike: &Bike) -> Markup {
    const FIELD: &str = "rear_axle_torque_nm";
    match (upkeep::bike::field(FIELD), bike.get(FIELD)) {
        (Some(field), Some(entry)) => {
            let source = entry.source.as_deref().unwrap_or("bike sheet, no page given");
            html! { b { (shown(field, &entry.value)) } " (" (source) ")." }
        }
        _ => html! {
            b { "torque not known." } " It stands in the manual; "
            a href={ "/bike?field=" (FIELD) "#" (FIELD) } { "put it on the bike sheet" } " first."
        },
    }
}
