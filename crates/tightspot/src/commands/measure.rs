//! `tightspot drive measure` and `meter`: readings as they were typed, judged as soon as they are kept.

use advice::record::{elongation, slack};
use advice::{Block, Fact as Shown, ready, slack as set};
use measure::{Bound, bounds::record as bounds};
use upkeep::bike::Bike;
use upkeep::record::{AxleReading, ElongationReading, Fact, Meter, SlackKind, SlackReading, SlackState};

use super::written::{When, Written, fault};
use crate::args::Place;
use crate::asked::{Door, fitted};
use crate::garage::Garage;
use crate::problem::Problem;
use crate::record_args::{MeasurePart, MeterArgs};

/// Keeps a reading and says what it means.
pub(super) fn run(place: &Place, part: &MeasurePart) -> Result<(), Problem> {
    match part {
        MeasurePart::Slack { readings, step_links, station, state, kind, when } => {
            let mut door = Door::of_command();
            let slack_mm = numbers(&mut door, "slack_mm", readings, &bounds::SLACK);
            let step = door.number("step_links", step_links.as_deref(), &bounds::LINKS_PASSED);
            let station = door.number("station", station.as_deref(), &bounds::STATION).unwrap_or(0.5);
            closed(door)?;
            let places =
                |step: f64| slack_mm.iter().scan(0.0, |at, _| Some(std::mem::replace(at, *at + step))).collect();
            let (state, kind) = (SlackState::of(state).map_err(fault)?, SlackKind::of(kind).map_err(fault)?);
            let reading = SlackReading::new(slack_mm.clone(), step.map(places), station, state, kind).map_err(fault)?;
            slack_read(place, &When::of(place, when, 18)?, reading)
        }
        MeasurePart::Elongation { lengths, pitches, error, step, when } => {
            let mut door = Door::of_command();
            let length_mm: Vec<Vec<f64>> = lengths
                .iter()
                .map(|place| {
                    let each: Vec<String> = place.split('/').map(str::to_owned).collect();
                    numbers(&mut door, "length_mm", &each, &bounds::LENGTH)
                })
                .collect();
            let pitches = door.whole("pitches", pitches, &bounds::PITCHES).unwrap_or_default();
            let error = door.number("error", Some(error), &bounds::INSTRUMENT_ERROR).unwrap_or_default();
            let step = door.number("step", Some(step), &bounds::RESOLUTION).unwrap_or_default();
            closed(door)?;
            let reading = ElongationReading::new(pitches, length_mm, error, step).map_err(fault)?;
            elongation_read(place, &When::of(place, when, 18)?, reading)
        }
        MeasurePart::Alignment { left, right, when } => {
            let mut door = Door::of_command();
            let left = door.number("left_mm", Some(left), &bounds::SIDE).unwrap_or_default();
            let right = door.number("right_mm", Some(right), &bounds::SIDE).unwrap_or_default();
            closed(door)?;
            axle_read(place, &When::of(place, when, 18)?, AxleReading::new(left, right).map_err(fault)?)
        }
    }
}

fn closed(door: Door) -> Result<(), Problem> {
    if door.faults.is_empty() { Ok(()) } else { Err(door.faults.into()) }
}

fn numbers(door: &mut Door, field: &'static str, typed: &[String], bound: &Bound) -> Vec<f64> {
    let read: Vec<f64> = typed.iter().filter_map(|text| door.number(field, Some(text), bound)).collect();
    if read.len() != typed.len() && door.faults.is_empty() {
        let text = format!("{field}: a reading is empty; give each its number.");
        door.faults.push(crate::asked::Faulty { field, text });
    }
    read
}

fn slack_read(place: &Place, when: &When, reading: SlackReading) -> Result<(), Problem> {
    let (mut garage, bike) = opened(place)?;
    let setup = fitted(&bike)?;
    let change = when.write(&mut garage, &bike, vec![Fact::Slack(reading.clone())])?;
    let spot = slack::view(&bike, setup, &reading);
    let mid = slack::comparable(&bike, setup, &reading);
    let whole = mid.and_then(|slack_mm| {
        let read = set::Read { slack_mm: Some(slack_mm), ..set::Read::default() };
        set::view(&bike, setup, read)
    });
    let mut blocks = Vec::new();
    let notes: Vec<String> =
        [spot.as_ref().err(), whole.as_ref().err()].into_iter().flatten().map(|gap| gap.text.clone()).collect();
    if let Ok(spot) = &spot {
        blocks.extend(spot.blocks());
    }
    if let Ok(whole) = &whole {
        blocks.extend(whole.blocks());
    }
    blocks.push(Block::List(notes.clone()));
    let answer =
        serde_json::json!({ "tight_spot": spot.as_ref().ok(), "slack": whole.as_ref().ok(), "not_known": notes });
    Written { change, answer: &answer, next: "tightspot ready" }.show(place, &blocks)
}

fn elongation_read(place: &Place, when: &When, reading: ElongationReading) -> Result<(), Problem> {
    let (mut garage, bike) = opened(place)?;
    let record = garage.record(place, &bike)?;
    let before =
        elongation::of_this_chain(&record).last().map(|(_, reading)| elongation::view(&bike, reading)).transpose()?;
    let view = elongation::view(&bike, &reading)?;
    let fall = before.as_ref().filter(|_| when.corrects.is_none()).and_then(|before| elongation::fell(before, &view));
    let view = view.and(fall);
    let change = when.write(&mut garage, &bike, vec![Fact::Elongation(reading)])?;
    let blocks = view.blocks();
    Written { change, answer: &view, next: "tightspot drive forecast" }.show(place, &blocks)
}

fn axle_read(place: &Place, when: &When, reading: AxleReading) -> Result<(), Problem> {
    let (mut garage, bike) = opened(place)?;
    let change = when.write(&mut garage, &bike, vec![Fact::Axle(reading)])?;
    let where_ = advice::fit::Slot::of(&bike).and_then(|slot| slot.place(fitted(&bike)?));
    let read = set::Read { slack_mm: None, left_mm: Some(reading.left_mm()), right_mm: Some(reading.right_mm()) };
    let facts: Vec<Shown> = match where_.and_then(|at| advice::alignment::facts(&bike, &at, read)) {
        Ok(facts) => facts,
        Err(gap) => vec![Shown::unknown("allowed_mm", "Left against right", gap.text)],
    };
    Written { change, answer: &facts, next: "tightspot ready" }.show(place, &[Block::Facts(&facts)])
}

/// Keeps what the meter shows.
pub(super) fn meter(place: &Place, args: &MeterArgs) -> Result<(), Problem> {
    let (mut garage, bike) = opened(place)?;
    let when = When::of(place, &args.when, 18)?;
    let mut door = Door::of_command();
    let mut hours = |field, text: Option<&str>| door.number(field, text, &bounds::METER);
    let fact = match args.swap.as_deref() {
        Some([old, new]) => {
            hours("old", Some(old)).zip(hours("new", Some(new))).map(|(old, new)| Meter::swap(old, new))
        }
        _ => hours("hours", args.hours.as_deref()).map(Meter::read),
    };
    closed(door)?;
    let Some(fact) = fact else { return Err(Problem::usage("hours: what does the meter show? Give its number.")) };
    let change = when.write(&mut garage, &bike, vec![Fact::Meter(fact.map_err(fault)?)])?;
    let view = ready::view(&garage.record(place, &bike)?);
    let total =
        view.hours_h.map_or_else(|| "Total hours not known.".to_owned(), |hours| format!("Total: {hours:.1} h."));
    Written { change, answer: &view, next: "tightspot ready" }
        .show(place, &[Block::Text(total), Block::Table(&view.due)])
}

fn opened(place: &Place) -> Result<(Garage, Bike), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    Ok((garage, bike))
}
