//! `tightspot drive`: is the chain right.

use advice::record::{first_day, forecast, history};
use advice::{Block, ready, slack};

use super::written::{When, Written};
use super::{choose, geometry, measure, sets, show, work};
use crate::args::{DriveArgs, DrivePart, FirstDayArgs, Place, SlackArgs};
use crate::asked::Door;
use crate::garage::Garage;
use crate::noted::used;
use crate::problem::Problem;

/// Answers one part of the question.
pub(super) fn run(place: &Place, args: &DriveArgs) -> Result<(), Problem> {
    match &args.part {
        DrivePart::Slack(args) => slack(place, args),
        DrivePart::Geometry(args) => geometry::run(place, args),
        DrivePart::Measure(part) => measure::run(place, part),
        DrivePart::Meter(args) => measure::meter(place, args),
        DrivePart::Fitted(args) => work::fitted(place, args),
        DrivePart::Replace(args) => choose::replace(place, args),
        DrivePart::Next => choose::next(place),
        DrivePart::Through(args) => choose::through(place, args),
        DrivePart::Order(args) => choose::order(place, args),
        DrivePart::Shelf(args) => choose::shelf(place, args),
        DrivePart::Sets(args) => sets::run(place, args),
        DrivePart::History => {
            let (garage, bike) = Garage::with_bike(place)?;
            let table = history::table(&*garage.log(&bike.id)?);
            show(place, &table, &[Block::Table(&table)])
        }
        DrivePart::FirstDay(args) => first_day(place, args),
        DrivePart::Forecast => {
            let (garage, bike) = Garage::with_bike(place)?;
            let record = garage.record(place, &bike)?;
            let view = forecast::view(&record)?;
            let (costs, notes) = forecast::grounds(&record)?;
            let table = forecast::ground_table(&costs);
            let mut blocks = view.blocks();
            blocks.push(Block::Table(&table));
            blocks.push(Block::List(notes));
            show(place, &serde_json::json!({ "forecast": &view, "grounds": &costs }), &blocks)
        }
    }
}

/// What a chain bought used is worth, its hours known as a range: asked, kept, or kept before.
fn first_day(place: &Place, args: &FirstDayArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let (Some(low), Some(high)) = (&args.low, &args.high) else {
        let view = first_day::stored(&garage.record(place, &bike)?)?;
        let view = view.ok_or_else(|| Problem::usage(NO_RANGE))?;
        return show(place, &view, &view.blocks());
    };
    if args.keep {
        let when = When::of(place, &args.when, 18)?;
        let fact = used::fact(Door::of_command(), &args.whose, [low, high])?;
        let change = when.write(&mut garage, &bike, vec![fact])?;
        let view = ready::view(&garage.record(place, &bike)?);
        return Written { change, answer: &view, next: "tightspot drive first-day" }.show(place, &view.blocks());
    }
    let [low, high] = used::range(Door::of_command(), [low, high])?;
    let view = first_day::view(&garage.record(place, &bike)?, low, high)?;
    show(place, &view, &view.blocks())
}

const NO_RANGE: &str =
    "No range is kept for this chain. Ask with one: tightspot drive first-day 40 80; with --keep it is written down.";

/// To which reading the slack is set, and what a reading means.
fn slack(place: &Place, args: &SlackArgs) -> Result<(), Problem> {
    let (_, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let setup = door.wanted(&bike, &args.setup)?;
    let read = door.read(args.reading.as_deref(), args.left.as_deref(), args.right.as_deref());
    door.closed()?;
    let view = slack::view(&bike, setup, read)?;
    show(place, &view, &view.blocks())
}
