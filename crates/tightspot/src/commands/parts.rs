//! `tightspot parts`: have, need and missing of the work, and what lies on the shelf.

use advice::buying;
use advice::plan::Wish;
use advice::{Block, Setup};
use jiff::Timestamp;
use serde_json::json;
use store::Post;
use upkeep::bike::Bike;
use upkeep::supply::Shelf;

use super::written::Written;
use super::{job, show};
use crate::args::Place;
use crate::asked::{Door, Faulty};
use crate::choosing;
use crate::garage::Garage;
use crate::noted::supply::{day, facts};
use crate::parts_args::{CheckArgs, ListArgs, PartsArgs, PartsPart, PiecesArgs, SayArgs};
use crate::problem::Problem;
use crate::shopping::Stock;

/// Does what is asked with parts.
pub(super) fn run(place: &Place, args: &PartsArgs) -> Result<(), Problem> {
    match &args.part {
        None => list(place, &args.list),
        Some(PartsPart::List(args)) => list(place, args),
        Some(PartsPart::Have(args)) => pieces(place, args, "counted"),
        Some(PartsPart::Put(args)) => pieces(place, args, "put"),
        Some(PartsPart::Taken(args)) => pieces(place, args, "taken"),
        Some(PartsPart::Ordered(args)) => pieces(place, args, "ordered"),
        Some(PartsPart::Received(args)) => pieces(place, args, "received"),
        Some(PartsPart::Say(args)) => say(place, args),
        Some(PartsPart::Check(args)) => check(place, args),
    }
}

fn list(place: &Place, args: &ListArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let by = day(&mut door, "by", args.by.as_deref());
    door.closed()?;
    let stock = Stock::of(&garage, &bike, Garage::clock(place))?;
    let view = stock.list(&bike, wished(&bike, args)?, by)?;
    show(place, &view, &view.blocks())
}

/// Before buying.
fn check(place: &Place, args: &CheckArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let asked = choosing::buying(&mut door, &bike, |field| args.text(field))?;
    let (Some(asked), true) = (asked, door.faults.is_empty()) else { return Err(door.faults.into()) };
    let stock = Stock::of(&garage, &bike, Garage::clock(place))?;
    let view = buying::view(&garage.record(place, &bike)?, &stock.shelf, &asked)?;
    show(place, &view, &view.blocks())
}

/// What is named; none where nothing is.
fn wished(bike: &Bike, args: &ListArgs) -> Result<Option<(Setup, Wish)>, Problem> {
    let plan = &args.plan;
    let says_nothing = plan.job.is_empty() && plan.choice.is_empty();
    if says_nothing && plan.setup.pair.is_none() && plan.setup.links.is_none() {
        return Ok(None);
    }
    Ok(Some(job::wish(bike, plan)?))
}

fn pieces(place: &Place, args: &PiecesArgs, event: &'static str) -> Result<(), Problem> {
    note(place, &args.role, |shelf| {
        facts(Door::of_command(), shelf, |field| match field {
            "role" => Some(args.role.as_str()),
            "qty" => Some(args.qty.as_str()),
            "event" => Some(event),
            _ => None,
        })
    })
}

fn say(place: &Place, args: &SayArgs) -> Result<(), Problem> {
    note(place, &args.role, |shelf| facts(Door::of_command(), shelf, |field| args.text(field)))
}

/// Writes what was said of a role down, and says what stands of it now.
fn note(
    place: &Place,
    role: &str,
    read: impl FnOnce(&Shelf) -> Result<Vec<upkeep::supply::Supply>, Vec<Faulty>>,
) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let now = Garage::clock(place);
    let facts = read(&Stock::of(&garage, &bike, now)?.shelf)?;
    let done = garage.store_mut().supply(&bike.id, now, &facts, &Post::at(Timestamp::now()))?;
    let change = done.change.ok_or_else(|| Problem::failed("Nothing was written."))?;
    let stock = Stock::of(&garage, &bike, now)?;
    let stands = stock.shelf.item(role.trim()).map(advice::supplies::standing).unwrap_or_default();
    let blocks = [Block::Text(format!("{}: {stands}.", role.trim()))];
    Written { change, answer: &json!({ "role": role.trim(), "stands": stands }), next: "tightspot parts" }
        .show(place, &blocks)
}
