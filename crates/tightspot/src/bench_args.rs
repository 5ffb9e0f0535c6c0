//! The command line of work orders.

use clap::Args as ClapArgs;

use crate::args::SetupArgs;

/// Which order, and who is at it.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct BenchArgs {
    /// The order by its number; needed only where several are open.
    #[arg(long, value_name = "N")]
    pub(crate) order: Option<i64>,
    /// Who is at the bench; another person reads the stops anew.
    #[arg(long, value_name = "NAME")]
    pub(crate) who: Option<String>,
}

/// A new order.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct StartArgs {
    /// Jobs by name; several make one order.
    #[arg(value_name = "JOB", required_unless_present = "due")]
    pub(crate) jobs: Vec<String>,
    /// Take what is due, beside the jobs named.
    #[arg(long)]
    pub(crate) due: bool,
    /// An answer against what the sheet says, such as front-retention=snap-ring.
    #[arg(long, value_name = "KEY=VALUE")]
    pub(crate) choice: Vec<String>,
    /// The setup wanted in the end.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
}

/// One step.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct StepArgs {
    /// The step by its number or its name in the plan; left out, the next one.
    #[arg(value_name = "STEP")]
    pub(crate) step: Option<String>,
    /// The order.
    #[command(flatten)]
    pub(crate) order: BenchArgs,
}

/// A tick.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct TickArgs {
    /// The step by its number or its name in the plan; left out, the next one.
    #[arg(value_name = "STEP")]
    pub(crate) step: Option<String>,
    /// Answers to its stop points, such as slack=85 or rear-pedal=yes.
    #[arg(long = "value", value_name = "HOLD=VALUE")]
    pub(crate) values: Vec<String>,
    /// Whether a number passes where no figure decides, such as slider-left=yes.
    #[arg(long, value_name = "HOLD=yes|no")]
    pub(crate) passes: Vec<String>,
    /// Why a number is right although it is off, such as rear-axle-torque="adapter in line".
    #[arg(long, value_name = "HOLD=REASON")]
    pub(crate) because: Vec<String>,
    /// Stop points let go with their reason; never where safety hangs on them.
    #[arg(long, value_name = "HOLD")]
    pub(crate) waive: Vec<String>,
    /// Stops that were read, by name; "all" for every one shown at this step.
    #[arg(long, value_name = "CAUTION")]
    pub(crate) read: Vec<String>,
    /// Why it is done out of turn.
    #[arg(long, value_name = "REASON")]
    pub(crate) reason: Option<String>,
    /// Hours until a threadlocker is cured, off its label.
    #[arg(long, value_name = "H")]
    pub(crate) cure: Option<String>,
    /// The order.
    #[command(flatten)]
    pub(crate) order: BenchArgs,
}

/// A stop point that does not pass.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct FailArgs {
    /// The stop point.
    #[arg(value_name = "HOLD")]
    pub(crate) hold: String,
    /// The number that was read, where it is one.
    #[arg(long, value_name = "VALUE")]
    pub(crate) value: Option<String>,
    /// Stops that were read, by name; "all" for every one shown at this step.
    #[arg(long, value_name = "CAUTION")]
    pub(crate) read: Vec<String>,
    /// The order.
    #[command(flatten)]
    pub(crate) order: BenchArgs,
}

/// A tick taken back.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct UntickArgs {
    /// The step by its number or its name in the plan.
    #[arg(value_name = "STEP")]
    pub(crate) step: String,
    /// Why; it stays in the record.
    #[arg(long, value_name = "REASON")]
    pub(crate) reason: String,
    /// The order.
    #[command(flatten)]
    pub(crate) order: BenchArgs,
}

/// A job brought in.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct AddArgs {
    /// The job by its name.
    #[arg(value_name = "JOB")]
    pub(crate) job: String,
    /// The order.
    #[command(flatten)]
    pub(crate) order: BenchArgs,
}

/// A figure of the manual.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct FigureArgs {
    /// The figure by its name in the library, such as valve-clearance.
    #[arg(value_name = "FIGURE")]
    pub(crate) figure: String,
    /// What the manual says.
    #[arg(value_name = "VALUE")]
    pub(crate) value: String,
    /// Its upper end, where the manual gives a range.
    #[arg(long, value_name = "VALUE")]
    pub(crate) to: Option<String>,
    /// Document and page.
    #[arg(long, value_name = "TEXT")]
    pub(crate) source: String,
}

/// The end of an order.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct CloseArgs {
    /// What the hour meter shows.
    #[arg(long, value_name = "H")]
    pub(crate) meter: Option<String>,
    /// The price of a part that went on, such as chain="92 EUR".
    #[arg(long, value_name = "PART=MONEY")]
    pub(crate) price: Vec<String>,
    /// The order.
    #[command(flatten)]
    pub(crate) order: BenchArgs,
}
