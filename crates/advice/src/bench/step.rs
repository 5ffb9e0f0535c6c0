//! One step of an order: its words, what must be read first, what is captured, what it waits for.

use serde::Serialize;
use upkeep::job::bench::{Answer, Blocker, Outcome};
use upkeep::job::handbook::{HoldKind, Severity};
use upkeep::job::{Act, SheetStep, ShownHold};

use super::figure::{self, Big, Missing};
use super::{Desk, Laid, act_title};
use crate::block::Block;
use crate::plan::{self, Caution, Step};
use crate::words::{list, lower, written};

/// One thing that is captured, with the number that it has on paper too.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Blank {
    /// The step's number, with a letter where the step has several.
    pub number: String,
    /// The stop point.
    pub hold: String,
    /// `yes-no`, `number` or `choice`.
    pub kind: &'static str,
    /// What is asked.
    pub prompt: String,
    /// The unit of a number.
    pub unit: String,
    /// The answers that pass, where one is chosen.
    pub choices: Vec<String>,
    /// What a number is held against, with its source; empty where the rider says whether it passes.
    pub limit: String,
    /// Whether the rider says whether a number passes.
    pub asks_whether: bool,
    /// `safety`, `engine` or `advice`.
    pub severity: &'static str,
    /// Why it is there.
    pub why: String,
    /// What a "no" brings.
    pub brings: String,
    /// What was answered; empty if nothing yet.
    pub answered: String,
}

/// A step as it is shown.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BenchStep {
    /// Its words.
    pub step: Step,
    /// How many steps there are.
    pub of: usize,
    /// Whether it is done.
    pub done: bool,
    /// Whether it is the next one.
    pub next: bool,
    /// Stops to be read before it can be ticked.
    pub unread: Vec<Caution>,
    /// The figures to work to, large.
    pub big: Vec<Big>,
    /// The manual's figures that it waits for.
    pub missing: Vec<Missing>,
    /// What is captured.
    pub blanks: Vec<Blank>,
    /// What comes before it, where it is out of turn.
    pub out_of_turn: Vec<String>,
    /// Whether hours of a threadlocker may be given.
    pub cures: bool,
    /// What kept it from being ticked the last time it was tried.
    pub held: Vec<String>,
}

/// The step at a place of the sheet.
#[must_use]
pub fn view(desk: &Desk<'_>, laid: &Laid, at: usize) -> Option<BenchStep> {
    let step = laid.sheet.steps.get(at)?;
    let done = at < laid.done();
    let figures = step.figures.iter().map(|asked| asked.figure);
    let waits = step.holds.iter().filter_map(|hold| hold.waits_for);
    let mut missing: Vec<Missing> = Vec::new();
    for figure in waits {
        if !missing.iter().any(|known| known.figure == figure.id) {
            missing.push(figure::missing(figure));
        }
    }
    Some(BenchStep {
        of: laid.sheet.steps.len(),
        done,
        next: at == laid.done(),
        unread: if done { Vec::new() } else { desk.unread(laid, at).into_iter().map(Caution::in_full).collect() },
        big: figures.flat_map(|figure| figure::big(desk, figure)).collect(),
        missing: if done { Vec::new() } else { missing },
        blanks: blanks(desk, step),
        out_of_turn: if done { Vec::new() } else { out_of_turn(desk, laid, &step.token) },
        cures: !done && step.cautions.iter().any(|shown| shown.caution.id == "threadlocker"),
        held: held(desk, &step.token),
        step: plan::step(desk.bike, desk.manual, desk.setup(), step, &[]),
    })
}

/// What is captured at a step.
#[must_use]
pub fn blanks(desk: &Desk<'_>, step: &SheetStep<'_>) -> Vec<Blank> {
    step.holds.iter().enumerate().map(|(at, shown)| blank(desk, plan::blank_number(step, at), shown)).collect()
}

fn blank(desk: &Desk<'_>, number: String, shown: &ShownHold<'_>) -> Blank {
    let hold = shown.hold;
    let is_number = matches!(hold.kind, HoldKind::Number | HoldKind::Torque | HoldKind::TorqueSet);
    let limit = figure::limit(desk, hold).filter(|_| is_number);
    let wear = (hold.accept_figure.as_deref() == Some("chain-wear-limit")).then(|| figure::wear_words(desk.bike));
    Blank {
        number,
        hold: hold.id.clone(),
        kind: match hold.kind {
            HoldKind::YesNo => "yes-no",
            HoldKind::Choice => "choice",
            _ => "number",
        },
        prompt: hold.prompt.clone(),
        unit: if is_number { hold.unit.clone().unwrap_or_else(|| "N·m".to_owned()) } else { String::new() },
        choices: if hold.kind == HoldKind::Choice {
            shown.accept.iter().map(|answer| (*answer).to_owned()).collect()
        } else {
            Vec::new()
        },
        asks_whether: is_number && limit.is_none(),
        limit: limit.map(|limit| limit.words).or_else(|| wear.flatten()).unwrap_or_default(),
        severity: match hold.severity {
            Severity::Safety => "safety",
            Severity::Engine => "engine",
            Severity::Advice => "advice",
        },
        why: shown.why.unwrap_or_default().to_owned(),
        brings: brings(desk, shown),
        answered: desk.bench.answer(&hold.id).map(|(_, answer)| answer_words(answer)).unwrap_or_default(),
    }
}

/// What a "no" brings, in words.
fn brings(desk: &Desk<'_>, shown: &ShownHold<'_>) -> String {
    let Some(fail) = &shown.hold.on_fail else { return "this step stays open".to_owned() };
    let mut words = Vec::new();
    if let Some(stop) = &fail.stop {
        words.push(format!("stop: {stop}"));
    }
    if let Some(job) = &fail.job {
        let title = desk.handbook.job(job).map_or(job.as_str(), |file| file.job.title.as_str());
        words.push(format!("{} comes into the order", lower(title)));
    }
    if !fail.parts.is_empty() {
        words.push(format!("new: {}", list(&fail.parts)));
    }
    if !fail.redo.is_empty() {
        words.push("the steps before it are done again".to_owned());
    }
    words.join("; ")
}

/// What stands against a step here and now.
#[must_use]
pub fn out_of_turn(desk: &Desk<'_>, laid: &Laid, token: &str) -> Vec<String> {
    let Some(act) = laid.stand.order.act(token) else { return Vec::new() };
    laid.stand.against(act).into_iter().map(|blocker| blocker_words(desk, laid, blocker)).collect()
}

/// The same in a row: what comes first is said to come first once.
#[must_use]
pub fn in_a_row(against: &[String]) -> String {
    let told = against.iter().enumerate();
    let told = told.map(|(at, words)| if at == 0 { words } else { words.strip_prefix("first: ").unwrap_or(words) });
    list(&told.map(str::to_owned).collect::<Vec<_>>())
}

fn blocker_words(desk: &Desk<'_>, laid: &Laid, blocker: Blocker) -> String {
    let title = |act: Act| act_title(desk, laid, act);
    match blocker {
        Blocker::Already => "it is so already".to_owned(),
        Blocker::MustOpen(state) => format!("first: {}", lower(&title(Act::Open(state)))),
        Blocker::MustShut(state) => format!("first: {}", lower(&title(Act::Close(state)))),
        Blocker::AllShut => "first everything goes back together".to_owned(),
        Blocker::Before(op) => format!("first: {}", lower(&title(Act::Do(op)))),
        Blocker::Sealed(op) => format!("it undoes: {}", lower(&title(Act::Do(op)))),
    }
}

/// What kept a step from being ticked: the last try, unless it was ticked since.
fn held(desk: &Desk<'_>, token: &str) -> Vec<String> {
    use upkeep::job::bench::What;
    let last = desk.bench.lines.iter().rev().find_map(|line| match &line.what {
        What::Ticked { step, .. } if step == token => Some(Vec::new()),
        What::Held { step, answers } if step == token => Some(
            answers.iter().filter(|answer| answer.outcome == Outcome::Failed).map(answer_words).collect::<Vec<_>>(),
        ),
        _ => None,
    });
    last.unwrap_or_default()
}

/// An answer in words.
#[must_use]
pub fn answer_words(answer: &Answer) -> String {
    let what = match answer.number {
        Some(number) => written(number, &answer.unit),
        None => answer.typed.clone(),
    };
    let outcome = match answer.outcome {
        Outcome::Passed => String::new(),
        Outcome::Confirmed => " (off the figure, confirmed)".to_owned(),
        Outcome::Waived => " (let go)".to_owned(),
        Outcome::Failed => " (does not pass)".to_owned(),
    };
    let against = answer.against.as_ref().map(|against| format!(", against {against}")).unwrap_or_default();
    let reason = answer.reason.as_ref().map(|reason| format!(": {reason}")).unwrap_or_default();
    format!("{} {what}{outcome}{against}{reason}", answer.hold.replace('-', " "))
}

impl BenchStep {
    /// The step in reading order: what must be read first, then the step, then what is captured.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = Vec::new();
        if !self.unread.is_empty() {
            blocks.push(Block::Heading("Read first"));
            blocks.push(Block::List(self.unread.iter().map(Caution::words).collect()));
        }
        blocks.push(Block::Heading(if self.done { "Done" } else { "Step" }));
        blocks.extend(self.step.blocks());
        let mut lines: Vec<String> =
            self.big.iter().map(|big| format!("{}: {} {} ({})", big.label, big.value, big.unit, big.source)).collect();
        lines.extend(self.out_of_turn.iter().map(|words| format!("Out of turn, {words}")));
        lines.extend(
            self.missing
                .iter()
                .map(|missing| format!("STOP: the manual's figure is missing: {} ({}).", missing.text, missing.figure)),
        );
        lines.extend(self.held.iter().map(|held| format!("Stays open: {held}")));
        lines.extend(self.blanks.iter().map(|blank| {
            let limit = if blank.limit.is_empty() { String::new() } else { format!(" [{}]", blank.limit) };
            let unit = if blank.unit.is_empty() { String::new() } else { format!(", {}", blank.unit) };
            let choices =
                if blank.choices.is_empty() { String::new() } else { format!(" ({})", blank.choices.join(" / ")) };
            format!("Blank {} {}{unit}: {}{limit}{choices}", blank.number, blank.hold, blank.prompt)
        }));
        blocks.push(Block::List(lines));
        blocks
    }
}
