//! Is the chain worn: a length reading judged at its worst place, against whose limit, with what error.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;
use upkeep::record::{ElongationReading, Entry, Fact as Noted, Role};

use super::{Record, given};
use crate::ask::{Gap, ask, with};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::verdict::{self, Reason, Verdict};
use crate::words::number;

/// The limit of a sealed chain where the sheet has none. The tool's own; common practice disagrees.
const SEALED_LIMIT_PCT: f64 = 1.0;
/// The same of a chain without seals.
const UNSEALED_LIMIT_PCT: f64 = 2.0;

/// To which elongation a chain is ridden, and who says so.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// The limit.
    pub limit_pct: f64,
    /// Whether the tool assumed it.
    pub assumed: bool,
    /// Whose it is.
    pub whose: String,
}

impl Limit {
    /// The sheet's limit, else the tool's own.
    #[must_use]
    pub fn of(bike: &Bike) -> Self {
        if let Some(limit_pct) = bike.number("limit_pct") {
            let source = bike.get("limit_pct").and_then(|entry| entry.source.clone());
            let whose = source.unwrap_or_else(|| "the bike sheet, no page given".to_owned());
            return Self { limit_pct, assumed: false, whose };
        }
        let sealed = !matches!(bike.get("sealed").map(|entry| &entry.value), Some(upkeep::bike::Value::Flag(false)));
        let limit_pct = if sealed { SEALED_LIMIT_PCT } else { UNSEALED_LIMIT_PCT };
        let whose = format!(
            "assumed, the sheet has none: practice says 1, 1.5, 2 or 3 %; {} % for a chain {} seals is the tool's own",
            number(limit_pct, 1),
            if sealed { "with" } else { "without" }
        );
        Self { limit_pct, assumed: true, whose }
    }
}

/// A reading judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ElongationView {
    /// The verdict on the chain by this reading alone.
    pub verdict: Verdict,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Elongation at each place.
    pub elongation_pct: Vec<f64>,
    /// The worst place, from 1.
    pub worst_place: f64,
    /// Its elongation.
    pub worst_pct: f64,
    /// Its standard uncertainty.
    pub worst_u_pct: f64,
    /// Half the width that holds it with 95 %.
    pub worst_u95_pct: f64,
    /// What the instrument's largest error is in percent.
    pub error_pct: f64,
    /// Whether it cannot be right: miscounted, another unit, not taut.
    pub bad: bool,
    /// The limit.
    pub limit: Limit,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// Place by place.
    pub places: Table,
}

/// Judges a reading of this bike's chain.
///
/// # Errors
/// The field of the sheet that is impossible.
pub fn view(bike: &Bike, reading: &ElongationReading) -> Result<ElongationView, Gap> {
    let limit = Limit::of(bike);
    let pitch_mm = bike.number("pitch_mm").ok_or_else(|| Gap::absent("pitch_mm"))?;
    let mut asked = given([
        ("length_mm", Value::from(reading.length_mm().to_vec())),
        ("pitches", Value::from(reading.pitches())),
        ("limit_pct", Value::from(limit.limit_pct)),
        ("pitch_mm", Value::from(pitch_mm)),
        ("maximum_error_mm", Value::from(reading.maximum_error_mm())),
        ("resolution_mm", Value::from(reading.resolution_mm())),
    ]);
    if let Some(teeth) = bike.whole("rear_teeth") {
        asked = with(asked, "rear_teeth", teeth);
    }
    let answer = ask("wear.reading", &asked)?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let elongation_pct = numbers(answer.at("elongation_pct"));
    let places = places(reading, &elongation_pct, answer.at("diagnosis"), pitch_mm)?;
    let reason = judged(&answer, &limit, reading);
    let error = pitch_mm.mul_add(f64::from(reading.pitches()), reading.maximum_error_mm());
    let error =
        with(with(given([("pitch_mm", Value::from(pitch_mm))]), "pitches", reading.pitches()), "length_mm", error);
    let error_pct = ask("chain.elongation", &error).ok().and_then(|answer| answer.get("elongation_pct"));
    let mut view = ElongationView {
        verdict: reason.verdict,
        reasons: vec![reason],
        elongation_pct,
        worst_place: get("worst_place"),
        worst_pct: get("worst_pct"),
        worst_u_pct: get("worst_u_pct"),
        worst_u95_pct: get("worst_u95_pct"),
        error_pct: error_pct.unwrap_or_default(),
        bad: answer.at("verdict").and_then(Value::as_str) == Some("bad_reading"),
        limit,
        facts: Vec::new(),
        places,
    };
    view.facts = facts(&view, answer.get("pitches_to_decide"));
    Ok(view)
}

fn judged(answer: &figures::Answer, limit: &Limit, reading: &ElongationReading) -> Reason {
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let figure = format!("{} ± {} %", number(get("worst_pct"), 2), number(get("worst_u95_pct"), 2));
    let line = format!("limit {} % ({})", number(get("limit_used_pct"), 1), limit.whose);
    let again = "Measure again, over more pitches and at 3 places";
    match answer.at("verdict").and_then(Value::as_str) {
        Some("ok") => {
            Reason::new(Verdict::Ready, "wear.reading", format!("Chain at its worst place {figure}, {line}."))
        }
        Some("worn") => {
            Reason::new(Verdict::Stop, "wear.reading", format!("Chain worn: {figure} at its worst place, {line}."))
                .cleared_by("Change chain and what has worn with it", 180)
        }
        Some("bad_reading") => {
            let place = diagnoses(answer).into_iter().find(|word| word != "ok").unwrap_or_default();
            Reason::new(
                Verdict::Stop,
                "wear.reading",
                format!("This reading cannot be right: {}.", wrong(&place, reading)),
            )
            .cleared_at("drive/measure/elongation", "Count and measure again", 5)
        }
        _ => {
            let pitches = answer.get("pitches_to_decide");
            let act = pitches.map_or_else(
                || again.to_owned(),
                |pitches| format!("Measure again over {} pitches, at 3 places", number(pitches, 0)),
            );
            let text = format!("Chain at the limit within reading error: {figure} at its worst place, {line}.");
            Reason::new(Verdict::Care, "wear.reading", text).cleared_at("drive/measure/elongation", act, 5)
        }
    }
}

fn diagnoses(answer: &figures::Answer) -> Vec<String> {
    let list = answer.at("diagnosis").and_then(Value::as_array);
    list.into_iter().flatten().filter_map(Value::as_str).map(str::to_owned).collect()
}

fn wrong(diagnosis: &str, reading: &ElongationReading) -> String {
    match diagnosis.split_once(':') {
        Some((_, pitches)) => {
            format!(
                "it was given over {} pitches and looks like {pitches} (pitches are gaps, one fewer than pins)",
                reading.pitches()
            )
        }
        None if diagnosis == "unit_inch" => "it looks like inches; millimetres are wanted".to_owned(),
        None if diagnosis == "unit_cm" => "it looks like centimetres; millimetres are wanted".to_owned(),
        None => "no miscount explains it; pull the chain taut, check its pitch, count again".to_owned(),
    }
}

fn places(
    reading: &ElongationReading,
    elongation_pct: &[f64],
    diagnosis: Option<&Value>,
    pitch_mm: f64,
) -> Result<Table, Gap> {
    let columns = vec![
        Column::words("place", "Place"),
        Column::numbers("elongation_pct", "Longer than new, %"),
        Column::words("reading", "Reading"),
    ];
    let mut table = Table::new("places", "Elongation place by place", columns);
    let words = diagnosis.and_then(Value::as_array).cloned().unwrap_or_default();
    for ((at, pct), lengths) in (1..).zip(elongation_pct).zip(reading.length_mm()) {
        let word = words.get(at - 1).and_then(Value::as_str).unwrap_or("ok").to_owned();
        let text = match word.strip_prefix("count_off:").and_then(|count| count.parse::<u32>().ok()) {
            Some(count) => {
                let length = lengths.first().copied().unwrap_or_default();
                let asked = given([
                    ("pitch_mm", Value::from(pitch_mm)),
                    ("pitches", Value::from(count)),
                    ("length_mm", Value::from(length)),
                ]);
                let then = ask("chain.elongation", &asked)?.get("elongation_pct").unwrap_or_default();
                format!("looks like {count} pitches ({} %); count again", number(then, 2))
            }
            None if word == "ok" => word,
            None => wrong(&word, reading),
        };
        table.rows.push(vec![Cell::words(at.to_string()), Cell::number(*pct, 2), Cell::words(text)]);
    }
    Ok(table)
}

fn facts(view: &ElongationView, decide: Option<f64>) -> Vec<Fact> {
    let limit = Fact::new("limit_pct", "Limit", format!("{} %", number(view.limit.limit_pct, 1)), view.limit.limit_pct)
        .because(view.limit.whose.clone())
        .sure(if view.limit.assumed {
            "a guess until the manual's figure is on the sheet"
        } else {
            "as good as its source"
        })
        .unless("the manual's figure; it is never more than 200 % divided by the rear teeth");
    let worst = Fact::new(
        "worst_pct",
        "Worst place",
        format!("{} ± {} %", number(view.worst_pct, 2), number(view.worst_u95_pct, 2)),
        view.worst_pct,
    )
    .because(format!("place {} of {}", number(view.worst_place, 0), view.elongation_pct.len()))
    .sure(format!("19 of 20; the instrument's largest error alone is {} %", number(view.error_pct, 2)))
    .unless(decide.map_or_else(
        || "more pitches halve the error, more readings only its random part".to_owned(),
        |pitches| format!("{} pitches would decide it", number(pitches, 0)),
    ))
    .says("wear.reading");
    vec![worst, limit]
}

/// The readings of the chain that is fitted, each with its hours since then, oldest first.
#[must_use]
pub fn of_this_chain<'r>(record: &'r Record<'_>) -> Vec<(&'r Entry, &'r ElongationReading)> {
    let from = record.log.fitted(Role::Chain).map(|entry| (entry.at, entry.id));
    let pick = |fact: &'r Noted| if let Noted::Elongation(reading) = fact { Some(reading) } else { None };
    record.log.of(pick).filter(|(entry, _)| from.is_none_or(|from| (entry.at, entry.id) >= from)).collect()
}

/// Whether a reading lies under the one before by more than both can be wrong: a chain does not get shorter.
#[must_use]
pub fn fell(before: &ElongationView, after: &ElongationView) -> Option<Reason> {
    // A miscounted reading says nothing about the chain: nothing can be shorter than it.
    if before.bad || after.bad {
        return None;
    }
    let fall = before.worst_pct - after.worst_pct;
    if fall <= before.worst_u95_pct.hypot(after.worst_u95_pct) {
        return None;
    }
    let text = format!(
        "Elongation {} % is lower than last time ({} %) by more than reading error. Both are kept; if the chain was changed, record the new one.",
        number(after.worst_pct, 2),
        number(before.worst_pct, 2)
    );
    Some(Reason::new(Verdict::Care, "wear.reading", text).cleared_at(
        "drive/measure/elongation",
        "Measure again, or keep it as it is",
        5,
    ))
}

pub(super) fn numbers(value: Option<&Value>) -> Vec<f64> {
    value.and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_f64).collect()
}

impl ElongationView {
    /// The same view with a further reason.
    #[must_use]
    pub fn and(mut self, reason: Option<Reason>) -> Self {
        self.reasons.extend(reason);
        verdict::worst_first(&mut self.reasons);
        self.verdict = verdict::of(&self.reasons);
        self
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let sentence = format!("Chain {} % longer than new at its worst place.", number(self.worst_pct, 2));
        vec![
            Block::Heading("Is the chain worn?"),
            Block::Verdict(self.verdict, self.verdict.words(), sentence),
            Block::Reasons(&self.reasons),
            Block::Facts(&self.facts),
            Block::Table(&self.places),
        ]
    }
}
