//! `tightspot drive measure` and `meter`: readings as they were typed, judged as soon as they are kept.

use advice::record::reading as judged;
use advice::{Block, ready};
use upkeep::record::Fact;

use super::written::{When, Written};
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::noted::reading;
use crate::problem::Problem;
use crate::record_args::{MeasurePart, MeterArgs, WhenArgs};

/// Keeps a reading and says what it means.
pub(super) fn run(place: &Place, part: &MeasurePart) -> Result<(), Problem> {
    let door = Door::of_command();
    let named = |field, texts: &[String]| texts.iter().map(|text| (field, text.clone())).collect::<Vec<_>>();
    match part {
        MeasurePart::Slack { readings, step_links, station, state, kind, when } => {
            let readings = named("slack_mm", readings);
            let (step_links, station) = (step_links.as_deref(), station.as_deref());
            let typed = reading::Slack { readings: &readings, step_links, station, state, kind };
            keep(place, when, reading::slack(door, &typed)?, "tightspot ready")
        }
        MeasurePart::Elongation { lengths, pitches, error, step, when } => {
            let lengths = named("length_mm", lengths);
            let typed = reading::Elongation { lengths: &lengths, pitches, error, step };
            keep(place, when, reading::elongation(door, &typed)?, "tightspot drive forecast")
        }
        MeasurePart::Alignment { left, right, when } => {
            keep(place, when, reading::axle(door, left, right)?, "tightspot ready")
        }
    }
}

/// Keeps a fact and says what this reading alone makes of the bike.
fn keep(place: &Place, when: &WhenArgs, fact: Fact, next: &'static str) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let when = When::of(place, when, 18)?;
    let kind = fact.kind();
    let change = when.write(&mut garage, &bike, vec![fact])?;
    let record = garage.record(place, &bike)?;
    let entry = record.log.entries().iter().find(|entry| entry.change == change && entry.fact.kind() == kind);
    let view = entry.map(|entry| judged::view(&record, entry)).transpose()?.flatten();
    let view = view.ok_or_else(|| Problem::failed("The reading is not there."))?;
    Written { change, answer: &view, next }.show(place, &view.blocks())
}

/// Keeps what the meter shows.
pub(super) fn meter(place: &Place, args: &MeterArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let when = When::of(place, &args.when, 18)?;
    let swap = args
        .swap
        .as_deref()
        .and_then(|both| if let [old, new] = both { Some([old.as_str(), new.as_str()]) } else { None });
    let fact = reading::meter(Door::of_command(), args.hours.as_deref().unwrap_or_default(), swap)?;
    let change = when.write(&mut garage, &bike, vec![fact])?;
    let view = ready::view(&garage.record(place, &bike)?);
    let total =
        view.hours_h.map_or_else(|| "Total hours not known.".to_owned(), |hours| format!("Total: {hours:.1} h."));
    Written { change, answer: &view, next: "tightspot ready" }
        .show(place, &[Block::Text(total), Block::Table(&view.due)])
}
