//! A work order as the bench shows it: one step, what it waits for, what is captured, how long it still takes.
//!
//! One view feeds page, command and API. Layout: here the desk and the order · [`step`] one step · [`figure`] figures
//! and limits · [`take`] what a tick means · [`clock`] when it is done, where to stop · [`close`] the end and what
//! follows for the record · [`offer`] what is cheap while it is open · [`due`] jobs that are due.

pub mod clock;
pub mod close;
pub mod due;
pub mod figure;
pub mod offer;
pub mod step;
pub mod take;

use std::collections::BTreeSet;

use jiff::civil::DateTime;
use serde::Serialize;
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, End, Manual, Stand, What, logged};
use upkeep::job::handbook::{Handbook, Severity};
use upkeep::job::{Act, Chosen, Known, Logged, WorkSheet, sheet_of};

use crate::block::Block;
use crate::plan;
use crate::setup::Setup;
use crate::words::{count, list, lower};
use crate::{Gap, Reason, Verdict};

/// All that an order is shown from.
#[derive(Debug, Clone, Copy)]
pub struct Desk<'a> {
    /// The bike with its sheet.
    pub bike: &'a Bike,
    /// Figures of the manual that have no field on the sheet.
    pub manual: &'a [Manual],
    /// The order.
    pub bench: &'a Bench,
    /// Every order of the bike: how long steps took before.
    pub before: &'a [Bench],
    /// The job library.
    pub handbook: &'static Handbook,
    /// The present time by the rider's clock.
    pub now: DateTime,
    /// Who is at the bench; none where nobody said.
    pub who: Option<&'a str>,
}

/// An order with its sheet: what was done and what is to come, numbered through.
#[derive(Debug, Clone)]
pub struct Laid {
    /// Where it stands.
    pub stand: Stand<'static>,
    /// All its steps.
    pub sheet: WorkSheet<'static>,
}

impl Laid {
    /// How many steps are done.
    #[must_use]
    pub fn done(&self) -> usize {
        self.stand.done.len()
    }
}

impl Desk<'_> {
    /// What shall be fitted in the end.
    #[must_use]
    pub fn setup(&self) -> Setup {
        let [front_teeth, rear_teeth, links] = self.bench.setup;
        Setup { front_teeth, rear_teeth, links }
    }

    /// Lays the order out, planned anew from where it stands.
    ///
    /// # Errors
    /// The end cannot be reached from here, or the library no longer knows its jobs.
    pub fn lay_out(&self) -> Result<Laid, Gap> {
        let stand = self.bench.stand(self.handbook).map_err(plan::gap)?;
        let choices: Vec<(&str, &str)> =
            self.bench.choices.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
        let chosen = Chosen::of(self.handbook.library(), &choices).map_err(plan::gap)?;
        let figures = plan::known_figures(self.bike, self.manual);
        let times = logged(self.before);
        let logged: Vec<Logged<'_>> = times.iter().map(|(step, minutes)| Logged { step, minutes }).collect();
        let known = Known { figures: &figures, logged: &logged, skill: None };
        let sheet = sheet_of(self.handbook, &stand.order, &stand.whole(), &chosen, &known).map_err(plan::gap)?;
        Ok(Laid { stand, sheet })
    }

    /// Stops that this person has not read in this sitting, for a step of the sheet.
    #[must_use]
    pub fn unread<'l>(&self, laid: &'l Laid, at: usize) -> Vec<&'l upkeep::job::handbook::CautionEntry> {
        let read: BTreeSet<&str> = self.bench.read_by(self.who, self.now);
        let Some(step) = laid.sheet.steps.get(at) else { return Vec::new() };
        step.cautions
            .iter()
            .map(|shown| shown.caution)
            .filter(|caution| {
                caution.level == upkeep::job::handbook::Level::Stop && !read.contains(caution.id.as_str())
            })
            .collect()
    }

    /// The words of a state, for a person.
    pub(crate) fn state_title(&self, id: &str) -> String {
        self.handbook.state(id).map_or_else(|| id.to_owned(), |state| state.title.clone())
    }
}

/// One line of the whole order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListedStep {
    /// From 1, done ones first.
    pub number: usize,
    /// Its name in the plan.
    pub token: String,
    /// In short.
    pub title: String,
    /// Whether it is done.
    pub done: bool,
    /// What was captured, in words.
    pub captured: Vec<String>,
    /// Whether something that safety hangs on is answered there.
    pub safety: bool,
}

/// A work order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OrderView {
    /// Its number.
    pub id: i64,
    /// `open`, `closed` or `dropped`.
    pub end: &'static str,
    /// Its jobs, by name and title.
    pub jobs: Vec<(String, String)>,
    /// When it was begun.
    pub begun: String,
    /// What shall be fitted in the end.
    pub setup: Setup,
    /// How many steps are done.
    pub done: usize,
    /// How many there are.
    pub steps: usize,
    /// What stands against riding now.
    pub reasons: Vec<Reason>,
    /// What is open on the bike now, in words.
    pub open: Vec<String>,
    /// Until when a threadlocker cures.
    pub ride_not_before: Option<String>,
    /// When it is done, and where to stop.
    pub clock: clock::ClockView,
    /// All steps, done ones first.
    pub list: Vec<ListedStep>,
    /// What came into the order since it was begun, and why.
    pub added: Vec<String>,
    /// Answers that are off their figure, with the rider's reason.
    pub confirmed: Vec<String>,
    /// The number of its last line: who writes says that he has seen it.
    pub seen: i64,
}

/// The view of an order.
///
/// # Errors
/// As [`Desk::lay_out`].
pub fn view(desk: &Desk<'_>) -> Result<OrderView, Gap> {
    Ok(of(desk, &desk.lay_out()?))
}

/// The view of an order that is laid out already.
#[must_use]
pub fn of(desk: &Desk<'_>, laid: &Laid) -> OrderView {
    let bench = desk.bench;
    let list = listed(desk, laid);
    let open: Vec<String> = laid.stand.progress.open.iter().map(|open| state(desk, laid, *open)).collect();
    OrderView {
        id: bench.id,
        end: match bench.end() {
            End::Open => "open",
            End::Closed => "closed",
            End::Dropped => "dropped",
        },
        jobs: laid.sheet.jobs.iter().map(|job| (job.job.id.clone(), job.job.title.clone())).collect(),
        begun: bench.at.strftime("%Y-%m-%d %H:%M").to_string(),
        setup: desk.setup(),
        done: laid.done(),
        steps: laid.sheet.steps.len(),
        reasons: reasons(desk, laid),
        open,
        ride_not_before: bench.cured_at().map(|at| at.strftime("%Y-%m-%d %H:%M").to_string()),
        clock: clock::view(desk, laid, None),
        list,
        added: added(desk),
        confirmed: confirmed(bench),
        seen: bench.last_line(),
    }
}

fn state(desk: &Desk<'_>, laid: &Laid, index: usize) -> String {
    laid.stand.order.states.get(index).map_or_else(String::new, |state| desk.state_title(&state.source.id))
}

fn listed(desk: &Desk<'_>, laid: &Laid) -> Vec<ListedStep> {
    let ticks = desk.bench.ticks();
    let known: Vec<_> = ticks.iter().filter(|(_, step, _)| laid.stand.order.act(step).is_some()).collect();
    let steps = laid.sheet.steps.iter().enumerate();
    steps
        .map(|(at, step)| ListedStep {
            number: step.number,
            token: step.token.clone(),
            title: step.title.clone(),
            done: at < laid.done(),
            captured: known
                .get(at)
                .filter(|_| at < laid.done())
                .map_or_else(Vec::new, |(_, _, answers)| answers.iter().map(step::answer_words).collect()),
            safety: step.holds.iter().any(|hold| hold.hold.severity == Severity::Safety),
        })
        .collect()
}

/// What keeps the bike from being ridden as an order stands, a sentence each: what is open on it, steps not done that
/// safety hangs on.
pub(crate) fn undone(desk: &Desk<'_>, laid: &Laid) -> Vec<String> {
    let open: Vec<String> = laid.stand.progress.open.iter().map(|open| lower(&state(desk, laid, *open))).collect();
    let steps = laid.sheet.steps.iter().skip(laid.done());
    let safety = steps.filter(|step| step.holds.iter().any(|hold| hold.hold.severity == Severity::Safety)).count();
    let open = (!open.is_empty()).then(|| format!("Not rideable: {}.", list(&open)));
    let safety = (safety > 0).then(|| format!("{} that safety hangs on: not done yet.", count(safety, "step")));
    open.into_iter().chain(safety).collect()
}

/// What stands against riding: what is undone, the cure.
fn reasons(desk: &Desk<'_>, laid: &Laid) -> Vec<Reason> {
    if desk.bench.end() != End::Open {
        return Vec::new();
    }
    let cure = desk.bench.cured_at().filter(|at| *at > desk.now);
    let cure = cure.map(|at| format!("Ride not before {}: the threadlocker cures.", at.strftime("%Y-%m-%d %H:%M")));
    undone(desk, laid).into_iter().chain(cure).map(|text| Reason::new(Verdict::Stop, "", text)).collect()
}

fn added(desk: &Desk<'_>) -> Vec<String> {
    let title = |job: &str| desk.handbook.job(job).map_or_else(|| job.to_owned(), |file| file.job.title.clone());
    let lines = desk.bench.lines.iter();
    lines
        .filter_map(|line| match &line.what {
            What::Added { job, reason } => Some(format!("{}: {reason}", title(job))),
            _ => None,
        })
        .collect()
}

fn confirmed(bench: &Bench) -> Vec<String> {
    let answers = bench.ticks().into_iter().flat_map(|(_, _, answers)| answers);
    answers.filter(|answer| answer.reason.is_some()).map(step::answer_words).collect()
}

impl OrderView {
    /// The order in reading order, the steps to come as a list.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let titles: Vec<String> = self.jobs.iter().map(|(_, title)| title.clone()).collect();
        let mut blocks = vec![
            Block::Heading("Work order"),
            Block::Text(format!(
                "Order {} ({}), begun {}: {}, {}. Step {} of {}.",
                self.id,
                self.end,
                self.begun,
                list(&titles),
                self.setup,
                (self.done + 1).min(self.steps),
                self.steps
            )),
            Block::Reasons(&self.reasons),
        ];
        if self.end == "open" {
            blocks.push(Block::List(self.clock.lines()));
        }
        blocks.push(Block::List(self.added.iter().map(|added| format!("Came in: {added}")).collect()));
        let line = |step: &ListedStep| {
            let mark = if step.done { "x" } else { " " };
            let captured =
                if step.captured.is_empty() { String::new() } else { format!(": {}", step.captured.join("; ")) };
            format!("[{mark}] {}. {} ({}){captured}", step.number, step.title, step.token)
        };
        blocks.push(Block::List(self.list.iter().map(line).collect()));
        blocks
    }
}

/// The verb and the index of a step within the order, in words: used where a step stands against another.
pub(crate) fn act_title(desk: &Desk<'_>, laid: &Laid, act: Act) -> String {
    match act {
        Act::Open(index) => state(desk, laid, index),
        Act::Close(index) => format!("{}: put back", state(desk, laid, index)),
        Act::Do(index) => {
            let id = laid.stand.order.ops.get(index).map_or("", |op| op.source.id.as_str());
            let step = laid.sheet.steps.iter().find(|step| step.id == id);
            step.map_or_else(|| id.replace('-', " "), |step| step.title.clone())
        }
    }
}
