//! `tightspot drive replace`, `next`, `through`, `order` and `shelf`: choices about parts and rides.

use advice::Block;
use advice::record::{next, order, replace, shelf, through};
use measure::bounds::record as bounds;
use upkeep::record::{Fact, Kept, Part, Role};

use super::show;
use super::written::{When, Written, fault};
use crate::args::Place;
use crate::asked::Door;
use crate::choose_args::{OrderArgs, ReplaceArgs, ShelfArgs, ThroughArgs};
use crate::choosing;
use crate::garage::Garage;
use crate::problem::Problem;

/// Which parts are changed together.
pub(super) fn replace(place: &Place, args: &ReplaceArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let mut door = Door::of_command();
    let asked = choosing::replace(&mut door, &bike, |field| args.text(field))?;
    closed(door)?;
    let view = replace::view(&garage.record(place, &bike)?, &asked)?;
    show(place, &view, &view.blocks())
}

/// What to measure next.
pub(super) fn next(place: &Place) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let view = next::view(&garage.record(place, &bike)?)?;
    show(place, &view, &view.blocks())
}

/// Whether chain and slack last through the coming ride.
pub(super) fn through(place: &Place, args: &ThroughArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let mut door = Door::of_command();
    let asked = choosing::through(&mut door, |field| args.text(field));
    closed(door)?;
    let view = through::view(&garage.record(place, &bike)?, &asked)?;
    show(place, &view, &view.blocks())
}

/// What to order by when.
pub(super) fn order(place: &Place, args: &OrderArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let mut door = Door::of_command();
    let asked = choosing::replace(&mut door, &bike, |field| args.set.text(field))?;
    let lead = choosing::lead(&mut door, args.lead.as_deref());
    closed(door)?;
    let view = order::view(&garage.record(place, &bike)?, &asked, lead)?;
    show(place, &view, &view.blocks())
}

/// What lies on the shelf; with a part, lays it there or takes it off.
pub(super) fn shelf(place: &Place, args: &ShelfArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let Some((role, name)) = args.role.as_deref().zip(args.name.clone()) else {
        let table = shelf::table(&garage.record(place, &bike)?);
        return show(place, &table, &[Block::Table(&table)]);
    };
    let when = When::of(place, &args.when, 18)?;
    let mut door = Door::of_command();
    let count = args.count.as_deref().and_then(|text| door.whole("count", text, &bounds::COUNT));
    let used = door.number("used", args.used.as_deref(), &bounds::USED).unwrap_or_default();
    let sells = door.money("sells", args.sells.as_deref());
    closed(door)?;
    let part = Part::new(Role::of(role).map_err(fault)?, name, count, used, sells).map_err(fault)?;
    let change = when.write(&mut garage, &bike, vec![Fact::Kept(Kept::new(part, args.gone))])?;
    let table = shelf::table(&garage.record(place, &bike)?);
    Written { change, answer: &table, next: "tightspot drive replace" }.show(place, &[Block::Table(&table)])
}

fn closed(door: Door) -> Result<(), Problem> {
    if door.faults.is_empty() { Ok(()) } else { Err(door.faults.into()) }
}
