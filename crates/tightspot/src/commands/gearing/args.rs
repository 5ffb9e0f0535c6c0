//! The options of `tightspot gearing`.

use clap::{Args as ClapArgs, Subcommand, ValueEnum};

use crate::args::SetupArgs;

/// Which pair, will it fit.
#[derive(Debug, Clone, ClapArgs)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct GearingArgs {
    /// One part of the question; without it pair against pair.
    #[command(subcommand)]
    pub(crate) part: Option<GearingPart>,
    /// The rides that the answer stands on.
    #[command(flatten)]
    pub(crate) rides: RidesArgs,
    /// What lies on the shelf: teeth of sprockets, links of chains, such as 13,50,120.
    #[arg(long, value_name = "COUNTS")]
    pub(crate) shelf: Option<String>,
}

/// Rides with how much they count.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct RidesArgs {
    /// A recorded ride on like ground: a GPX file or the name of a stored ride; `:2` behind it counts it twice.
    #[arg(long, value_name = "FILE|NAME[:WEIGHT]")]
    pub(crate) ride: Vec<String>,
    /// Every stored ride; with --ground those on that ground.
    #[arg(long, conflicts_with = "ride")]
    pub(crate) all: bool,
    /// The age in days at which a ride counts half.
    #[arg(long, value_name = "DAYS")]
    pub(crate) half_life: Option<String>,
    /// The ground: road, fire-road, gravel, trail, clay, grass, sand, mud; by default what is kept with the ride.
    #[arg(long, value_name = "WORD")]
    pub(crate) ground: Option<String>,
    /// A weight of the gear choice, such as one_gear_step=1.2; the answer names them all.
    #[arg(long, value_name = "NAME=NUMBER")]
    pub(crate) cost: Vec<String>,
}

/// Parts of the gearing question.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum GearingPart {
    /// Where the axle lands, what is left each way, when it runs out.
    Fit(SetupArgs),
    /// Every pair and even link count at a glance.
    Map(SetupArgs),
    /// What changing to another pair means, both ways spelled out.
    Swap(SetupArgs),
    /// Without a ride: how slow it must crawl, how fast it must go.
    Wish(WishArgs),
    /// One stretch of a ride on several pairs: gear, rpm, thrust in reserve.
    Stretch(StretchArgs),
    /// Which pair makes this bike feel like another one of the store.
    Like(LikeArgs),
    /// What to buy so that every ride can be geared for; rides in calendar order.
    Kit(KitArgs),
    /// Whether a change of pair did what was forecast, from stored rides before and after it.
    Outcome(OutcomeArgs),
}

/// What the next ground asks.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct WishArgs {
    /// Slowest speed to be ridden with the clutch fully out, km/h.
    #[arg(long, value_name = "KM/H")]
    pub(crate) crawl: String,
    /// Fastest speed wanted, km/h.
    #[arg(long, value_name = "KM/H")]
    pub(crate) top: Option<String>,
    /// What lies on the shelf, as in gearing.
    #[arg(long, value_name = "COUNTS")]
    pub(crate) shelf: Option<String>,
}

/// A stretch of one ride.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct StretchArgs {
    /// The ride: a GPX file or the name of a stored ride.
    #[arg(long, value_name = "FILE|NAME")]
    pub(crate) ride: String,
    /// Where the stretch begins: minutes:seconds of the ride.
    #[arg(long, value_name = "4:20")]
    pub(crate) from: String,
    /// Where it ends.
    #[arg(long, value_name = "7:05")]
    pub(crate) to: String,
    /// The pairs to compare with what is fitted; by default one and two teeth from it.
    #[arg(long, value_name = "13/48,14/50", value_delimiter = ',')]
    pub(crate) pairs: Vec<String>,
    /// The ground, as in gearing.
    #[arg(long, value_name = "WORD")]
    pub(crate) ground: Option<String>,
}

/// What is compared between two bikes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ByWord {
    /// Speed at the same rpm.
    Speed,
    /// Thrust at the same speed.
    Thrust,
}

/// Another bike.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct LikeArgs {
    /// The bike of the store that this one shall feel like.
    pub(crate) other: String,
    /// By speed at the same rpm, or by thrust at the same speed.
    #[arg(long, value_enum, default_value = "speed")]
    pub(crate) by: ByWord,
}

/// Sprockets for a season.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct KitArgs {
    /// The rides, in calendar order.
    #[command(flatten)]
    pub(crate) rides: RidesArgs,
    /// What lies on the shelf, as in gearing.
    #[arg(long, value_name = "COUNTS")]
    pub(crate) shelf: Option<String>,
}

/// A change of pair.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct OutcomeArgs {
    /// The old pair; by default the last one ridden before the new one.
    #[arg(long, value_name = "14/48", requires = "new")]
    pub(crate) old: Option<String>,
    /// The new pair; by default that of the latest ride.
    #[arg(long, value_name = "13/48", requires = "old")]
    pub(crate) new: Option<String>,
    /// Only rides on this ground.
    #[arg(long, value_name = "WORD")]
    pub(crate) ground: Option<String>,
}
