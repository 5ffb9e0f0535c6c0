//! What to do, in which order and to which figure: the job that a change needs, planned for this bike.
//!
//! The planner is `upkeep::job`; this room picks the jobs, answers its choices from the sheet, fills in what parts to
//! buy and which figures are known, and words the rest. Torque and limits are the sheet's own or missing, never ours.

mod brief;
mod parts;
mod steps;

use serde::Serialize;
use upkeep::bike::Bike;
use upkeep::job::bench::Manual;
use upkeep::job::handbook::in_use;
use upkeep::job::{Known, Minutes, OrderFault, WorkSheet, sheet};

use crate::ask::Gap;
use crate::bench::{Desk, Laid};
use crate::block::Block;
use crate::fact::{Fact, Table};
use crate::picture::{self, Picture};
use crate::setup::Setup;
use crate::verdict::{Reason, Verdict};
use crate::words::{list, lower, number};

pub use steps::{Caution, Step, Stop, ToSet};
pub(crate) use steps::{blank_number, one as step};

/// What is to be planned.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wish {
    /// Jobs by name; empty: those that the change of setup needs.
    pub jobs: Vec<String>,
    /// Answers to choices, against what the sheet says: key and value.
    pub choices: Vec<(String, String)>,
    /// Figures of the manual that have no field on the sheet.
    pub manual: Vec<Manual>,
}

/// The plan for the bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanView {
    /// What is fitted.
    pub fitted: Setup,
    /// What shall be.
    pub setup: Setup,
    /// The jobs, by name and title.
    pub jobs: Vec<(String, String)>,
    /// The choices that the plan rests on: question and answer.
    pub choices: Vec<(String, String)>,
    /// The same as the library names them: key and value.
    pub answers: Vec<(String, String)>,
    /// How long it takes: low, middle, high, minutes.
    pub minutes_min: [f64; 3],
    /// Whether the order is proven shortest.
    pub proven: bool,
    /// What is missing before or during the work.
    pub reasons: Vec<Reason>,
    /// Time and places in words.
    pub facts: Vec<Fact>,
    /// Parts, described exactly.
    pub parts: Table,
    /// Consumables.
    pub consumables: Vec<String>,
    /// Tools, by kit.
    pub tools: Vec<String>,
    /// Cautions that must be read before the first step that carries them.
    pub stops: Vec<Caution>,
    /// The steps in order.
    pub steps: Vec<Step>,
    /// The pictures that steps name, each once.
    pub pictures: Vec<Picture>,
    /// What is due afterwards.
    pub later: Vec<String>,
    /// The line that every sheet ends with.
    pub closing: String,
}

/// The jobs that lead from one setup to another.
#[must_use]
pub fn jobs_for(fitted: Setup, setup: Setup) -> Vec<&'static str> {
    let front = fitted.front_teeth != setup.front_teeth;
    let rear = fitted.rear_teeth != setup.rear_teeth;
    match (front, rear, fitted.links != setup.links) {
        (false, false, false) => vec!["chain-slack"],
        (false, true, false) => vec!["rear-sprocket-only"],
        (true, false, false) => vec!["front-sprocket-only"],
        (true, true, false) => vec!["front-sprocket-only", "rear-sprocket-only"],
        (false, false, true) => vec!["chain-cut-join"],
        _ => vec!["final-drive-set"],
    }
}

/// Plans the work from what is fitted to a setup.
///
/// # Errors
/// The field of the sheet, the job or the choice at fault.
pub fn view(bike: &Bike, setup: Setup, wish: &Wish) -> Result<PlanView, Gap> {
    let known = known_figures(bike, &wish.manual);
    planned(bike, setup, wish, &known, |fitted, sheet| laid_out(bike, fitted, setup, &wish.manual, sheet))
}

/// The same for a list of what it takes: parts, consumables and tools, without the words of the steps and their pictures.
///
/// # Errors
/// As [`view`].
pub(crate) fn to_gather(bike: &Bike, setup: Setup, wish: &Wish) -> Result<PlanView, Gap> {
    planned(bike, setup, wish, &[], |fitted, sheet| around(bike, fitted, setup, sheet, Vec::new()))
}

fn planned(
    bike: &Bike,
    setup: Setup,
    wish: &Wish,
    known: &[&str],
    work: impl FnOnce(Setup, &WorkSheet<'_>) -> PlanView,
) -> Result<PlanView, Gap> {
    let fitted = Setup::fitted(bike)?;
    if !setup.links.is_multiple_of(2) {
        return Err(crate::fit::odd_links(setup.links));
    }
    let needed = jobs_for(fitted, setup);
    let jobs: Vec<&str> = if wish.jobs.is_empty() { needed } else { wish.jobs.iter().map(String::as_str).collect() };
    let answers = answers(bike, wish);
    let choices: Vec<(&str, &str)> = answers.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    let sheet = sheet(in_use(), &jobs, &choices, &Known { figures: known, ..Known::default() }).map_err(gap)?;
    Ok(work(fitted, &sheet))
}

/// The plan of an open order from where it stands, under the numbers that its steps have at the bench.
///
/// What is done is left out; a caution that stood in full at a step that is done does so at the next that carries it.
///
/// # Errors
/// The sheet no longer says what is fitted.
pub fn of_order(desk: &Desk<'_>, laid: &Laid) -> Result<PlanView, Gap> {
    let fitted = Setup::fitted(desk.bike)?;
    let mut sheet = laid.sheet.clone();
    let mut told: Vec<&str> = Vec::new();
    for shown in sheet.steps.drain(..laid.done()).flat_map(|step| step.cautions) {
        if shown.in_full && !told.contains(&shown.caution.id.as_str()) {
            told.push(&shown.caution.id);
        }
    }
    for shown in sheet.steps.iter_mut().flat_map(|step| &mut step.cautions) {
        if let Some(at) = told.iter().position(|id| *id == shown.caution.id) {
            told.remove(at);
            shown.in_full = true;
        }
    }
    sheet.total = sheet.steps.iter().map(|step| step.minutes).sum();
    Ok(laid_out(desk.bike, fitted, desk.setup(), desk.manual, &sheet))
}

fn laid_out(bike: &Bike, fitted: Setup, setup: Setup, manual: &[Manual], sheet: &WorkSheet<'_>) -> PlanView {
    around(bike, fitted, setup, sheet, steps::all(bike, manual, setup, sheet))
}

/// The plan around its steps.
fn around(bike: &Bike, fitted: Setup, setup: Setup, sheet: &WorkSheet<'_>, steps: Vec<Step>) -> PlanView {
    let minutes = sheet.total;
    PlanView {
        pictures: pictures(bike, setup, &steps),
        fitted,
        setup,
        jobs: sheet.jobs.iter().map(|job| (job.job.id.clone(), job.job.title.clone())).collect(),
        choices: sheet.choices.iter().map(|(choice, value)| (choice.ask.clone(), (*value).to_owned())).collect(),
        answers: sheet.choices.iter().map(|(choice, value)| (choice.key.clone(), (*value).to_owned())).collect(),
        minutes_min: [minutes.low_min, minutes.mid_min, minutes.high_min],
        proven: sheet.proven,
        reasons: missing(sheet),
        facts: facts(minutes, sheet.proven, sheet.steps.len()),
        parts: parts::table(bike, setup, sheet),
        consumables: sheet.consumables.iter().map(|role| (*role).to_owned()).collect(),
        tools: sheet.tools.iter().zip('A'..).map(|(kit, letter)| format!("{letter} {}", kit.kit.title)).collect(),
        stops: sheet.stops.iter().map(|caution| Caution::in_full(caution)).collect(),
        steps,
        later: sheet.due_later.iter().map(|due| due.follow_up.text.clone()).collect(),
        closing: sheet.closing.to_owned(),
    }
}

/// The pictures that steps name, each once, in the order of the steps.
fn pictures(bike: &Bike, setup: Setup, steps: &[Step]) -> Vec<Picture> {
    let mut names: Vec<&str> = Vec::new();
    for name in steps.iter().flat_map(|step| &step.pictures) {
        if !names.contains(name) {
            names.push(name);
        }
    }
    names.into_iter().filter_map(|name| picture::of(name, bike, setup)).collect()
}

/// Choices answered by the rider, else by the sheet; the rest keep the careful default of the library.
#[must_use]
pub fn answers(bike: &Bike, wish: &Wish) -> Vec<(String, String)> {
    let mut answers = wish.choices.clone();
    let mut add = |key: &str, value: &str| {
        if !answers.iter().any(|(known, _)| known == key) {
            answers.push((key.to_owned(), value.to_owned()));
        }
    };
    if let Some(retention) = bike.word("front_retention") {
        add("front-retention", retention);
    }
    if bike.word("joint") == Some("endless") {
        add("chain-parting", "keep-joined");
    }
    answers
}

/// The manual's figures that the sheet holds, and those that this plan itself gives.
pub(crate) fn known_figures(bike: &Bike, manual: &[Manual]) -> Vec<&'static str> {
    let asked = in_use().figures().map(|figure| figure.id.as_str());
    asked.filter(|id| crate::bench::figure::is_known(bike, manual, id)).collect()
}

/// What of the manual is still missing: its step waits for it.
fn missing(sheet: &WorkSheet<'_>) -> Vec<Reason> {
    let reason = |missing: &upkeep::job::MissingFigure<'_>| {
        let steps: Vec<String> = missing.steps.iter().map(ToString::to_string).collect();
        let (step, wait) = if steps.len() == 1 { ("Step", "waits") } else { ("Steps", "wait") };
        let text = format!(
            "The manual's figure is missing: {} ({}). {step} {} {wait} for it; nothing stands in for it.",
            missing.figure.text,
            missing.figure.unit,
            list(&steps)
        );
        let act = "Enter it on the bike sheet, with document and page";
        Reason::new(Verdict::Unknown, "", text).cleared_at("bike", act, 2)
    };
    sheet.missing.iter().filter(|missing| missing.figure.required).map(reason).collect()
}

fn facts(minutes: Minutes, proven: bool, steps: usize) -> Vec<Fact> {
    let text = format!("{} to {} min", number(minutes.low_min, 0), number(minutes.high_min, 0));
    let order = if proven { "the order is proven shortest" } else { "a good order, not proven shortest" };
    vec![
        Fact::new("total_min", "Takes", text, minutes.mid_min)
            .because(format!("{steps} steps, strip and refit included; {order}"))
            .sure("estimates for a prepared home mechanic: common practice, no source, until your own times stand beside them")
            .unless("your own logged times")
            .says("job.order"),
    ]
}

pub(crate) fn gap(fault: OrderFault) -> Gap {
    let (field, text, missing) = match fault {
        OrderFault::UnknownJob(job) => {
            let jobs: Vec<String> = in_use().jobs().iter().map(|known| known.job.id.clone()).collect();
            ("job", format!("job \"{job}\" is not in the library; possible: {}.", jobs.join(", ")), false)
        }
        OrderFault::Twice(job) => ("job", format!("job \"{job}\" is named twice; name it once."), false),
        OrderFault::UnknownChoice { key, value, possible } if possible.is_empty() => {
            ("choice", format!("choice \"{key}\" ({value}) is no choice of the library."), false)
        }
        OrderFault::UnknownChoice { key, value, possible } => {
            ("choice", format!("choice {key} is \"{value}\"; possible: {}.", possible.join(", ")), false)
        }
        OrderFault::MissingChoice { key, possible } => {
            return missing_choice(&key, &possible);
        }
        OrderFault::Cycle(ring) => ("job", format!("These steps wait for each other: {}.", ring.join(" → ")), false),
        OrderFault::Infeasible { blocked } => {
            let words: Vec<String> =
                blocked.iter().map(|(step, by)| format!("{step} (waits for {})", by.join(", "))).collect();
            ("job", format!("No order does all of it: {}.", list(&words)), false)
        }
        OrderFault::TooLarge => {
            ("job", "So many jobs at once are more than can be planned; take fewer.".to_owned(), false)
        }
        OrderFault::Library(fault) => ("library", format!("The job library is at fault: {fault:?}."), false),
    };
    Gap { figure: "job.order", field: field.to_owned(), missing, text, how_to: String::new() }
}

fn missing_choice(key: &str, possible: &[String]) -> Gap {
    if key == "front-retention" {
        return Gap { figure: "job.order", ..Gap::absent("front_retention") };
    }
    Gap {
        figure: "job.order",
        field: "choice".to_owned(),
        missing: false,
        text: format!("choice {key} must be answered: {}.", possible.join(", ")),
        how_to: String::new(),
    }
}

impl PlanView {
    /// What is done, in a line: the jobs, and the change of setup if there is one.
    #[must_use]
    pub fn title(&self) -> String {
        let first = |at: usize, title: &str| if at == 0 { title.to_owned() } else { lower(title) };
        let titles: Vec<String> = self.jobs.iter().enumerate().map(|(at, (_, title))| first(at, title)).collect();
        if self.setup == self.fitted {
            return format!("{}: {}, as fitted", list(&titles), self.fitted);
        }
        format!("{}: {} → {}", list(&titles), self.fitted, self.setup)
    }

    /// What a part must be; empty for a role that the plan does not have.
    #[must_use]
    pub fn spec(&self, role: &str) -> String {
        self.cell(role, 2).map(|cell| cell.text.clone()).unwrap_or_default()
    }

    /// How many of a part the work takes.
    #[must_use]
    pub fn quantity(&self, role: &str) -> Option<u64> {
        self.cell(role, 1)?.text.parse().ok()
    }

    fn cell(&self, role: &str, at: usize) -> Option<&crate::Cell> {
        let row = self.parts.rows.iter().find(|row| {
            row.first().is_some_and(|cell| cell.text.strip_suffix(" (if needed)").unwrap_or(&cell.text) == role)
        });
        row.and_then(|row| row.get(at))
    }

    /// The pictures of a step; those that the sheet has no figures for are left out.
    pub fn pictures_of<'a>(&'a self, step: &'a Step) -> impl Iterator<Item = &'a Picture> {
        step.pictures.iter().filter_map(|name| self.pictures.iter().find(|picture| picture.id == *name))
    }

    /// The plan in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = self.brief();
        if !self.consumables.is_empty() {
            blocks.push(Block::Text(format!("Consumables: {}.", self.consumables.join("; "))));
        }
        blocks.push(Block::Text(format!("Tools: {}.", self.tools.join("; "))));
        blocks.push(Block::Heading("Read before you start"));
        blocks.push(Block::List(self.stops.iter().map(Caution::words).collect()));
        blocks.push(Block::Heading("Steps"));
        for step in &self.steps {
            blocks.extend(step.blocks());
        }
        blocks.push(Block::Heading("Afterwards"));
        blocks.push(Block::List(self.later.clone()));
        blocks.push(Block::Text(self.closing.clone()));
        blocks
    }

    /// What it is, how long it takes, what to buy, what is missing.
    #[must_use]
    pub fn brief(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("What do I do?"),
            Block::Text(format!("{}.", self.title())),
            Block::Facts(&self.facts),
            Block::Reasons(&self.reasons),
            Block::Table(&self.parts),
        ]
    }
}
