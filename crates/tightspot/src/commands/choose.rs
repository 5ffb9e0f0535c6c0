//! `tightspot drive replace`, `next`, `through`, `order` and `shelf`: choices about parts and rides.

use advice::Block;
use advice::record::{next, order, replace, shelf, through};
use upkeep::record::{Fact, Kept};

use super::written::{When, Written};
use super::{show, work};
use crate::args::Place;
use crate::asked::Door;
use crate::choose_args::{OrderArgs, ReplaceArgs, ShelfArgs, ThroughArgs};
use crate::choosing;
use crate::garage::Garage;
use crate::problem::Problem;

/// Which parts are changed together.
pub(super) fn replace(place: &Place, args: &ReplaceArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let asked = choosing::replace(&mut door, &bike, |field| args.text(field))?;
    door.closed()?;
    let view = replace::view(&garage.record(place, &bike)?, &asked)?;
    show(place, &view, &view.blocks())
}

/// What to measure next.
pub(super) fn next(place: &Place) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let view = next::view(&garage.record(place, &bike)?)?;
    show(place, &view, &view.blocks())
}

/// Whether chain and slack last through the coming ride.
pub(super) fn through(place: &Place, args: &ThroughArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let asked = choosing::through(&mut door, |field| args.text(field));
    door.closed()?;
    let view = through::view(&garage.record(place, &bike)?, &asked)?;
    show(place, &view, &view.blocks())
}

/// What to order by when.
pub(super) fn order(place: &Place, args: &OrderArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let asked = choosing::replace(&mut door, &bike, |field| args.set.text(field))?;
    let lead = choosing::lead(&mut door, args.lead.as_deref());
    door.closed()?;
    let view = order::view(&garage.record(place, &bike)?, &asked, lead)?;
    show(place, &view, &view.blocks())
}

/// What lies on the shelf; with a part, lays it there or takes it off.
pub(super) fn shelf(place: &Place, args: &ShelfArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let Some((role, name)) = args.role.as_deref().zip(args.name.as_deref()) else {
        let table = shelf::table(&garage.record(place, &bike)?);
        return show(place, &table, &[Block::Table(&table)]);
    };
    let when = When::of(place, &args.when, 18)?;
    let sells = ("sells", args.sells.as_deref());
    let part = work::part((role, name), args.count.as_deref(), args.used.as_deref(), sells)?;
    let change = when.write(&mut garage, &bike, vec![Fact::Kept(Kept::new(part, args.gone))])?;
    let table = shelf::table(&garage.record(place, &bike)?);
    Written { change, answer: &table, next: "tightspot drive replace" }.show(place, &[Block::Table(&table)])
}
