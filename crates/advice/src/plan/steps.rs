//! The steps of a plan in words: what to do, for how long, with what, to which figure, and where to stop and look.

use serde::Serialize;
use upkeep::bike::{Bike, BikeField, Entry, Value};
use upkeep::job::handbook::{CautionEntry, Level};
use upkeep::job::{AskedFigure, SheetStep, ShownCaution, ShownHold, WorkSheet};

use crate::ask::{Given, ask, with};
use crate::block::Block;
use crate::picture;
use crate::setup::Setup;
use crate::words::number;

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
        Self { id: caution.id.clone(), level, hazard: caution.hazard.clone(), text: caution.text.clone() }
    }

    fn shown(shown: &ShownCaution<'_>) -> Self {
        let mut caution = Self::in_full(shown.caution);
        if !shown.in_full {
            caution.text.clear();
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
    /// What is asked.
    pub prompt: String,
    /// What passes.
    pub accept: String,
    /// Why, in one line; empty if it needs none.
    pub why: String,
    /// The manual's figure that it waits for; empty if none is missing.
    pub waits_for: String,
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
    /// What to do.
    pub text: String,
    /// Minutes, middle estimate.
    pub minutes_min: f64,
    /// Running clock at its end, middle estimate, minutes.
    pub clock_min: f64,
    /// The kit to pick up; empty if it is in hand or none is needed.
    pub kit: String,
    /// The state that it sits in; empty if none.
    pub sits_in: String,
    /// Cautions, loudest first.
    pub cautions: Vec<Caution>,
    /// The figures to work to, with their source, or that they are missing.
    pub figures: Vec<String>,
    /// Where to stop and look.
    pub stops: Vec<Stop>,
    /// Names of the pictures that help here; [`super::PlanView::pictures_of`] gives each.
    pub pictures: Vec<&'static str>,
}

/// Every step of a sheet.
pub(super) fn all(bike: &Bike, setup: Setup, sheet: &WorkSheet<'_>) -> Vec<Step> {
    sheet.steps.iter().map(|step| one(bike, setup, step)).collect()
}

fn one(bike: &Bike, setup: Setup, step: &SheetStep<'_>) -> Step {
    let kit = step.kit.filter(|_| step.picks_up).map(|kit| kit.title.clone()).unwrap_or_default();
    let mut cautions: Vec<Caution> = step.cautions.iter().map(Caution::shown).collect();
    cautions.extend(step.conflict.iter().map(|text| Caution {
        id: "conflict".to_owned(),
        level: "stop",
        hazard: "two hazards at once".to_owned(),
        text: text.clone(),
    }));
    let in_full: Vec<&str> =
        step.cautions.iter().filter(|shown| shown.in_full).map(|shown| shown.caution.id.as_str()).collect();
    Step {
        pictures: picture::names_for(bike, &step.token, &in_full),
        number: step.number,
        token: step.token.clone(),
        title: step.title.clone(),
        text: step.text.to_owned(),
        minutes_min: step.minutes.mid_min,
        clock_min: step.clock.mid_min,
        kit,
        sits_in: step.sits_in.unwrap_or_default().to_owned(),
        cautions,
        figures: step.figures.iter().flat_map(|asked| figure_words(bike, setup, asked)).collect(),
        stops: step.holds.iter().map(stop).collect(),
    }
}

fn stop(shown: &ShownHold<'_>) -> Stop {
    Stop {
        id: shown.hold.id.clone(),
        prompt: shown.hold.prompt.clone(),
        accept: shown.accept.join(" / "),
        why: shown.why.unwrap_or_default().to_owned(),
        waits_for: shown.waits_for.map(|figure| figure.text.clone()).unwrap_or_default(),
    }
}

/// A figure with its value and source, or that it is missing; crossing order and passes where fasteners make a ring.
fn figure_words(bike: &Bike, setup: Setup, asked: &AskedFigure<'_>) -> Vec<String> {
    let figure = asked.figure;
    if figure.id == "planned-links" {
        return vec![format!("links: {}", setup.links)];
    }
    let known: Vec<(&BikeField, &Entry)> = bike.answering(&figure.id).collect();
    let mut lines: Vec<String> = known.iter().map(|(field, entry)| entry_words(field, entry)).collect();
    if lines.is_empty() {
        let waits =
            if figure.required { "missing: enter the manual's figure" } else { "not on the sheet; see the manual" };
        lines.push(format!("{} ({}): {waits}", figure.text, figure.unit));
    }
    if figure.id == "rear-sprocket-torque" {
        lines.extend(crossing(bike, known.first().and_then(|(_, entry)| entry.value.number())));
    }
    lines
}

fn entry_words(field: &BikeField, entry: &Entry) -> String {
    let value = match &entry.value {
        Value::Word(text) | Value::Text(text) => text.clone(),
        other => other.number().map_or_else(String::new, |value| format!("{value}")),
    };
    let unit = if field.unit.is_empty() { String::new() } else { format!(" {}", field.unit) };
    format!("{}: {value}{unit} ({})", field.word, entry.source.as_deref().unwrap_or("bike sheet, no page given"))
}

/// The crossing order of the rear sprocket's fasteners, with the torque of each pass if it is known.
fn crossing(bike: &Bike, torque_nm: Option<f64>) -> Option<String> {
    let given = with(Given::new(), "bolts", bike.whole("rear_fasteners")?);
    let given = match torque_nm {
        Some(torque) => with(given, "torque_nm", torque),
        None => given,
    };
    let answer = ask("torque.star", &given).ok()?;
    let order: Vec<String> =
        answer.at("order")?.as_array()?.iter().filter_map(|bolt| bolt.as_u64().map(|bolt| bolt.to_string())).collect();
    let passes: Vec<String> = answer
        .at("passes")?
        .as_array()?
        .iter()
        .filter_map(|pass| pass.get("torque_nm")?.as_f64().filter(|torque| *torque > 0.0))
        .map(|torque| number(torque, 1))
        .collect();
    let passes = match passes.split_last() {
        Some((_, stages)) if !stages.is_empty() => {
            format!("; passes {} N·m, then one round clockwise at the last", stages.join(" / "))
        }
        _ => String::new(),
    };
    Some(format!("crossing order, clockwise from any one: {}{passes}", order.join("-")))
}

impl Step {
    /// The step in reading order: cautions before the hand moves.
    pub(super) fn blocks(&self) -> Vec<Block<'_>> {
        let mut lines: Vec<String> = self.cautions.iter().map(Caution::words).collect();
        lines.extend(self.figures.iter().map(|figure| format!("Figure: {figure}")));
        lines.extend(self.stops.iter().map(stop_words));
        if !self.kit.is_empty() {
            lines.insert(0, format!("Pick up: {}", self.kit));
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
