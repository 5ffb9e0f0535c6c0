//! The command line of sets: a chain and its sprockets kept as one.

use clap::{Args as ClapArgs, Subcommand};

use crate::record_args::WhenArgs;

/// Sets.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct SetsArgs {
    /// What to do; left out, the sets with their parts, hours and whereabouts.
    #[command(subcommand)]
    pub(crate) part: Option<SetsPart>,
}

/// What to do with sets.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum SetsPart {
    /// Keep parts together under a name: those that are on the bike, or those named.
    Keep(KeepArgs),
    /// Put a set on: what is on goes to the shelf, each part's hours go with it, the sheet follows.
    On(OnArgs),
    /// Take everything off and lay it on the shelf; the work is open until a set is on.
    Off(OffArgs),
    /// Keep a set no longer; its parts stay where they are.
    Forget(ForgetArgs),
}

/// Which parts make the set.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct KeepArgs {
    /// What the set is called.
    pub(crate) name: String,
    /// The chain by its name; left out, the one that is on; `-` for none.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub(crate) chain: Option<String>,
    /// The front sprocket, likewise.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub(crate) front: Option<String>,
    /// The rear sprocket, likewise.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub(crate) rear: Option<String>,
    /// When.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// A set to be put on.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct OnArgs {
    /// What the set is called.
    pub(crate) name: String,
    /// What was confirmed, such as joint=closed-end-leads, axle=set, brake=firm; the rest stands as not confirmed.
    #[arg(long = "check", value_name = "NAME=ANSWER")]
    pub(crate) checks: Vec<String>,
    /// Say what would change, change nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// When, and what the meter shows.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// Everything to be taken off.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct OffArgs {
    /// Say what would change, change nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// When, and what the meter shows.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// A set that is one no longer.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ForgetArgs {
    /// What the set is called.
    pub(crate) name: String,
    /// Say what would change, change nothing.
    #[arg(long)]
    pub(crate) dry_run: bool,
}
