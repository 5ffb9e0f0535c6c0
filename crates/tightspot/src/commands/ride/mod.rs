//! `tightspot ride`: recorded rides, kept without places.

pub(crate) mod args;
mod import;
mod interrupt;

use advice::fact::{Cell, Column, Table};
use advice::{Block, gearing};

use self::args::{RideArgs, RidePart};
use super::show;
use crate::args::Place;
use crate::garage::Garage;
use crate::problem::Problem;

/// Does what is asked with rides.
pub(super) fn run(place: &Place, args: &RideArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    match &args.part {
        RidePart::List => {
            let table = list(&garage, &bike.id)?;
            show(place, &table, &[Block::Table(&table)])
        }
        RidePart::Show { ride } => {
            let ride = garage.ride(&bike, ride)?;
            let view = gearing::view(&bike, Some(&ride), advice::rides::ground_of(Some(&ride.ground), None))?;
            show(
                place,
                &view,
                &[
                    Block::Heading("What the ride asked"),
                    Block::Facts(&view.demand_facts),
                    Block::Table(&view.share_table),
                ],
            )
        }
        RidePart::Import(args) => import::run(&mut garage, &bike, args),
    }
}

fn list(garage: &Garage, bike: &str) -> Result<Table, Problem> {
    let columns = vec![
        Column::words("name", "Ride"),
        Column::words("day", "Day"),
        Column::numbers("distance_km", "km"),
        Column::numbers("moving_min", "Moving, min"),
        Column::words("ground", "Ground"),
    ];
    let mut table = Table::new("rides", "Rides", columns);
    for ride in garage.store().rides(bike)? {
        table.rows.push(vec![
            Cell::words(ride.about.name.clone()),
            Cell::words(ride.about.day.to_string()),
            Cell::maybe(ride.about.distance_m.map(|metres| metres / 1000.0), 1),
            Cell::maybe(ride.about.moving_s.map(|seconds| seconds / 60.0), 0),
            Cell::words(ride.about.ground.unwrap_or_else(|| "–".to_owned())),
        ]);
    }
    Ok(table)
}
