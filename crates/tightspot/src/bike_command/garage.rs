//! Several bikes: one more, another one meant, another name, off the list and back. What is taken off is kept whole.

use std::io::Write;

use jiff::Timestamp;
use serde_json::json;
use store::{Post, Store, StoreError};
use upkeep::bike::Bike;

use super::change::stored;
use crate::args::Place;
use crate::problem::Problem;

/// The setting that names the bike meant where none is named.
pub(crate) const CHOSEN: &str = "bike";

/// A bike with nothing on its sheet.
pub(super) fn add(
    out: &mut dyn Write,
    store: &mut Store,
    (id, name): (&str, &str),
    dry_run: bool,
    now: Timestamp,
) -> Result<(), Problem> {
    let bike = Bike::new(id, name, false).map_err(|fault| Problem::usage(fault.text))?;
    match store.bike(id) {
        Ok(known) => return Err(Problem::usage(format!("{id} is \"{}\" already. Choose another id.", known.name))),
        Err(StoreError::NoSuchBike { .. }) => {}
        Err(why) => return Err(why.into()),
    }
    if dry_run {
        writeln!(out, "{id}: new bike \"{name}\"\nNothing is written: --dry-run.")?;
        return Ok(());
    }
    let done = store.put_bike(&bike, &Post::at(now))?;
    stored(out, id, done.change)
}

/// The bike that is meant from now on where none is named.
pub(super) fn choose(out: &mut dyn Write, store: &mut Store, id: &str, now: Timestamp) -> Result<(), Problem> {
    let bike = store.bike(id)?;
    let done = store.set_setting(CHOSEN, id, &Post::at(now))?;
    let undo = done.change.map(|change| format!(" To take it back: tightspot bike undo {change}")).unwrap_or_default();
    writeln!(out, "{} ({id}) is meant where no bike is named.{undo}\nNext: tightspot ready", bike.name)?;
    Ok(())
}

/// Another name.
pub(super) fn rename(
    out: &mut dyn Write,
    store: &mut Store,
    (id, name): (&str, &str),
    dry_run: bool,
    now: Timestamp,
) -> Result<(), Problem> {
    let before = store.bike(id)?;
    writeln!(out, "name: {} → {name}", before.name)?;
    if dry_run {
        upkeep::bike::check_name(name).map_err(|fault| Problem::usage(fault.text))?;
        writeln!(out, "Nothing is written: --dry-run.")?;
        return Ok(());
    }
    let done = store.rename_bike(id, name, &Post::at(now)).map_err(|why| match why {
        StoreError::Faults(_) => Problem::usage(why.to_string()),
        why => why.into(),
    })?;
    stored(out, id, done.change)
}

/// Off the list; asked back before, for it takes the whole record along.
pub(super) fn remove(
    out: &mut dyn Write,
    place: &Place,
    store: &mut Store,
    id: &str,
    dry_run: bool,
    now: Timestamp,
) -> Result<(), Problem> {
    let bike = store.bike(id)?;
    let log = store.log(id)?;
    let what = format!(
        "{} ({id}) is taken off the list with {} figures, {} facts and {} rides.",
        bike.name,
        bike.entries().count(),
        log.entries().len(),
        log.rides().len()
    );
    if dry_run {
        writeln!(out, "{what}\nNothing is written: --dry-run.")?;
        return Ok(());
    }
    crate::commands::confirm(place, &what)?;
    let done = store.remove_bike(id, &Post::at(now))?;
    let change = done.change.map(|change| change.to_string()).unwrap_or_default();
    writeln!(out, "{what}\nNothing of it is deleted. To bring it back: tightspot bike undo {change}")?;
    writeln!(out, "What was taken off: tightspot bike removed")?;
    Ok(())
}

/// What was taken off, newest first, with the way back.
pub(super) fn removed(out: &mut dyn Write, place: &Place, store: &Store) -> Result<(), Problem> {
    let all = store.removed_bikes()?;
    if place.json {
        let all: Vec<_> = all
            .iter()
            .map(|one| json!({"id": one.id, "name": one.name, "change": one.change, "at": one.at.to_string()}))
            .collect();
        writeln!(out, "{}", serde_json::Value::from(all))?;
        return Ok(());
    }
    for one in &all {
        if place.plain {
            writeln!(out, "{}\t{}\t{}\t{}", one.id, one.name, one.change, one.at)?;
        } else {
            let day = one.at.strftime("%Y-%m-%d");
            writeln!(out, "{:<20}  {}, taken off {day}; back: tightspot bike undo {}", one.id, one.name, one.change)?;
        }
    }
    if all.is_empty() && !place.plain {
        writeln!(out, "No bike was taken off.")?;
    }
    Ok(())
}
