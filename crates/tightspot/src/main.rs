//! The binary: commands, pages and API over one set of figures.

mod api;
mod args;
mod asked;
mod bike_command;
mod commands;
mod figures_command;
mod figures_list;
mod frame;
mod garage;
mod pages;
mod problem;
mod prove_command;
mod recorded;
mod serve;
mod sources;
mod terminal;

use std::process::ExitCode;

use args::Command;
use clap::Parser as _;

fn main() -> ExitCode {
    let args = args::Args::parse();
    let place = &args.place;
    match &args.command {
        Command::Bike(bike) => bike_command::run(place, bike),
        Command::Figures(figures) => figures_command::run(place, figures),
        Command::Prove(prove) => prove_command::run(place, prove),
        Command::Serve(serve) => serve::run(place, serve),
        command => commands::run(place, command),
    }
}
