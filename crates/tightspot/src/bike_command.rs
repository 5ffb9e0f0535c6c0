//! `tightspot bike`: the sheets of the bikes, at the terminal. Results to standard output, messages to standard error.

mod change;
mod garage;
mod show;

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args as ClapArgs, Subcommand};
use jiff::Timestamp;
use store::{ChangeId, Post};

use crate::args::Place;
use crate::garage::Garage;
use crate::problem::Problem;

pub(crate) use garage::CHOSEN;

/// Bikes and their sheets.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct BikeArgs {
    /// What to do with bikes.
    #[command(subcommand)]
    part: BikePart,
}

/// What to do with bikes.
#[derive(Debug, Clone, Subcommand)]
enum BikePart {
    /// The bikes there are.
    List,
    /// A bike's sheet: every figure with its unit and source, and what is not known.
    Show {
        /// The bike; needed only where there are several.
        id: Option<String>,
        /// Also say of each figure that is not known how to get it.
        #[arg(long)]
        missing: bool,
    },
    /// Puts figures on a sheet; `FIELD=` with nothing behind it takes one off.
    Set {
        /// The bike, needed only where there are several; then fields and their values, with a unit if it is another
        /// than the field's: `arm_mm=60.5 cm`.
        #[arg(required = true, value_names = ["[ID] FIELD=VALUE"])]
        figures: Vec<String>,
        /// Where the figures stand, or how they were measured: `manual, p. 12`.
        #[arg(long, value_name = "TEXT")]
        source: Option<String>,
        /// Say what would change, change nothing.
        #[arg(long)]
        dry_run: bool,
    },
    /// Reads a bike's file; its sheet becomes what the file says.
    Import {
        /// The file, or `-` for standard input.
        file: PathBuf,
        /// Say what would change, change nothing.
        #[arg(long)]
        dry_run: bool,
    },
    /// A bike with nothing on its sheet yet.
    Add {
        /// Its id: small letters, digits and inner hyphens.
        id: String,
        /// What you call it.
        name: String,
        /// Say what would change, change nothing.
        #[arg(long)]
        dry_run: bool,
    },
    /// The bike that is meant from now on where none is named.
    Choose {
        /// The bike.
        id: String,
    },
    /// Calls a bike by another name; its id stays.
    Rename {
        /// The bike.
        id: String,
        /// What it is called from now on.
        name: String,
        /// Say what would change, change nothing.
        #[arg(long)]
        dry_run: bool,
    },
    /// Takes a bike off the list with its whole record; nothing is deleted, undo brings it back.
    Remove {
        /// The bike.
        id: String,
        /// Say what would change, change nothing.
        #[arg(long)]
        dry_run: bool,
    },
    /// The bikes that were taken off, with the way back.
    Removed,
    /// Writes a bike's file.
    Export {
        /// The bike.
        id: String,
        /// The file, which must not exist yet; left out or `-`, standard output.
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
    /// What was changed on a sheet, newest first, with the number that `undo` takes.
    History {
        /// The bike; needed only where there are several.
        id: Option<String>,
    },
    /// Takes a change back; undoing that undo brings it again.
    Undo {
        /// The number of the change.
        change: ChangeId,
    },
}

/// Runs the command: 0 done, 1 failed, 2 asked wrongly.
pub(crate) fn run(place: &Place, args: &BikeArgs) -> ExitCode {
    match answer(place, args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => problem.tell(),
    }
}

fn answer(place: &Place, args: &BikeArgs) -> Result<(), Problem> {
    let now = Timestamp::now();
    let mut garage = Garage::open(place)?;
    let chosen = |id: Option<&str>| id.map(str::to_owned).or_else(|| place.bike.clone());
    let mut out = io::BufWriter::new(io::stdout().lock());
    match &args.part {
        BikePart::List => show::list(&mut out, place, garage.store())?,
        BikePart::Show { id, missing } => {
            show::show(&mut out, place, &garage.bike(chosen(id.as_deref()).as_deref())?, *missing)?
        }
        BikePart::Set { figures, source, dry_run } => {
            let (id, figures) = match figures.split_first() {
                Some((id, figures)) if !id.contains('=') && !figures.is_empty() => (Some(id.as_str()), figures),
                _ => (None, figures.as_slice()),
            };
            let wanted = change::Wanted::of(figures, source.as_deref())?;
            let id = garage.bike(chosen(id).as_deref())?.id;
            change::set(&mut out, garage.store_mut(), &id, &wanted, *dry_run, now)?;
        }
        BikePart::Import { file, dry_run } => change::import(&mut out, garage.store_mut(), file, *dry_run, now)?,
        BikePart::Add { id, name, dry_run } => {
            garage::add(&mut out, garage.store_mut(), (id, name), *dry_run, now)?;
        }
        BikePart::Choose { id } => garage::choose(&mut out, garage.store_mut(), id, now)?,
        BikePart::Rename { id, name, dry_run } => {
            garage::rename(&mut out, garage.store_mut(), (id, name), *dry_run, now)?;
        }
        BikePart::Remove { id, dry_run } => garage::remove(&mut out, place, garage.store_mut(), id, *dry_run, now)?,
        BikePart::Removed => garage::removed(&mut out, place, garage.store())?,
        BikePart::Export { id, output } => show::export(&mut out, &garage.store().bike(id)?, output.as_deref())?,
        BikePart::History { id } => {
            let bike = garage.bike(chosen(id.as_deref()).as_deref())?;
            show::history(&mut out, place, garage.store(), &bike)?;
        }
        BikePart::Undo { change } => {
            let done = garage.store_mut().undo(*change, &Post::at(now))?;
            let by = done.change.unwrap_or(*change);
            writeln!(out, "Change {change} is undone. To bring it back: tightspot bike undo {by}")?;
        }
    }
    out.flush()?;
    Ok(())
}
