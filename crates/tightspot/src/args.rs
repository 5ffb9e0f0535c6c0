//! The command line: every command and option once. Commands follow the places of the pages.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand};

/// From a bike and a ride to a decision and a bench plan.
#[derive(Debug, Parser)]
#[command(
    name = "tightspot",
    version,
    about,
    arg_required_else_help = true,
    infer_subcommands = false,
    after_help = "Examples:\n  tightspot --demo ready                      the whole answer for the invented demo bike\n  \
                  tightspot --demo gearing fit --pair 14/50   will that pair fit, and where does the axle land\n  \
                  tightspot --demo serve                      the same as pages, on this machine only"
)]
pub(crate) struct Args {
    /// Where the record is and how answers are printed.
    #[command(flatten)]
    pub(crate) place: Place,
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// Where the record is and how answers are printed.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct Place {
    /// The store file; by default in the XDG data folder.
    #[arg(long, global = true, value_name = "FILE", conflicts_with = "demo")]
    pub(crate) store: Option<PathBuf>,
    /// A throw-away store with two invented bikes and a made ride.
    #[arg(long, global = true)]
    pub(crate) demo: bool,
    /// The bike; needed only where there are several.
    #[arg(long, global = true, value_name = "ID")]
    pub(crate) bike: Option<String>,
    /// Answer as JSON.
    #[arg(long, global = true, conflicts_with = "plain")]
    pub(crate) json: bool,
    /// Answer as tab-separated records, one a line.
    #[arg(long, global = true)]
    pub(crate) plain: bool,
    /// No colour, not even on a terminal.
    #[arg(long, global = true)]
    pub(crate) no_color: bool,
}

/// The commands, after the places of the pages.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Ask figures by JSON Lines, or list them.
    Figures(FiguresArgs),
    /// Run the outside checks that this binary carries, here and now.
    Prove(ProveArgs),
    /// Serve the pages on this machine only; the address is the first line printed.
    Serve(ServeArgs),
}

/// Ask figures by JSON Lines, or list them.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct FiguresArgs {
    /// A file of JSON Lines; standard input if left out or `-`.
    pub(crate) file: Option<PathBuf>,
    /// The folder that tracks named in the lines are relative to.
    #[arg(long)]
    pub(crate) base: Option<PathBuf>,
    /// List every figure with its inputs, units, bounds, answer, formula and source.
    #[arg(long)]
    pub(crate) list: bool,
}

/// Run the carried checks.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ProveArgs {
    /// Only files whose name contains this word: `slack`, `chain/fit`.
    pub(crate) filter: Option<String>,
    /// Name every row with its source.
    #[arg(long)]
    pub(crate) rows: bool,
}

/// Serve pages.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ServeArgs {
    /// The port; 0 takes a free one and says which.
    #[arg(long, default_value_t = 4717)]
    pub(crate) port: u16,
}
