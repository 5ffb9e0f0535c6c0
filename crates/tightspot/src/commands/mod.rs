//! The commands of the places: each asks `advice` for a view and prints it. One file per place.

mod bench;
mod choose;
mod drive;
mod gearing;
mod geometry;
mod job;
mod log;
mod measure;
mod parts;
mod ready;
mod ride;
mod sets;
mod told;
mod whole;
mod work;
mod written;

use std::io::{self, BufRead as _, IsTerminal as _, Write};
use std::process::ExitCode;

use advice::Block;
use serde::Serialize;

pub(crate) use self::gearing::args::GearingArgs;
pub(crate) use self::geometry::GeometryArgs;
pub(crate) use self::ride::args::RideArgs;
pub(crate) use self::written::meter_runs_on;
use crate::args::{Command, ConfigPart, Place};
use crate::problem::Problem;
use crate::settings::Holding;
use crate::terminal::{self, Look};

/// Runs a command.
pub(crate) fn run(place: &Place, command: &Command, holding: &[Holding]) -> ExitCode {
    let done = match command {
        Command::Ready(args) => match ready::run(place, args) {
            Ok(status) => return status,
            Err(problem) => Err(problem),
        },
        Command::Gearing(args) => gearing::run(place, args),
        Command::Drive(args) => drive::run(place, args),
        Command::Job(args) => job::run(place, args),
        Command::Ride(args) => ride::run(place, args),
        Command::Parts(args) => parts::run(place, args),
        Command::Doctor => whole::doctor(place),
        Command::Export(args) => whole::export(place, args),
        Command::Import(args) => whole::import(place, args),
        Command::Backup(args) => whole::backup(place, args),
        Command::Restore(args) => whole::restore(place, args),
        Command::Bike(args) => return crate::bike_command::run(place, args),
        Command::Figures(args) => return crate::figures_command::run(place, args),
        Command::Prove(args) => return crate::prove_command::run(place, args),
        Command::Serve(args) => return crate::serve::run(place, args),
        Command::Config(ConfigPart::Show) => told::settings(place, holding),
        Command::Completions(args) => told::completions(args),
        Command::Man(args) => told::man(args),
    };
    match done {
        // Whoever reads through a pipe may stop reading: that is no failure of ours.
        Ok(()) | Err(Problem::ReaderLeft) => ExitCode::SUCCESS,
        Err(problem) => problem.tell(),
    }
}

/// Refuses to wait for a document that somebody would have to type.
pub(crate) fn not_typed(command: &str, what: &str) -> Result<(), Problem> {
    if io::stdin().is_terminal() {
        let text = format!(
            "{command}: {what} is read from a file or a pipe; here nothing is piped in. See: tightspot {command} --help"
        );
        return Err(Problem::usage(text));
    }
    Ok(())
}

/// Asks back before something large; only on a terminal, else `--yes` must have said so.
pub(crate) fn confirm(place: &Place, what: &str) -> Result<(), Problem> {
    if place.yes {
        return Ok(());
    }
    let mut asked = io::stderr().lock();
    if place.no_input || !io::stdin().is_terminal() || !asked.is_terminal() {
        return Err(Problem::usage(format!("{what} Nothing was changed. Say --yes if it is meant.")));
    }
    write!(asked, "{what} Type yes to do it: ")?;
    asked.flush()?;
    let mut line = String::new();
    io::stdin().lock().read_line(&mut line)?;
    if line.trim() == "yes" { Ok(()) } else { Err(Problem::failed("Nothing was changed.")) }
}

/// Prints a view in the form asked for.
pub(crate) fn show<V: Serialize>(place: &Place, view: &V, blocks: &[Block<'_>]) -> Result<(), Problem> {
    let mut text = Vec::new();
    if place.json {
        serde_json::to_writer_pretty(&mut text, view).map_err(|why| Problem::failed(why.to_string()))?;
        text.push(b'\n');
    } else if place.plain {
        terminal::print_plain(&mut text, blocks)?;
    } else {
        terminal::print(&mut text, blocks, Look::choose(place.no_color))?;
    }
    let mut out = io::stdout().lock();
    out.write_all(terminal::harmless(&String::from_utf8_lossy(&text)).as_bytes())?;
    out.flush()?;
    Ok(())
}
