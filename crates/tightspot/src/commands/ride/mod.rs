//! `tightspot ride`: recorded rides, kept without places.

pub(crate) mod args;
mod import;
mod interrupt;

use std::path::Path;

use advice::fact::{Cell, Column, Table};
use advice::logged::{self, Log};
use advice::rides::{Weighed, ground_of};
use advice::{Block, gearing};
use upkeep::bike::Bike;

use self::args::{RideArgs, RidePart, ShowArgs};
use super::show;
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::problem::Problem;

/// Does what is asked with rides.
pub(super) fn run(place: &Place, args: &RideArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    match &args.part {
        RidePart::Log(args) => super::log::ride(place, args),
        RidePart::Plan(args) => super::log::plan(place, args),
        RidePart::Season(args) => super::log::season(place, args),
        RidePart::List => {
            let table = list(&garage, &bike.id)?;
            show(place, &table, &[Block::Table(&table)])
        }
        RidePart::Show(args) => shown(place, &garage, &bike, args),
        RidePart::Import(args) => import::run(&mut garage, &bike, args),
    }
}

/// What a ride asked, and with a logger's table which gear was in.
fn shown(place: &Place, garage: &Garage, bike: &Bike, args: &ShowArgs) -> Result<(), Problem> {
    let path = Path::new(&args.ride);
    let (mut ride, log) = if path.exists() && !garage.stored(bike, &args.ride)? {
        Garage::read_ride(path)?
    } else {
        (garage.ride(bike, &args.ride)?, Log::default())
    };
    if args.setup.pair.is_some() || args.setup.links.is_some() {
        let mut door = Door::default();
        let setup = door.wanted(bike, &args.setup)?;
        door.closed()?;
        ride.fitted = Some(setup);
    }
    let ground = ground_of(Some(&ride.ground), None);
    if !log.rpm.is_empty() {
        let weighed = Weighed { ride: &ride, ground, weight: 1.0, age_d: None };
        let view = logged::view(bike, &weighed, &log)?;
        return show(place, &view, &view.blocks());
    }
    let view = gearing::view(bike, Some(&ride), ground)?;
    let heading = Block::Heading("What the ride asked");
    show(place, &view, &[heading, Block::Facts(&view.demand_facts), Block::Table(&view.share_table)])
}

fn list(garage: &Garage, bike: &str) -> Result<Table, Problem> {
    let columns = vec![
        Column::words("name", "Ride"),
        Column::words("day", "Day"),
        Column::numbers("distance_km", measure::shown::unit("km")),
        Column::numbers("hours_h", "Hours"),
        Column::numbers("moving_min", "Moving, min"),
        Column::words("ground", "Ground"),
        Column::words("fitted", "Ridden on"),
    ];
    let mut table = Table::new("rides", "Rides", columns);
    for ride in garage.store().rides(bike)? {
        table.rows.push(vec![
            Cell::words(ride.about.name.clone()),
            Cell::words(ride.about.day.to_string()),
            Cell::maybe_of(ride.about.distance_m.map(|metres| metres / 1000.0), "km", 1),
            Cell::maybe(ride.about.hours_h, 1),
            Cell::maybe(ride.about.moving_s.map(|seconds| seconds / 60.0), 0),
            Cell::words(ride.about.ground.unwrap_or_else(|| "–".to_owned())),
            Cell::words(ride.about.fitted.map_or_else(
                || "–".to_owned(),
                |fitted| format!("{}/{} on {}", fitted.front_teeth, fitted.rear_teeth, fitted.links),
            )),
        ]);
    }
    Ok(table)
}
