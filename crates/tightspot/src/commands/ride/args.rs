//! The options of `tightspot ride`.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

use crate::args::SetupArgs;
use crate::record_args::{LogArgs, PlanRideArgs, SeasonArgs};

/// Rides.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct RideArgs {
    /// What to do with rides.
    #[command(subcommand)]
    pub(crate) part: RidePart,
}

/// What to do with rides.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum RidePart {
    /// The stored rides.
    List,
    /// Write a ride down: hours, ground, wet or dry, anything odd.
    Log(LogArgs),
    /// Write down a ride or event to come.
    Plan(PlanRideArgs),
    /// What a span of riding cost.
    Season(SeasonArgs),
    /// Reads tracks (GPX, or a logger's table), smooths them, keeps speed, grade and time: no places.
    Import(ImportArgs),
    /// What a ride asked of the gearing; for a logger's table with rpm, which gear was in.
    Show(ShowArgs),
}

/// One ride.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ShowArgs {
    /// The ride's name, or a file.
    pub(crate) ride: String,
    /// What was fitted on it; by default what is kept with it, else what the bike sheet says.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
}

/// Tracks to bring in.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ImportArgs {
    /// Files, or folders whose .gpx and .csv files are taken in order of their names, or `-` for standard input.
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// What to call it; only for one file. By default the file's name.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// The ground: road, fire-road, gravel, trail, clay, grass, sand, mud.
    #[arg(long, value_name = "WORD")]
    pub(crate) ground: Option<String>,
    /// What was fitted on these rides; by default what the bike sheet says.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
    /// Keep the places, too; without it no place is kept.
    #[arg(long)]
    pub(crate) places: bool,
    /// Say what would be kept, keep nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
}
