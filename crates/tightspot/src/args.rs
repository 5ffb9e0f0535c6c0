//! The command line: every command and option once. Commands follow the places of the pages.

use std::net::IpAddr;
use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args as ClapArgs, Parser, Subcommand};
use measure::shown::Units;

use crate::bench_args::{
    AddArgs, BenchArgs, CloseArgs, FailArgs, FigureArgs, StartArgs, StepArgs, TickArgs, UntickArgs,
};
use crate::choose_args::{OrderArgs, ReplaceArgs, ShelfArgs, ThroughArgs};
use crate::record_args::{
    CheckArgs, CopyArgs, ExportArgs, FittedArgs, ImportArgs, MeasurePart, MeterArgs, WhenArgs, WorkArgs,
};
use crate::sets_args::SetsArgs;

/// From a bike and a ride to a decision and a bench plan.
#[derive(Debug, Parser)]
#[command(name = "tightspot", version, about, arg_required_else_help = true, infer_subcommands = false)]
pub(crate) struct Args {
    /// Where the record is and how answers are printed.
    #[command(flatten)]
    pub(crate) place: Place,
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

impl Args {
    /// The units that the answer is read in; what programs read stays as its names say.
    pub(crate) fn units(&self) -> Units {
        let for_programs = matches!(self.command, Command::Figures(_) | Command::Export(_) | Command::Import(_));
        if self.place.json || for_programs { Units::Metric } else { self.place.units.unwrap_or_default() }
    }
}

/// The words of both units, each read as what it means.
fn units() -> impl TypedValueParser<Value = Units> {
    PossibleValuesParser::new(Units::ALL.map(Units::word)).map(|word| Units::named(&word).unwrap_or_default())
}

/// What the options are headed by that every command takes: after its own.
const EVERYWHERE: &str = "Of every command";

/// Where the record is and how answers are printed.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct Place {
    /// The store file; by default in the XDG data folder.
    #[arg(long, global = true, help_heading = EVERYWHERE, value_name = "FILE", conflicts_with = "demo")]
    pub(crate) store: Option<PathBuf>,
    /// A throw-away store with two invented bikes and a made ride.
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub(crate) demo: bool,
    /// Your own folder of jobs and cautions, laid over the carried ones; by default `jobs` in the XDG settings folder.
    #[arg(long = "jobs", global = true, help_heading = EVERYWHERE, value_name = "FOLDER")]
    pub(crate) own_jobs: Option<PathBuf>,
    /// The demo in another state, to look at each answer.
    #[arg(long, global = true, help_heading = EVERYWHERE, requires = "demo", value_name = "WORD")]
    pub(crate) demo_state: Option<crate::demo_record::DemoState>,
    /// The bike; needed only where there are several.
    #[arg(long, global = true, help_heading = EVERYWHERE, value_name = "ID")]
    pub(crate) bike: Option<String>,
    /// Answer as JSON.
    #[arg(long, global = true, help_heading = EVERYWHERE, conflicts_with = "plain")]
    pub(crate) json: bool,
    /// Answer as tab-separated records, one a line.
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub(crate) plain: bool,
    /// What lengths, speeds and weights are read in: mm or inch. JSON always says what its names say.
    #[arg(long, global = true, help_heading = EVERYWHERE, value_name = "WORD", value_parser = units())]
    pub(crate) units: Option<Units>,
    /// Say on standard error where everything is, how long it took, and what a fault was caused by.
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub(crate) debug: bool,
    /// No colour, not even on a terminal.
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub(crate) no_color: bool,
    /// Yes to whatever would be asked back.
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub(crate) yes: bool,
    /// Never ask back: what would need an answer is refused.
    #[arg(long, global = true, help_heading = EVERYWHERE, conflicts_with = "yes")]
    pub(crate) no_input: bool,
}

/// The commands, after the places of the pages.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Can I ride, and what first: pair, fit, slack and plan in one go.
    Ready(ReadyArgs),
    /// Which pair for this ground, and will it fit.
    Gearing(crate::commands::GearingArgs),
    /// Is the chain right: slack, adjusters, alignment.
    Drive(DriveArgs),
    /// What do I do now, to which figure.
    Job(JobArgs),
    /// Recorded rides: import, list, show.
    Ride(crate::commands::RideArgs),
    /// Have I got it: parts against the shelf, prices, the last day to order.
    Parts(crate::parts_args::PartsArgs),
    /// Ask figures by JSON Lines, or list them.
    Figures(FiguresArgs),
    /// Bikes and their sheets: every figure a rider gives, with its source.
    Bike(crate::bike_command::BikeArgs),
    /// Run the outside checks that this binary carries, here and now.
    Prove(ProveArgs),
    /// Look the whole record over, row by row.
    Doctor,
    /// The whole record as one JSON document, or as CSV.
    Export(ExportArgs),
    /// Read such a document into an empty store.
    Import(ImportArgs),
    /// A whole, checked copy of the store while it is in use.
    Backup(CopyArgs),
    /// Go back to a copy; the present store is kept aside.
    Restore(ImportArgs),
    /// Serve the pages, on this machine only unless told otherwise; the address is the first line printed.
    Serve(ServeArgs),
    /// Settings, and where each comes from.
    #[command(subcommand)]
    Config(ConfigPart),
    /// Completions for your shell, on standard output.
    Completions(CompletionsArgs),
    /// The manual page, on standard output; or one page a command in a folder.
    Man(ManArgs),
}

/// What to do with settings.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum ConfigPart {
    /// Every setting, its value and where that comes from: flag, environment, project file, own file, default.
    Show,
}

/// Completions of a shell.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct CompletionsArgs {
    /// The shell.
    pub(crate) shell: clap_complete::Shell,
}

/// Manual pages.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ManArgs {
    /// One page a command, in this folder.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) folder: Option<PathBuf>,
}

/// What a setup is thought to be: left out, what is fitted.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct SetupArgs {
    /// Another pair: front/rear teeth.
    #[arg(long, value_name = "14/48")]
    pub(crate) pair: Option<String>,
    /// Another link count.
    #[arg(long, value_name = "N")]
    pub(crate) links: Option<String>,
}

/// The whole answer.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ReadyArgs {
    /// A recorded ride on like ground: a GPX file, or the name of a stored ride.
    #[arg(long, value_name = "FILE|NAME")]
    pub(crate) ride: Option<String>,
    /// The ground: road, fire-road, gravel, trail, clay, grass, sand, mud.
    #[arg(long, value_name = "WORD")]
    pub(crate) ground: Option<String>,
    /// Slack as read: mid lower run, fully down to fully up, on the stand.
    #[arg(long, value_name = "MM")]
    pub(crate) slack: Option<String>,
    /// Ride against a stop: your reason, which stays in the history.
    #[arg(long, value_name = "REASON")]
    pub(crate) against_stop: Option<String>,
    /// Exit with 10 for care, 11 for stop, 12 for not known.
    #[arg(long)]
    pub(crate) verdict_exit: bool,
    /// Another pair than the answer proposes.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
}

/// Slack, adjusters, alignment.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct DriveArgs {
    /// One part of the question.
    #[command(subcommand)]
    pub(crate) part: DrivePart,
}

/// Parts of the drive question.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum DrivePart {
    /// To which reading the slack is set, and what a reading means.
    Slack(SlackArgs),
    /// Where the countershaft lies, told by readings of slack along the travel.
    Geometry(crate::commands::GeometryArgs),
    /// Write down what was read: slack, elongation, alignment.
    #[command(subcommand)]
    Measure(MeasurePart),
    /// Write down what the hour meter shows, or that it was changed.
    Meter(MeterArgs),
    /// Write down that a part was fitted.
    Fitted(FittedArgs),
    /// What happened when.
    History,
    /// How long the chain lasts, and what each ground costs.
    Forecast,
    /// Replace together or singly: what each choice loses.
    Replace(ReplaceArgs),
    /// What to measure next: the reading that changes the verdict most per minute.
    Next,
    /// Ride it or miss it: the chance that chain and slack hold, and what raises it.
    Through(ThroughArgs),
    /// What to order by when, what it costs per hour, how often it comes round.
    Order(OrderArgs),
    /// What lies on the shelf; lay a part there, or take it off.
    Shelf(ShelfArgs),
    /// Sets of chain and sprockets: keep parts together, put one set on in place of another, each part's hours follow.
    Sets(SetsArgs),
    /// A bike bought used: what its chain is worth, its hours known as a range; with --keep the range is written down.
    FirstDay(FirstDayArgs),
}

/// The hours of a chain bought used; left out, the range that is kept.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct FirstDayArgs {
    /// At least so many hours.
    #[arg(value_name = "LOW_H", requires = "high")]
    pub(crate) low: Option<String>,
    /// At most so many hours.
    #[arg(value_name = "HIGH_H")]
    pub(crate) high: Option<String>,
    /// Keep the range: hours, wear and verdict then go on from it.
    #[arg(long, requires = "high")]
    pub(crate) keep: bool,
    /// Whose hours they are: chain, front, rear, or bike with all on it that is not recorded as fitted.
    #[arg(long, value_name = "WORD", default_value = "chain")]
    pub(crate) whose: String,
    /// When it was so, and what the meter showed.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}

/// To which reading the slack is set.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct SlackArgs {
    /// Slack as read: mid lower run, fully down to fully up, on the stand.
    #[arg(long, value_name = "MM")]
    pub(crate) reading: Option<String>,
    /// Axle place on the left, larger further back.
    #[arg(long, value_name = "MM", requires = "right")]
    pub(crate) left: Option<String>,
    /// Axle place on the right.
    #[arg(long, value_name = "MM", requires = "left")]
    pub(crate) right: Option<String>,
    /// The setup.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
}

/// Jobs.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct JobArgs {
    /// What to do with jobs.
    #[command(subcommand)]
    pub(crate) part: JobPart,
}

/// What to do with jobs.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum JobPart {
    /// The jobs of the library.
    List,
    /// The ordered steps of a job, with tools, parts, cautions and missing figures.
    Plan(PlanArgs),
    /// The same as a sheet to print: a PDF.
    Sheet(SheetArgs),
    /// Begin a work order of several jobs, or of what is due.
    Start(StartArgs),
    /// The work orders of the bike.
    Orders,
    /// A work order as it stands: steps, clock, what is open.
    Show(BenchArgs),
    /// One step: what to read first, what to do, to which figure.
    Step(StepArgs),
    /// Tick a step with what was captured.
    Tick(TickArgs),
    /// Say that a stop point does not pass; its job comes in, or the step stays open.
    Fail(FailArgs),
    /// Take a tick back, with the reason.
    Untick(UntickArgs),
    /// What is cheap while it is open anyway, with minutes and price.
    Offers(BenchArgs),
    /// Bring a job into the order.
    Add(AddArgs),
    /// Stop for today; everything is kept.
    Stop(BenchArgs),
    /// Give a figure of the manual that a step waits for, with document and page.
    Figure(FigureArgs),
    /// Close the order into the record; refused with the open safety steps by name.
    Close(CloseArgs),
    /// Give the order up, with nothing open on the bike.
    GiveUp(BenchArgs),
    /// Write down that work has begun, without a work order.
    Begin(WorkArgs),
    /// Write down that work is done; what its safety hangs on must be confirmed.
    Done(WorkArgs),
    /// Write down what was looked at; or hold a folder of jobs of your own against the carried ones.
    Check(CheckArgs),
}

/// A plan for a change, or for a named job.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct PlanArgs {
    /// A job, or several; left out, what the change of setup needs.
    #[arg(long, value_name = "ID")]
    pub(crate) job: Vec<String>,
    /// An answer against what the sheet says, such as front-retention=snap-ring.
    #[arg(long, value_name = "KEY=VALUE")]
    pub(crate) choice: Vec<String>,
    /// The setup wanted.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
}

/// A plan on paper.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct SheetArgs {
    /// What is planned.
    #[command(flatten)]
    pub(crate) plan: PlanArgs,
    /// An open work order instead, by its number: what is left of it, under its own numbers.
    #[arg(long, value_name = "N", conflicts_with_all = ["job", "choice"])]
    pub(crate) order: Option<i64>,
    /// Where the PDF goes; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
    /// The paper: a4, letter.
    #[arg(long, default_value = "a4", value_name = "SIZE")]
    pub(crate) paper: String,
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
    /// Only files or figures whose name contains this word: `slack`, `chain/fit`, `torque.`.
    pub(crate) filter: Option<String>,
    /// Name every row with its source.
    #[arg(long)]
    pub(crate) rows: bool,
}

/// Serve pages.
#[derive(Debug, Clone, ClapArgs)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct ServeArgs {
    /// Instead of serving: the password.
    #[command(subcommand)]
    pub(crate) part: Option<ServePart>,
    /// The port; 0 takes a free one and says which. [default: 4717]
    #[arg(long)]
    pub(crate) port: Option<u16>,
    /// Answer on this address of the machine too, for the home network; a password must be set.
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) bind: Option<IpAddr>,
    /// Another name or address under which the server is reached; may be given several times.
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Vec<String>,
    /// Encrypt with a certificate made here.
    #[arg(long)]
    pub(crate) tls: bool,
    /// Encrypt with this certificate (PEM).
    #[arg(long, value_name = "FILE", requires = "key", conflicts_with = "tls")]
    pub(crate) cert: Option<PathBuf>,
    /// The key of that certificate (PEM).
    #[arg(long, value_name = "FILE", requires = "cert")]
    pub(crate) key: Option<PathBuf>,
    /// Keep no answer: work each out anew, to measure what that takes.
    #[arg(long, hide = true)]
    pub(crate) forget: bool,
}

/// What is done for serving instead of serving.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum ServePart {
    /// Set the password that the home network is asked for, from a file or a pipe: the present one on the first line if
    /// there is one, the new one on the next.
    Password {
        /// The file; standard input if left out or `-`.
        file: Option<PathBuf>,
    },
}
