//! `tightspot ride log`, `plan` and `season`: a ride in four facts, one to come, and what a span of them cost.

use std::io::{self, Write as _};

use advice::record::{after_ride, season};
use advice::{Block, ready};
use jiff::Timestamp;
use jiff::ToSpan as _;
use measure::bounds::record as bounds;
use store::{AddedRide, Post};
use upkeep::record::{Fact, Planned};

use super::show;
use super::written::{When, Written, asked, fault, time, went_back};
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::noted::{
    self,
    ride::{Not, Typed},
};
use crate::problem::Problem;
use crate::record_args::{LogArgs, PlanRideArgs, SeasonArgs};

/// Writes a ride down with what the meter shows.
pub(super) fn ride(place: &Place, args: &LogArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let typed = Typed {
        at: args.when.at.as_deref(),
        hours: args.hours.as_deref(),
        meter: args.when.meter.as_deref(),
        ground: args.ground.as_deref(),
        wet: (args.wet || args.dry).then_some(args.wet),
        odd: args.odd.as_deref(),
        name: args.name.as_deref(),
        note: args.when.note.as_deref(),
        long: place.yes,
        ..Typed::default()
    };
    let now = Garage::clock(place);
    let read = noted::ride::read(&garage, &bike, Door::of_command(), &typed, now).map_err(not_stored)?;
    let post = Post::at(Timestamp::now());
    let added = garage.store_mut().log_ride(&bike.id, &read.about, None, &read.entries, &post);
    let AddedRide::New(id) = added.map_err(asked)? else {
        return Err(Problem::failed("This ride is there already."));
    };
    let change = garage.store().ride(id)?.change;
    let record = garage.record(place, &bike)?;
    let ride = record.log.rides().iter().find(|ride| ride.id == id);
    let ride = ride.ok_or_else(|| Problem::failed("The ride is not there."))?;
    let view = after_ride::view(&record, ride)?;
    let mut blocks = view.blocks();
    if view.measure {
        blocks.push(Block::Text("tightspot drive measure elongation".to_owned()));
    }
    let ready = ready::view(&record);
    let answer = serde_json::json!({ "hours_h": view.hours_h, "after_ride": &view, "reasons": &ready.reasons });
    Written { change, answer: &answer, next: "tightspot ready" }.show(place, &blocks)
}

fn not_stored(why: Not) -> Problem {
    match why {
        Not::Faulty(faults) => faults.into(),
        Not::Long(hours) => Problem::usage(format!("hours: {hours} h is a long ride. Say --yes if it is meant.")),
        Not::WentBack(text) => went_back(text),
        Not::Failed(problem) => problem,
    }
}

/// Writes down a ride or event to come.
pub(super) fn plan(place: &Place, args: &PlanRideArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let now = Garage::clock(place);
    let at = time("at", &args.at, now, 8)?;
    if at < now {
        return Err(Problem::usage(format!("at: {at} has passed; a plan lies ahead.")));
    }
    let mut door = Door::of_command();
    let hours_h = door.number("hours", args.hours.as_deref(), &bounds::RIDE);
    door.closed()?;
    let planned = Planned::new(args.name.clone(), args.event, hours_h).map_err(fault)?;
    let when = When { at, meter: None, corrects: None, note: None };
    let change = when.write(&mut garage, &bike, vec![Fact::Planned(planned)])?;
    let view = ready::view(&garage.record(place, &bike)?);
    Written { change, answer: &view, next: "tightspot ready" }.show(place, &[Block::Text(view.sentence.clone())])
}

/// What a span of riding cost.
pub(super) fn season(place: &Place, args: &SeasonArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let record = garage.record(place, &bike)?;
    let day = |field: &'static str, text: &Option<String>| {
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
