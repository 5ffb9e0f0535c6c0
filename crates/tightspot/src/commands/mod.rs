//! The commands of the places: each asks `advice` for a view and prints it. One file per place.

mod choose;
mod drive;
mod gearing;
mod job;
mod log;
mod measure;
mod ready;
mod ride;
mod whole;
mod work;
mod written;

use std::io::{self, Write};
use std::process::ExitCode;

use advice::Block;
use serde::Serialize;

pub(crate) use self::gearing::args::GearingArgs;
pub(crate) use self::ride::args::RideArgs;
use crate::args::{Command, Place};
use crate::problem::Problem;
use crate::terminal::{self, Look};

/// Runs a command.
pub(crate) fn run(place: &Place, command: &Command) -> ExitCode {
    let done = match command {
        Command::Ready(args) => match ready::run(place, args) {
            Ok(status) => return status,
            Err(problem) => Err(problem),
        },
        Command::Gearing(args) => gearing::run(place, args),
        Command::Drive(args) => drive::run(place, args),
        Command::Job(args) => job::run(place, args),
        Command::Ride(args) => ride::run(place, args),
        Command::Parts(args) => job::parts(place, args),
        Command::Doctor => whole::doctor(place),
        Command::Export(args) => whole::export(place, args),
        Command::Import(args) => whole::import(place, args),
        Command::Backup(args) => whole::backup(place, args),
        Command::Restore(args) => whole::restore(place, args),
        Command::Bike(args) => return crate::bike_command::run(place, args),
        Command::Figures(args) => return crate::figures_command::run(place, args),
        Command::Prove(args) => return crate::prove_command::run(place, args),
        Command::Serve(args) => return crate::serve::run(place, args),
    };
    match done {
        // Whoever reads through a pipe may stop reading: that is no failure of ours.
        Ok(()) | Err(Problem::ReaderLeft) => ExitCode::SUCCESS,
        Err(problem) => problem.tell(),
    }
}

/// Prints a view in the form asked for.
fn show<V: Serialize>(place: &Place, view: &V, blocks: &[Block<'_>]) -> Result<(), Problem> {
    let mut out = io::BufWriter::new(io::stdout().lock());
    if place.json {
        let text = serde_json::to_string_pretty(view).map_err(|why| Problem::failed(why.to_string()))?;
        writeln!(out, "{text}")?;
    } else if place.plain {
        terminal::print_plain(&mut out, blocks)?;
    } else {
        terminal::print(&mut out, blocks, Look::choose(place.no_color))?;
    }
    out.flush()?;
    Ok(())
}
