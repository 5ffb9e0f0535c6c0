//! `tightspot ride log`, `plan` and `season`: a ride in four facts, one to come, and what a span of them cost.

use std::io::{self, Write as _};

use advice::record::season;
use advice::{Block, Fact as Shown, ready};
use jiff::Timestamp;
use jiff::ToSpan as _;
use measure::bounds::record as bounds;
use store::{AddedRide, NewRide, Post};
use upkeep::record::{Fact, Planned};

use super::show;
use super::written::{When, Written, asked, fault, meter_runs_on, time};
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::problem::Problem;
use crate::record_args::{LogArgs, PlanRideArgs, SeasonArgs};

/// Longer rides are asked back.
const LONG_RIDE_H: f64 = 12.0;
/// Hours after which measuring the chain is proposed.
const MEASURE_AFTER_H: f64 = 10.0;

/// Writes a ride down with what the meter shows.
pub(super) fn ride(place: &Place, args: &LogArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let when = When::of(place, &args.when, 12)?;
    let mut door = Door::of_command();
    let hours_h = door.number("hours", args.hours.as_deref(), &bounds::RIDE);
    if !door.faults.is_empty() {
        return Err(door.faults.into());
    }
    if let Some(hours) = hours_h.filter(|hours| *hours > LONG_RIDE_H && !place.yes) {
        return Err(Problem::usage(format!("hours: {hours} h is a long ride. Say --yes if it is meant.")));
    }
    let last = garage.store().rides(&bike.id)?.into_iter().find(|ride| ride.about.ground.is_some());
    let wet = if args.wet || args.dry { Some(args.wet) } else { last.as_ref().and_then(|ride| ride.about.wet) };
    let ground = args.ground.clone().or_else(|| last.and_then(|ride| ride.about.ground));
    let about = NewRide {
        hours_h,
        ground,
        wet,
        note: args.when.note.clone(),
        odd: args.odd.clone(),
        over: Some(when.at),
        ..NewRide::new(args.name.clone().unwrap_or_else(|| when.at.date().to_string()), when.at.date())
    };
    let entries = when.entries(Vec::new());
    meter_runs_on(&garage, &bike, &entries)?;
    let added = garage.store_mut().log_ride(&bike.id, &about, None, &entries, &Post::at(Timestamp::now()));
    let AddedRide::New(id) = added.map_err(asked)? else {
        return Err(Problem::failed("This ride is there already."));
    };
    let change = garage.store().ride(id)?.change;
    let view = ready::view(&garage.record(place, &bike)?);
    let facts = [said(&about, view.hours_h)];
    let mut blocks = vec![Block::Facts(&facts), Block::Table(&view.due)];
    if measure_again(&garage, place, &bike)? {
        blocks.push(Block::Text(format!(
            "More than {MEASURE_AFTER_H} h since the chain was measured: tightspot drive measure elongation"
        )));
    }
    Written { change, answer: &view, next: "tightspot ready" }.show(place, &blocks)
}

fn said(about: &NewRide, total_h: Option<f64>) -> Shown {
    let hours = about.hours_h.map_or_else(|| "hours not noted".to_owned(), |hours| format!("{hours} h"));
    let ground = about.ground.clone().unwrap_or_else(|| "ground not noted".to_owned());
    let wet = match about.wet {
        Some(true) => "wet",
        Some(false) => "dry",
        None => "wet or dry not noted",
    };
    let odd = about.odd.as_ref().map_or_else(String::new, |odd| format!(", odd: {odd}; an inspection is open"));
    let total = total_h.map_or_else(|| "not known".to_owned(), |total| format!("{total:.1} h"));
    let fact = Shown::unknown("hours_h", "Total hours", total);
    Shown { value: total_h, ..fact }.because(format!("{hours}, {ground}, {wet}{odd}"))
}

fn measure_again(garage: &Garage, place: &Place, bike: &upkeep::bike::Bike) -> Result<bool, Problem> {
    let record = garage.record(place, bike)?;
    let last = advice::record::elongation::of_this_chain(&record).last().map(|(entry, _)| entry.at);
    Ok(last.is_none_or(|at| record.since_h(at).is_some_and(|hours| hours > MEASURE_AFTER_H)))
}

/// Writes down a ride or event to come.
pub(super) fn plan(place: &Place, args: &PlanRideArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let now = Garage::clock(place);
    let at = time("at", &args.at, now, 8)?;
    if at < now {
        return Err(Problem::usage(format!("at: {at} has passed; a plan lies ahead.")));
    }
    let mut door = Door::of_command();
    let hours_h = door.number("hours", args.hours.as_deref(), &bounds::RIDE);
    if !door.faults.is_empty() {
        return Err(door.faults.into());
    }
    let planned = Planned::new(args.name.clone(), args.event, hours_h).map_err(fault)?;
    let when = When { at, meter: None, corrects: None, note: None };
    let change = when.write(&mut garage, &bike, vec![Fact::Planned(planned)])?;
    let view = ready::view(&garage.record(place, &bike)?);
    Written { change, answer: &view, next: "tightspot ready" }.show(place, &[Block::Text(view.sentence.clone())])
}

/// What a span of riding cost.
pub(super) fn season(place: &Place, args: &SeasonArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let record = garage.record(place, &bike)?;
    let day = |field: &str, text: &Option<String>| {
        text.as_deref().map(|text| time(field, text, record.now, 12).map(jiff::civil::DateTime::date)).transpose()
    };
    let to = day("to", &args.to)?.unwrap_or_else(|| record.now.date());
    let from = match day("from", &args.from)? {
        Some(from) => from,
        None => to.checked_sub(1.year()).map_err(|why| Problem::usage(why.to_string()))?,
    };
    if from > to {
        return Err(Problem::usage(format!("from: {from} lies after {to}.")));
    }
    let view = season::view(&record, from, to)?;
    if view.rides == 0 && !place.json && !place.plain {
        writeln!(io::stderr().lock(), "No ride in this span.")?;
    }
    show(place, &view, &view.blocks())
}
