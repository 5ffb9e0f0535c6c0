//! The command line: every command and option once.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

/// From a bike and a ride to a decision and a bench plan.
#[derive(Debug, Parser)]
#[command(name = "tightspot", version, about)]
pub(crate) struct Args {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// The commands, after the places of the pages.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Ask figures by JSON Lines, or list them.
    Figures(FiguresArgs),
    /// Serve the pages on this machine; the address is the first line printed.
    Serve(ServeArgs),
}

/// Ask figures by JSON Lines, or list them.
#[derive(Debug, clap::Args)]
pub(crate) struct FiguresArgs {
    /// A file of JSON Lines; standard input if left out or `-`.
    pub(crate) file: Option<PathBuf>,
    /// The folder that tracks named in the lines are relative to.
    #[arg(long)]
    pub(crate) base: Option<PathBuf>,
    /// List every figure with its inputs, units, bounds, answer, formula and source.
    #[arg(long)]
    pub(crate) list: bool,
    /// The list as JSON.
    #[arg(long, requires = "list")]
    pub(crate) json: bool,
}

/// Serve the pages on this machine; the address is the first line printed.
#[derive(Debug, clap::Args)]
pub(crate) struct ServeArgs {
    /// The port; 0 takes a free one.
    #[arg(long, default_value_t = 4717)]
    pub(crate) port: u16,
    /// Show the invented bike of the demo; nothing is written.
    #[arg(long, conflicts_with = "store")]
    pub(crate) demo: bool,
    /// The file with your record.
    #[arg(long, value_name = "FILE")]
    pub(crate) store: Option<PathBuf>,
}
