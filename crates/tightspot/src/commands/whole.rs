//! `tightspot doctor`, `export`, `import`, `backup` and `restore`: the record is its owner's, whole, in and out.

use std::fs;
use std::io::{self, Read as _, Write as _};
use std::path::Path;

use advice::fact::{Cell, Column, Table};
use advice::{Block, record};
use jiff::Timestamp;
use store::{Checked, Store};

use super::show;
use crate::args::Place;
use crate::calendar;
use crate::folders;
use crate::garage::{Garage, place_of};
use crate::problem::Problem;
use crate::record_args::{CopyArgs, ExportArgs, ImportArgs};

/// Looks the whole record over.
pub(super) fn doctor(place: &Place) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let found = garage.store().check()?;
    let mut hours = Vec::new();
    for bike in garage.store().bikes()? {
        if let Err(gap) = record::total(&garage.log(&bike.id)?.clock(Garage::clock(place))) {
            hours.push(format!("{}: {}", bike.id, gap.text));
        }
    }
    let table = table(&found);
    let verdict = if hours.is_empty() { "Whole: every row was read back." } else { "Whole, but hours do not run on:" };
    show(place, &table, &[Block::Text(verdict.to_owned()), Block::Table(&table), Block::List(hours)])
}

fn table(found: &Checked) -> Table {
    let mut table =
        Table::new("checked", "Read back", vec![Column::words("what", "What"), Column::numbers("count", "Count")]);
    let counts = [
        ("bikes", found.bikes),
        ("figures of sheets", found.facts),
        ("rides", found.rides),
        ("entries", found.entries),
    ];
    let cell = |count: usize| Cell::number(f64::from(u32::try_from(count).unwrap_or(u32::MAX)), 0);
    table.rows.extend(counts.map(|(what, count)| vec![Cell::words(what), cell(count)]));
    table
}

/// Everything as one document, or as tables.
pub(super) fn export(place: &Place, args: &ExportArgs) -> Result<(), Problem> {
    let to = args.to.as_deref();
    if args.schema {
        return written(to, &Store::document_schema()?, "");
    }
    let garage = Garage::open(place)?;
    if args.calendar {
        let bike = garage.bike(place.bike.as_deref())?;
        let days = record::calendar::days(&garage.record(place, &bike)?)?;
        return written(to, &calendar::text(&bike.id, &bike.name, &days, Timestamp::now()), "");
    }
    match to {
        Some(folder) if args.csv => as_tables(&garage, folder),
        to => written(to, &garage.store().export()?, " Back again: tightspot --store NEW import FILE"),
    }
}

fn as_tables(garage: &Garage, folder: &Path) -> Result<(), Problem> {
    let sheets = garage.store().sheets()?;
    folders::make_new(folder).map_err(|why| told(folder, &why))?;
    for sheet in sheets {
        let file = folder.join(format!("{}.csv", sheet.name));
        folders::write_new(&file, sheet.text.as_bytes()).map_err(|why| told(&file, &why))?;
    }
    writeln!(io::stdout().lock(), "Written: one CSV file a table in {}.", folder.display())?;
    Ok(())
}

/// A text into a file that is not there yet, with what can be done with it, or to standard output.
fn written(to: Option<&Path>, text: &str, next: &str) -> Result<(), Problem> {
    let mut out = io::stdout().lock();
    match to.filter(|file| *file != Path::new("-")) {
        Some(file) => {
            folders::write_new(file, text.as_bytes()).map_err(|why| told(file, &why))?;
            writeln!(out, "Written: {}.{next}", file.display())?;
        }
        None => out.write_all(text.as_bytes())?,
    }
    Ok(())
}

/// Reads a document into an empty store.
pub(super) fn import(place: &Place, args: &ImportArgs) -> Result<(), Problem> {
    let mut text = String::new();
    if args.file == Path::new("-") {
        super::not_typed("import", "a document")?;
        io::stdin().lock().read_to_string(&mut text)?;
    } else {
        text = fs::read_to_string(&args.file).map_err(|why| told(&args.file, &why))?;
    }
    // Tried in memory first: what does not read back whole never reaches the file.
    let mut trial = Store::memory()?;
    trial.import(&text)?;
    let found = trial.check()?;
    let mut out = io::stdout().lock();
    if args.dry_run {
        writeln!(out, "Would bring in {}. Nothing was written.", counted(&found))?;
        return Ok(());
    }
    let mut garage = Garage::open(place)?;
    garage.store_mut().import(&text)?;
    writeln!(out, "Brought in {}. Next: tightspot ready", counted(&found))?;
    Ok(())
}

/// A copy while the store is in use.
pub(super) fn backup(place: &Place, args: &CopyArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    garage.store().backup(&args.file)?;
    writeln!(io::stdout().lock(), "Copied and checked: {}.", args.file.display())?;
    Ok(())
}

/// Back to a copy.
pub(super) fn restore(place: &Place, args: &ImportArgs) -> Result<(), Problem> {
    if place.demo {
        return Err(Problem::usage("restore: the demo is thrown away; name a store with --store."));
    }
    let found = Store::look_over(&args.file)?;
    let mut out = io::stdout().lock();
    if args.dry_run {
        writeln!(out, "The copy is whole: {}. Nothing was changed.", counted(&found))?;
        return Ok(());
    }
    let file = place_of(place)?;
    super::confirm(
        place,
        &format!("The record becomes the copy; what is there now is kept aside ({}).", file.display()),
    )?;
    let aside = Store::restore(&args.file, &file)?;
    writeln!(out, "Restored {} to {}.", counted(&found), file.display())?;
    if let Some(aside) = aside {
        writeln!(out, "What was there is kept: {}.", aside.display())?;
    }
    Ok(())
}

fn counted(found: &Checked) -> String {
    format!("{} bikes, {} figures, {} rides, {} entries", found.bikes, found.facts, found.rides, found.entries)
}

fn told(path: &Path, why: &io::Error) -> Problem {
    Problem::failed(format!("{}: {why}. Name another file.", path.display()))
}
