//! `tightspot drive sets`: chain and sprockets kept as one, put on and taken off as one.

use advice::Block;
use advice::record::kept_sets;
use jiff::Timestamp;
use serde_json::json;
use store::Post;
use upkeep::bike::Bike;
use upkeep::record::Check;

use super::show;
use super::written::{When, Written, asked};
use crate::args::Place;
use crate::garage::Garage;
use crate::noted::set::{self, Act};
use crate::noted::{check, meter_runs_on};
use crate::problem::Problem;
use crate::record_args::WhenArgs;
use crate::sets_args::{ForgetArgs, KeepArgs, OffArgs, OnArgs, SetsArgs, SetsPart};

/// Answers or writes.
pub(super) fn run(place: &Place, args: &SetsArgs) -> Result<(), Problem> {
    match &args.part {
        None => list(place),
        Some(SetsPart::Keep(args)) => keep(place, args),
        Some(SetsPart::On(args)) => on(place, args),
        Some(SetsPart::Off(OffArgs { dry_run, when })) => {
            let (mut garage, bike) = Garage::with_bike(place)?;
            change(place, &mut garage, &bike, (&Act::Off, Vec::new()), (when, *dry_run))
        }
        Some(SetsPart::Forget(args)) => forget(place, args),
    }
}

fn list(place: &Place) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let view = kept_sets::view(&garage.record(place, &bike)?)?;
    show(place, &view, &view.blocks())
}

fn keep(place: &Place, args: &KeepArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let when = When::of(place, &args.when, 18)?;
    let parts = [&args.chain, &args.front, &args.rear].map(|part| part.as_deref().unwrap_or_default());
    let fact = set::kept(&garage.record_at(&bike, when.at)?, &args.name, parts)?;
    let change = when.write(&mut garage, &bike, vec![fact])?;
    written(place, &garage, &bike, change)
}

fn on(place: &Place, args: &OnArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let checks: Vec<Check> =
        args.checks.iter().map(|text| check::one(&bike, text)).collect::<Result<_, _>>().map_err(Problem::from)?;
    change(place, &mut garage, &bike, (&Act::On(&args.name), checks), (&args.when, args.dry_run))
}

/// Works the act out, and writes it unless it is only tried.
fn change(
    place: &Place,
    garage: &mut Garage,
    bike: &Bike,
    (act, checks): (&Act<'_>, Vec<Check>),
    (when, dry_run): (&WhenArgs, bool),
) -> Result<(), Problem> {
    let when = When::of(place, when, 18)?;
    let mut ready = set::ready(garage, bike, act, (when.at, when.meter), checks)?;
    if let Some(first) = ready.entries.last_mut() {
        first.note.clone_from(&when.note);
    }
    meter_runs_on(&garage.store().log(&bike.id)?, &ready.entries).map_err(|gap| super::written::went_back(gap.text))?;
    if dry_run {
        let words = Block::Text("Tried only, nothing is written:".to_owned());
        return show(
            place,
            &json!({ "dry_run": true, "would": ready.words }),
            &[words, Block::List(ready.words.clone())],
        );
    }
    let done = set::write(garage, bike, &ready, &Post::at(Timestamp::now())).map_err(asked)?;
    let change = done.change.ok_or_else(|| Problem::failed("Nothing was written."))?;
    let bike = garage.bike(Some(&bike.id))?;
    written(place, garage, &bike, change)
}

fn forget(place: &Place, args: &ForgetArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let fact = set::forgotten(&garage.record(place, &bike)?, &args.name)?;
    if args.dry_run {
        let words =
            format!("Tried only: the set \"{}\" would be kept no longer; its parts stay where they are.", args.name);
        return show(place, &json!({ "dry_run": true, "would": [words] }), &[Block::Text(words.clone())]);
    }
    let change = When::of(place, &WhenArgs::default(), 18)?.write(&mut garage, &bike, vec![fact])?;
    written(place, &garage, &bike, change)
}

fn written(place: &Place, garage: &Garage, bike: &Bike, change: store::ChangeId) -> Result<(), Problem> {
    let view = kept_sets::view(&garage.record(place, bike)?)?;
    Written { change, answer: &view, next: "tightspot ready" }.show(place, &view.blocks())
}
