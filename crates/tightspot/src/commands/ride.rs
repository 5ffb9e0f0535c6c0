//! `tightspot ride`: recorded rides, kept without places.

use std::io::{self, Read as _, Write as _};
use std::path::Path;

use advice::fact::{Cell, Column, Table};
use advice::{Block, gearing};
use jiff::Timestamp;
use store::{AddedRide, Post};

use super::show;
use crate::args::{Place, RideArgs, RidePart};
use crate::garage::{Garage, track_text};
use crate::problem::Problem;
use crate::recorded::Recorded;

/// Does what is asked with rides.
pub(super) fn run(place: &Place, args: &RideArgs) -> Result<(), Problem> {
    match &args.part {
        RidePart::Log(args) => return super::log::ride(place, args),
        RidePart::Plan(args) => return super::log::plan(place, args),
        RidePart::Season(args) => return super::log::season(place, args),
        _ => {}
    }
    let mut garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    match &args.part {
        RidePart::Log(_) | RidePart::Plan(_) | RidePart::Season(_) => Ok(()),
        RidePart::List => {
            let table = list(&garage, &bike.id)?;
            show(place, &table, &[Block::Table(&table)])
        }
        RidePart::Show { ride } => {
            let ride = garage.ride(&bike, ride)?;
            let view = gearing::view(&bike, Some(&ride), advice::ground::USUAL)?;
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
        RidePart::Import { file, name, dry_run } => import(&mut garage, &bike.id, file, name.as_deref(), *dry_run),
    }
}

fn list(garage: &Garage, bike: &str) -> Result<Table, Problem> {
    let columns = vec![
        Column::words("name", "Ride"),
        Column::words("day", "Day"),
        Column::numbers("distance_km", "km"),
        Column::numbers("moving_min", "Moving, min"),
    ];
    let mut table = Table::new("rides", "Rides", columns);
    for ride in garage.store().rides(bike)? {
        table.rows.push(vec![
            Cell::words(ride.about.name.clone()),
            Cell::words(ride.about.day.to_string()),
            Cell::maybe(ride.about.distance_m.map(|metres| metres / 1000.0), 1),
            Cell::maybe(ride.about.moving_s.map(|seconds| seconds / 60.0), 0),
        ]);
    }
    Ok(table)
}

fn import(garage: &mut Garage, bike: &str, file: &Path, name: Option<&str>, dry_run: bool) -> Result<(), Problem> {
    let text = if file == Path::new("-") { standard_input()? } else { track_text(file)? };
    let stem = file.file_stem().and_then(|stem| stem.to_str()).unwrap_or("ride");
    let name = name.unwrap_or(stem);
    let recorded = Recorded::read(&text).map_err(|why| Problem::failed(format!("{}: {why}.", file.display())))?;
    let now = Timestamp::now();
    let (about, blob) = recorded.kept(name, now);
    let about = about.from_file(file.display().to_string(), text.as_bytes());
    let mut out = io::stdout().lock();
    for note in recorded.notes() {
        writeln!(out, "{note}")?;
    }
    if dry_run {
        writeln!(out, "Would keep \"{name}\" of {}: {} bytes of motion, no places.", about.day, blob.len())?;
        return Ok(());
    }
    match garage.store_mut().add_ride(bike, &about, Some(&blob), &Post::at(now))? {
        AddedRide::New(id) => {
            writeln!(out, "Kept \"{name}\" of {} as ride {id}: speed, grade and time, no places.", about.day)?;
            writeln!(out, "Next: tightspot gearing --ride \"{name}\"")?;
        }
        AddedRide::AlreadyThere { ride, bike } => writeln!(out, "This file is there already: ride {ride} of {bike}.")?,
    }
    Ok(())
}

fn standard_input() -> Result<String, Problem> {
    let mut bytes = Vec::new();
    io::stdin().lock().read_to_end(&mut bytes)?;
    ride::track::decoded(bytes).map_err(|why| Problem::failed(why.to_string()))
}
