//! The binary: commands, pages and API over one set of figures.

mod args;
mod figures_command;

use std::process::ExitCode;

use clap::Parser as _;

fn main() -> ExitCode {
    match args::Args::parse().command {
        args::Command::Figures(figures) => figures_command::run(&figures),
    }
}
