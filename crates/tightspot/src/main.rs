//! The binary: commands, pages and API over one set of figures.

mod api;
mod args;
mod figures_command;
mod frame;
mod pages;
mod serve;
mod typed;

use std::process::ExitCode;

use clap::Parser as _;

fn main() -> ExitCode {
    match args::Args::parse().command {
        args::Command::Figures(figures) => figures_command::run(&figures),
        args::Command::Serve(serve) => serve::run(&serve),
    }
}
