//! The steps of a plan in words: what to do, for how long, with what, to which figure, and where to stop and look.

use serde::Serialize;
use upkeep::bike::{Bike, BikeField, Entry, Value};
use upkeep::job::bench::{Manual, Said};
use upkeep::job::handbook::{CautionEntry, FigureEntry, HoldKind, Level};
use upkeep::job::{AskedFigure, SheetStep, ShownCaution, ShownHold, WorkSheet};

use super::brief;
use crate::ask::{Given, ask, with};
use crate::block::Block;
use crate::fit::Slot;
use crate::picture;
use crate::setup::Setup;
use crate::words::{mm, number, series, written, written_range};

/// A caution at a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Its name.
    pub id: String,
    /// `stop`, `warn` or `note`.
    pub level: &'static str,
    /// What can happen.
    pub hazard: String,
    /// What to do; empty where it stood in full before.
    pub text: String,
    /// The same in short, for paper; empty where there is no short text, and for what stops the work.
    pub brief: &'static str,
}

impl Caution {
    /// A caution with its full text.
    #[must_use]
    pub fn in_full(caution: &CautionEntry) -> Self {
        let level = match caution.level {
            Level::Stop => "stop",
            Level::Warn => "warn",
            Level::Note => "note",
        };
        Self {
            id: caution.id.clone(),
            level,
            hazard: caution.hazard.clone(),
            text: caution.text.clone(),
            brief: brief::of_caution(&caution.id),
        }
    }

    fn shown(shown: &ShownCaution<'_>) -> Self {
        let mut caution = Self::in_full(shown.caution);
        if !shown.in_full {
            caution.text.clear();
            caution.brief = "";
        }
        caution
    }

    /// The caution as a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let word = match self.level {
            "stop" => "STOP",
            "warn" => "TAKE CARE",
            _ => "NOTE",
        };
        if self.text.is_empty() {
            format!("{word}: {}", self.hazard)
        } else {
            format!("{word}: {}. {}", self.hazard, self.text)
        }
    }
}

/// A stop point: what is answered before going on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Stop {
    /// Its name.
    pub id: String,
    /// The number of its blank, on paper and where it is typed in: the step's, with a letter where there are several.
    pub blank: String,
    /// What is asked.
    pub prompt: String,
    /// What passes.
    pub accept: String,
    /// Why, in one line; empty if it needs none.
    pub why: String,
    /// The manual's figure that it waits for; empty if none is missing.
    pub waits_for: String,
    /// What it takes: `yes-no`, `number`, `torque`, `torque-set`, `choice`.
    pub kind: &'static str,
    /// The unit of what it takes; empty for words.
    pub unit: String,
}

/// A figure to set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ToSet {
    /// What it is.
    pub label: String,
    /// The figure with its unit.
    pub value: String,
    /// Where it stands; empty where the plan itself gives it.
    pub source: String,
}

impl ToSet {
    fn words(&self) -> String {
        if self.source.is_empty() {
            return format!("{}: {}", self.label, self.value);
        }
        format!("{}: {} ({})", self.label, self.value, self.source)
    }
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// From 1.
    pub number: usize,
    /// Its name in the plan (`open:on-stand`, `do:nip-axle`).
    pub token: String,
    /// What it is, in short.
    pub title: String,
    /// What to do in short, for paper and for a glance from the bike; empty where there is no short text.
    pub brief: &'static str,
    /// What to do.
    pub text: String,
    /// Minutes, middle estimate.
    pub minutes_min: f64,
    /// Running clock at its end, middle estimate, minutes.
    pub clock_min: f64,
    /// The kit to pick up; empty if it is in hand or none is needed.
    pub kit: String,
    /// Its letter in the list of tools; empty like it.
    pub kit_letter: String,
    /// The state that it sits in; empty if none.
    pub sits_in: String,
    /// Cautions, loudest first.
    pub cautions: Vec<Caution>,
    /// The figures to work to, with their source, or that they are missing.
    pub figures: Vec<String>,
    /// Those of them that are known.
    pub to_set: Vec<ToSet>,
    /// The rest: missing ones, orders of tightening.
    pub notes: Vec<String>,
    /// Where to stop and look.
    pub stops: Vec<Stop>,
    /// Names of the pictures that help here; [`super::PlanView::pictures_of`] gives each.
    pub pictures: Vec<&'static str>,
}

/// Every step of a sheet.
pub(super) fn all(bike: &Bike, manual: &[Manual], setup: Setup, sheet: &WorkSheet<'_>) -> Vec<Step> {
    let letters: Vec<(&str, String)> =
        sheet.tools.iter().zip('A'..).map(|(tools, letter)| (tools.kit.title.as_str(), letter.to_string())).collect();
    sheet.steps.iter().map(|step| one(bike, manual, setup, step, &letters)).collect()
}

/// One step of a sheet in words; `letters` are those of its tools by title.
pub(crate) fn one(
    bike: &Bike,
    manual: &[Manual],
    setup: Setup,
    step: &SheetStep<'_>,
    letters: &[(&str, String)],
) -> Step {
    let mut figures: Vec<Line> =
        step.figures.iter().flat_map(|asked| figure_lines(bike, manual, setup, asked)).collect();
    if step.token == ADJUSTERS {
        figures.push(planned_place(bike, setup));
    }
    let kit = step.kit.filter(|_| step.picks_up).map(|kit| kit.title.clone()).unwrap_or_default();
    let mut cautions: Vec<Caution> = step.cautions.iter().map(Caution::shown).collect();
    cautions.extend(step.conflict.iter().map(|text| Caution {
        id: "conflict".to_owned(),
        level: "stop",
        hazard: "two hazards at once".to_owned(),
        text: text.clone(),
        brief: "",
    }));
    let in_full: Vec<&str> =
        step.cautions.iter().filter(|shown| shown.in_full).map(|shown| shown.caution.id.as_str()).collect();
    Step {
        pictures: picture::names_for(bike, &step.token, &in_full),
        brief: brief::of(&step.token),
        kit_letter: letters
            .iter()
            .find(|(title, _)| *title == kit)
            .map(|(_, letter)| letter.clone())
            .unwrap_or_default(),
        to_set: figures.iter().filter_map(|line| line.clone().ok()).collect(),
        notes: figures.iter().filter_map(|line| line.clone().err()).collect(),
        number: step.number,
        token: step.token.clone(),
        title: step.title.clone(),
        text: step.text.to_owned(),
        minutes_min: step.minutes.mid_min,
        clock_min: step.clock.mid_min,
        kit,
        sits_in: step.sits_in.unwrap_or_default().to_owned(),
        cautions,
        figures: in_words(&figures),
        stops: step.holds.iter().enumerate().map(|(at, hold)| stop(step, at, hold)).collect(),
    }
}

/// The number of a blank: one view for the printed sheet and for typing in from it.
pub(crate) fn blank_number(step: &SheetStep<'_>, at: usize) -> String {
    let letter = ('a'..='z').nth(at).filter(|_| step.holds.len() > 1);
    letter.map_or_else(|| step.number.to_string(), |letter| format!("{}{letter}", step.number))
}

fn stop(step: &SheetStep<'_>, at: usize, shown: &ShownHold<'_>) -> Stop {
    Stop {
        id: shown.hold.id.clone(),
        blank: blank_number(step, at),
        prompt: shown.hold.prompt.clone(),
        accept: shown.accept.join(" / "),
        why: shown.why.unwrap_or_default().to_owned(),
        waits_for: shown.waits_for.map(|figure| figure.text.clone()).unwrap_or_default(),
        kind: match shown.hold.kind {
            HoldKind::YesNo => "yes-no",
            HoldKind::Number => "number",
            HoldKind::Torque => "torque",
            HoldKind::TorqueSet => "torque-set",
            HoldKind::Choice => "choice",
        },
        unit: shown.hold.unit.clone().unwrap_or_default(),
    }
}

/// The figures as a page says them; the passes stand behind their order.
fn in_words(lines: &[Line]) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for line in lines {
        match (line, words.last_mut()) {
            (Ok(figure), Some(order)) if figure.label == PASSES => {
                order.push_str(&format!("; {PASSES} {}", figure.value));
            }
            (Ok(figure), _) => words.push(figure.words()),
            (Err(note), _) => words.push(note.clone()),
        }
    }
    words
}

/// What the stages of a ring are called.
const PASSES: &str = "passes";

/// A figure to set, or a line that is none.
type Line = Result<ToSet, String>;

/// A figure with its value and source, or that it is missing; crossing order and passes where fasteners make a ring.
fn figure_lines(bike: &Bike, manual: &[Manual], setup: Setup, asked: &AskedFigure<'_>) -> Vec<Line> {
    let figure = asked.figure;
    if figure.id == "planned-links" {
        return vec![Ok(ToSet { label: "links".to_owned(), value: setup.links.to_string(), source: String::new() })];
    }
    let known: Vec<(&BikeField, &Entry)> = bike.answering(&figure.id).collect();
    let mut lines: Vec<Line> = known.iter().map(|(field, entry)| Ok(entered(field, entry))).collect();
    lines.extend(manual.iter().filter(|said| said.figure() == figure.id).map(|said| Ok(from_manual(figure, said))));
    if lines.is_empty() {
        let waits =
            if figure.required { "missing: enter the manual's figure" } else { "not on the sheet; see the manual" };
        lines.push(Err(format!("{} ({}): {waits}", figure.text, figure.unit)));
    }
    if figure.id == "rear-sprocket-torque" {
        lines.extend(crossing(bike, known.first().and_then(|(_, entry)| entry.value.number())));
    }
    lines
}

/// The step that brings the adjusters to the place that the plan gives.
const ADJUSTERS: &str = "do:adjusters-forward";

/// Where the axle is brought before the chain goes on, with a new chain; what is read of the slack decides later.
fn planned_place(bike: &Bike, setup: Setup) -> Line {
    // In the text's own size: it is no figure that a tool is set to, and paper is short.
    Err(match Slot::of(bike).and_then(|slot| slot.place(setup)) {
        Ok(place) => format!("axle {} from the pivot", mm(place.arm_mm)),
        Err(_) => "axle place not known without the swingarm's figures; the slack decides".to_owned(),
    })
}

fn from_manual(figure: &FigureEntry, manual: &Manual) -> ToSet {
    let value = match manual.said() {
        Said::Number { low, high } if low < high => written_range(*low, *high, &figure.unit),
        Said::Number { low, .. } => written(*low, &figure.unit),
        Said::Words(words) => words.clone(),
    };
    ToSet { label: figure.text.clone(), value, source: manual.source().to_owned() }
}

fn entered(field: &BikeField, entry: &Entry) -> ToSet {
    let value = match &entry.value {
        Value::Word(text) | Value::Text(text) => text.clone(),
        other => other.number().map_or_else(String::new, |value| written(value, field.unit)),
    };
    ToSet {
        label: field.word.to_owned(),
        value,
        source: entry.source.as_deref().unwrap_or("bike sheet, no page given").to_owned(),
    }
}

/// The crossing order of the rear sprocket's fasteners, with the torque of each pass if it is known.
fn crossing(bike: &Bike, torque_nm: Option<f64>) -> Vec<Line> {
    ring(bike, torque_nm).unwrap_or_default()
}

fn ring(bike: &Bike, torque_nm: Option<f64>) -> Option<Vec<Line>> {
    let given = with(Given::new(), "bolts", bike.whole("rear_fasteners")?);
    let given = match torque_nm {
        Some(torque) => with(given, "torque_nm", torque),
        None => given,
    };
    let answer = ask("torque.star", &given).ok()?;
    let order: Vec<String> =
        answer.at("order")?.as_array()?.iter().filter_map(|bolt| bolt.as_u64().map(|bolt| bolt.to_string())).collect();
    let passes: Vec<f64> = answer
        .at("passes")?
        .as_array()?
        .iter()
        .filter_map(|pass| pass.get("torque_nm")?.as_f64().filter(|torque| *torque > 0.0))
        .collect();
    let mut lines = vec![Err(format!("crossing order, clockwise from any one: {}", order.join("-")))];
    if let Some((_, stages)) = passes.split_last()
        && !stages.is_empty()
    {
        let value = format!("{}, then one round clockwise at the last", series(stages, "N·m", 1, " / "));
        lines.push(Ok(ToSet { label: PASSES.to_owned(), value, source: String::new() }));
    }
    Some(lines)
}

impl Step {
    /// The step in reading order: cautions before the hand moves.
    pub(crate) fn blocks(&self) -> Vec<Block<'_>> {
        let mut lines: Vec<String> = self.cautions.iter().map(Caution::words).collect();
        lines.extend(self.figures.iter().map(|figure| format!("Figure: {figure}")));
        lines.extend(self.stops.iter().map(stop_words));
        if !self.kit.is_empty() {
            lines.insert(0, format!("Pick up: {} {}", self.kit_letter, self.kit));
        }
        if !self.brief.is_empty() {
            lines.insert(0, format!("In short: {}", self.brief));
        }
        vec![
            Block::Text(format!(
                "[ ] {}. {} ({} min, by {} min): {}",
                self.number,
                self.title,
                number(self.minutes_min, 0),
                number(self.clock_min, 0),
                self.text
            )),
            Block::List(lines),
        ]
    }
}

fn stop_words(stop: &Stop) -> String {
    let waits = if stop.waits_for.is_empty() { String::new() } else { format!(" WAITS FOR: {}.", stop.waits_for) };
    let accept = if stop.accept.is_empty() { String::new() } else { format!(" [{}]", stop.accept) };
    let why = if stop.why.is_empty() { String::new() } else { format!(" Why: {}.", stop.why.trim_end_matches('.')) };
    format!("CHECK: {}{accept}.{waits}{why}", stop.prompt.trim_end_matches('.'))
}
