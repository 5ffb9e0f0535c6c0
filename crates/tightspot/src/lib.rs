//! Commands, pages and API over one set of figures. The binary runs them; [`Demo`] asks the pages without a socket.

mod along;
mod api;
mod args;
mod asked;
mod bench_args;
mod bike_command;
mod calendar;
mod choose_args;
mod choosing;
mod commands;
mod demo_bench;
mod demo_record;
mod demo_shelf;
mod diagnosed;
mod figures_command;
mod figures_list;
mod folders;
mod frame;
mod garage;
mod help;
mod noted;
mod own_jobs;
mod pages;
mod parts_args;
mod problem;
mod prove_command;
mod record_args;
mod recorded;
mod serve;
mod sets_args;
mod settings;
mod sheet;
mod shopping;
mod sources;
mod terminal;
mod workbench;

use std::io::Write as _;
use std::process::ExitCode;

use clap::FromArgMatches as _;
use clap::error::ErrorKind;

pub use serve::Demo;

/// The program: what was typed is read, done and told; a server ends when it is asked to.
#[must_use]
pub fn run() -> ExitCode {
    let mut args = match help::command().try_get_matches().and_then(|found| args::Args::from_arg_matches(&found)) {
        Ok(args) => args,
        Err(asked) => return explain(&asked),
    };
    let settings = match settings::Settings::read() {
        Ok(settings) => settings,
        Err(problem) => return problem.tell(),
    };
    let holding = settings.holding(&args);
    settings.fill(&mut args);
    if let Err(problem) = own_jobs::take(&args.place, &args.command) {
        return problem.tell();
    }
    let run = || measure::shown::in_units(args.units(), || commands::run(&args.place, &args.command, &holding));
    diagnosed::around(&args, &holding, run)
}

/// Prints help where it was asked for, where nothing was asked at all, or of a command that only groups others; else what
/// is wrong with the asking.
fn explain(asked: &clap::Error) -> ExitCode {
    let bare = std::env::args_os().count() == 1;
    if bare && asked.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand {
        let _ = write!(std::io::stdout(), "{}", help::command().render_help());
        return ExitCode::SUCCESS;
    }
    if let Some(help) = help::of_group(asked) {
        let _ = write!(std::io::stderr(), "{help}");
        return ExitCode::from(2);
    }
    let _ = asked.print();
    if let Some(words) = help::elsewhere(asked) {
        let _ = writeln!(std::io::stderr(), "{words}");
    }
    if asked.use_stderr() { ExitCode::from(2) } else { ExitCode::SUCCESS }
}
