//! The binary: commands, pages and API over one set of figures.

mod api;
mod args;
mod asked;
mod bike_command;
mod calendar;
mod choose_args;
mod choosing;
mod commands;
mod demo_record;
mod figures_command;
mod figures_list;
mod folders;
mod frame;
mod garage;
mod pages;
mod problem;
mod prove_command;
mod record_args;
mod recorded;
mod serve;
mod sources;
mod terminal;

use std::process::ExitCode;

use clap::Parser as _;

fn main() -> ExitCode {
    let args = args::Args::parse();
    commands::run(&args.place, &args.command)
}
