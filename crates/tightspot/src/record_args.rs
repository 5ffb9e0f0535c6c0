//! The command line of the record: what is written down about a bike, and taken out whole.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

/// When something was so, and what the meter showed then.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct WhenArgs {
    /// The day or time: 2026-09-24, or 2026-09-24T18:00; left out, now.
    #[arg(long, value_name = "DATE")]
    pub(crate) at: Option<String>,
    /// What the hour meter shows.
    #[arg(long, value_name = "H")]
    pub(crate) meter: Option<String>,
    /// The entry that this one corrects, by its number in the history; both stay.
    #[arg(long, value_name = "N")]
    pub(crate) corrects: Option<i64>,
    /// Anything worth keeping.
    #[arg(long, value_name = "TEXT")]
    pub(crate) note: Option<String>,
}

/// A ride in four facts.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct LogArgs {
    /// Hours ridden: 2.75, 2,75 or 2:45; may be left out where the meter is given.
    #[arg(long, value_name = "H")]
    pub(crate) hours: Option<String>,
    /// The ground, in your own word; left out, as last time.
    #[arg(long, value_name = "WORD")]
    pub(crate) ground: Option<String>,
    /// It was wet; left out with --dry, as last time.
    #[arg(long, conflicts_with = "dry")]
    pub(crate) wet: bool,
    /// It was dry.
    #[arg(long)]
    pub(crate) dry: bool,
    /// What seemed odd: slap, clunk, skip, leak, other. It opens an inspection.
    #[arg(long, value_name = "WORD")]
    pub(crate) odd: Option<String>,
    /// What to call it; left out, its day.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// When, and what the meter shows.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// A ride or event to come.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct PlanRideArgs {
    /// What it is called.
    pub(crate) name: String,
    /// Its day or time: 2026-09-26, or 2026-09-26T08:00.
    #[arg(long, value_name = "DATE")]
    pub(crate) at: String,
    /// About how many hours.
    #[arg(long, value_name = "H")]
    pub(crate) hours: Option<String>,
    /// It is an event with others: nothing new the night before.
    #[arg(long)]
    pub(crate) event: bool,
}

/// A span of riding.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct SeasonArgs {
    /// The first day; left out, twelve months ago.
    #[arg(long, value_name = "DATE")]
    pub(crate) from: Option<String>,
    /// The last day; left out, today.
    #[arg(long, value_name = "DATE")]
    pub(crate) to: Option<String>,
}

/// What is measured.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum MeasurePart {
    /// Slack at one place of the chain or several, fully down to fully up.
    Slack {
        /// Readings in order, such as 84 83 86,5.
        #[arg(required = true, value_name = "MM")]
        readings: Vec<String>,
        /// Links gone by between two readings, such as 12 for quarter turns of 48 teeth.
        #[arg(long, value_name = "N")]
        step_links: Option<String>,
        /// Place along the lower run from the front; 0.5 is the middle.
        #[arg(long, value_name = "SHARE")]
        station: Option<String>,
        /// stand, wheels on the ground, rider on, in line.
        #[arg(long, default_value = "stand", value_name = "WORD")]
        state: String,
        /// free or gap; the two are never turned into one another.
        #[arg(long, default_value = "free", value_name = "WORD")]
        kind: String,
        /// When, and what the meter shows.
        #[command(flatten)]
        when: WhenArgs,
    },
    /// The chain's length over some pitches, at 3 places or more.
    Elongation {
        /// Lengths, one for each place; several of one place with a slash, such as 319.4/319.5.
        #[arg(required = true, value_name = "MM")]
        lengths: Vec<String>,
        /// Pitches counted: gaps, one fewer than pins.
        #[arg(long, default_value = "20", value_name = "N")]
        pitches: String,
        /// Largest error of the instrument: of a steel rule read by eye as on the page, of a caliper 0.05.
        #[arg(long, default_value = "0.5", value_name = "MM")]
        error: String,
        /// Its step; of a caliper 0.01.
        #[arg(long, default_value = "0.5", value_name = "MM")]
        step: String,
        /// When, and what the meter shows.
        #[command(flatten)]
        when: WhenArgs,
    },
    /// Pivot to axle on both sides.
    Alignment {
        /// Left.
        #[arg(value_name = "LEFT_MM")]
        left: String,
        /// Right.
        #[arg(value_name = "RIGHT_MM")]
        right: String,
        /// When, and what the meter shows.
        #[command(flatten)]
        when: WhenArgs,
    },
}

/// The hour meter.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct MeterArgs {
    /// What it shows.
    #[arg(required_unless_present = "swap", conflicts_with = "swap", value_name = "H")]
    pub(crate) hours: Option<String>,
    /// It was changed: what the old one showed last, and the new one first.
    #[arg(long, num_args = 2, value_names = ["OLD_H", "NEW_H"])]
    pub(crate) swap: Option<Vec<String>>,
    /// When.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// A part that was fitted.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct FittedArgs {
    /// chain, front, rear or other.
    pub(crate) role: String,
    /// What it is called.
    pub(crate) name: String,
    /// Teeth or links.
    #[arg(long, value_name = "N")]
    pub(crate) count: Option<String>,
    /// Hours that it had already.
    #[arg(long, value_name = "H")]
    pub(crate) used: Option<String>,
    /// Its price with its currency, such as "92 EUR".
    #[arg(long, value_name = "MONEY")]
    pub(crate) price: Option<String>,
    /// When, and what the meter shows.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// Work on a job.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct WorkArgs {
    /// The job, by its name in the library.
    pub(crate) job: String,
    /// What was looked at, such as brake=firm or axle=set; a fastener's torque comes from the sheet, or axle=set:100.
    #[arg(long = "check", value_name = "NAME=ANSWER")]
    pub(crate) checks: Vec<String>,
    /// When, and what the meter shows.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// What was looked at.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct CheckArgs {
    /// Checks, such as bearings=smooth inspection=nothing-found; or a folder of jobs, which is held against the carried ones.
    #[arg(required = true, value_name = "NAME=ANSWER|FOLDER")]
    pub(crate) checks: Vec<String>,
    /// When, and what the meter shows.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// The whole record, in or out.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ExportArgs {
    /// The file; standard output if left out or `-`. With --csv a folder that does not exist yet.
    #[arg(value_name = "FILE")]
    pub(crate) to: Option<PathBuf>,
    /// One CSV file a table instead of one JSON document.
    #[arg(long, requires = "to")]
    pub(crate) csv: bool,
    /// The days ahead as a calendar file: planned rides, due work, parts to have by then.
    #[arg(long, conflicts_with_all = ["csv", "schema"])]
    pub(crate) calendar: bool,
    /// The schema that every such document follows, and no document.
    #[arg(long, conflicts_with = "csv")]
    pub(crate) schema: bool,
}

/// A file to read.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ImportArgs {
    /// The file, or `-` for standard input.
    pub(crate) file: PathBuf,
    /// Say what would come, change nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
}

/// A file of a copy.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct CopyArgs {
    /// The file.
    pub(crate) file: PathBuf,
}
