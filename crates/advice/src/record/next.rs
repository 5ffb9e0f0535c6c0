//! What to measure next: the one reading that lessens the chance of a wrong verdict most, per minute.
//!
//! What is not known at all comes first: no verdict without it. Then readings are weighed by how often they would turn
//! or confirm what would be done now about chain and slack by the end of the coming ride.

use serde::Serialize;
use serde_json::{Value, json};
use upkeep::record::Fact as Noted;

use super::elongation::Limit;
use super::{Record, forecast};
use crate::Setup;
use crate::ask::{Gap, ask, from_sheet, with};
use crate::block::Block;
use crate::fact::{Cell, Column, Table};
use crate::fit::{GEOMETRY, need};
use crate::ready;
use crate::slack as set;
use crate::verdict::{Reason, Verdict};
use crate::words::number;

/// One reading that could be taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Offer {
    /// What is read, and how.
    pub name: String,
    /// About how long it takes.
    pub minutes_min: f64,
    /// Chance of a wrong verdict as things stand.
    pub wrong_now: f64,
    /// The same after the reading.
    pub wrong_after: f64,
    /// How much it lessens that for each minute.
    pub gain_per_min: f64,
    /// Chance that the reading decides.
    pub chance_decided: f64,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextView {
    /// The reading to take, in words; `null`: nothing is worth its minutes.
    pub best: Option<String>,
    /// The answer in a sentence.
    pub sentence: String,
    /// What is not known at all.
    pub unknown: Vec<Reason>,
    /// Readings weighed, best first.
    pub offers: Vec<Offer>,
    /// The same as a table.
    pub table: Table,
    /// What it rests on.
    pub notes: Vec<String>,
}

/// Answers from what is recorded.
///
/// # Errors
/// The meter went back, or a field of the sheet is missing.
pub fn view(record: &Record<'_>) -> Result<NextView, Gap> {
    let verdict = ready::view(record);
    let mut unknown: Vec<Reason> =
        verdict.reasons.into_iter().filter(|reason| reason.verdict == Verdict::Unknown).collect();
    unknown.sort_by_key(|reason| reason.clear.as_ref().map_or(u32::MAX, |clear| clear.minutes_min));
    let mut offers = Vec::new();
    let hours = coming_h(record);
    let (mut quantities, mut options) = (Vec::new(), Vec::new());
    if let Some((quantity, readings)) = chain(record, hours)? {
        quantities.push(quantity);
        options.extend(readings);
    }
    if let Some(slack_mm) = verdict.slack_mm
        && let Ok(found) = slack(record, slack_mm)
    {
        quantities.extend(found.0);
        options.extend(found.1);
    }
    if !options.is_empty() {
        let asked = super::given([
            ("quantities", Value::from(quantities)),
            ("options", Value::from(options)),
            ("by", Value::from("wrong")),
        ]);
        let minutes: Vec<f64> =
            asked["options"].as_array().into_iter().flatten().filter_map(|one| one["minutes"].as_f64()).collect();
        offers = weighed(&ask("wear.next_reading", &asked)?, &minutes);
    }
    let best = best(&unknown, &offers);
    Ok(NextView {
        sentence: sentence(&unknown, &offers, best.as_deref()),
        best,
        table: table(&offers),
        unknown,
        offers,
        notes: vec![format!(
            "Weighed for the next {} h; one step ahead only, chain and slack taken apart.",
            number(hours, 1)
        )],
    })
}

/// Hours of the next planned ride, else of a usual one.
pub(crate) fn coming_h(record: &Record<'_>) -> f64 {
    let usual = super::due::ride_h(record).map(|(mean, _)| mean);
    record.planned_h().or(usual).unwrap_or(USUAL_H)
}

/// A usual ride where none is recorded. The tool's own guess.
const USUAL_H: f64 = 2.5;

/// The chain at the end of the coming hours, and the ways to read it.
fn chain(record: &Record<'_>, hours: f64) -> Result<Option<(Value, Vec<Value>)>, Gap> {
    let points = forecast::points(record)?;
    let Some(last) = points.last() else { return Ok(None) };
    let since = forecast::chain_hours(record)?.map_or(0.0, |now| (now - last.hours_h).max(0.0));
    let limit = Limit::of(record.bike).limit_pct;
    let quantity = json!({ "name": CHAIN, "log": forecast::log(&points, limit), "since_h": since, "until_h": hours });
    let mut options = Vec::new();
    for way in WAYS {
        let mut asked = super::given([
            ("readings", Value::from(way.readings)),
            ("places", Value::from(1)),
            ("pitches", Value::from(vec![way.pitches])),
            ("maximum_error_mm", Value::from(way.error_mm)),
            ("resolution_mm", Value::from(way.step_mm)),
            ("repeat_mm", Value::from(way.repeat_mm)),
        ]);
        asked.extend(from_sheet(record.bike, &["pitch_mm"]));
        let answer = ask("wear.protocol", &asked)?;
        let u = answer.at("options").and_then(|options| options[0]["u_pct"].as_f64());
        options.extend(u.map(|u| json!({ "name": way.name, "quantity": CHAIN, "u": u, "minutes": way.minutes })));
    }
    Ok(Some((quantity, options)))
}

const CHAIN: &str = "chain at its worst place";
const TIGHT: &str = "slack, too tight";
const LOOSE: &str = "slack, too loose";

/// A way to read the chain's length at its worst place; minutes are the tool's own guesses.
struct Way {
    name: &'static str,
    pitches: u32,
    readings: u32,
    error_mm: f64,
    step_mm: f64,
    repeat_mm: f64,
    minutes: f64,
}

const WAYS: [Way; 4] = [
    Way {
        name: "Chain, 16 pitches at the worst place, caliper once",
        pitches: 16,
        readings: 1,
        error_mm: 0.05,
        step_mm: 0.01,
        repeat_mm: 0.15,
        minutes: 3.0,
    },
    Way {
        name: "Chain, 16 pitches at the worst place, caliper three times",
        pitches: 16,
        readings: 3,
        error_mm: 0.05,
        step_mm: 0.01,
        repeat_mm: 0.15,
        minutes: 5.0,
    },
    Way {
        name: "Chain, 20 pitches at the worst place, rule by eye twice",
        pitches: 20,
        readings: 2,
        error_mm: 0.5,
        step_mm: 0.5,
        repeat_mm: 0.3,
        minutes: 4.0,
    },
    Way {
        name: "Chain, 40 pitches at the worst place, tape three times",
        pitches: 40,
        readings: 3,
        error_mm: 0.5,
        step_mm: 0.5,
        repeat_mm: 0.3,
        minutes: 6.0,
    },
];
/// Minutes of reading the slack.
const SLACK_MINUTES: f64 = 3.0;

/// The slack now against both ends of what it may be, as chain beyond taut, and the ways to read it.
fn slack(record: &Record<'_>, slack_mm: f64) -> Result<(Vec<Value>, Vec<Value>), Gap> {
    let setup = Setup::fitted(record.bike)?;
    let band = set::band(record.bike, setup)?.from_to_mm;
    let stop = record.bike.number("slack_stop_mm").unwrap_or(band[0]);
    let stand =
        with(setup.give_pair(from_sheet(record.bike, &GEOMETRY)), "arm_angle_deg", need(record.bike, "droop_deg")?);
    let surplus = |slack_mm: f64| -> Result<f64, Gap> {
        Ok(ask("slack.free", &with(stand.clone(), "slack_mm", slack_mm))?.get("surplus_mm").unwrap_or_default())
    };
    let now = surplus(slack_mm)?;
    let error = surplus(slack_mm + set::READING_ERROR_MM)? - now;
    let grown = grown(record)?;
    let mean = now + grown[0];
    let sd = error.hypot(grown[1]);
    // "Over" is what must be put right: too little chain counts with its sign turned.
    let quantities = vec![
        json!({ "name": TIGHT, "mean": -mean, "sd": sd, "limit": -surplus(stop)? }),
        json!({ "name": LOOSE, "mean": mean, "sd": sd, "limit": surplus(band[1])? }),
    ];
    let read = |name: &str, quantity: &str| json!({ "name": name, "quantity": quantity, "u": error, "minutes": SLACK_MINUTES });
    let options = vec![
        read("Slack again, for fear that it is too tight", TIGHT),
        read("Slack again, for fear that it is too loose", LOOSE),
    ];
    Ok((quantities, options))
}

/// Chain that the loop has grown by since slack was read, mean and standard deviation, mm.
fn grown(record: &Record<'_>) -> Result<[f64; 2], Gap> {
    let view = record.forecast()?;
    let pick = |fact: &Noted| if let Noted::Slack(_) = fact { Some(()) } else { None };
    let hours = record.last(pick).and_then(|(entry, ())| record.since_h(entry.at)).unwrap_or_default();
    let pitch = need(record.bike, "pitch_mm")?;
    let loop_mm = pitch * f64::from(Setup::fitted(record.bike)?.links);
    Ok([view.rate_pct_per_h, view.rate_sd_pct_per_h].map(|rate| rate / 100.0 * loop_mm * hours))
}

fn weighed(answer: &figures::Answer, minutes: &[f64]) -> Vec<Offer> {
    let rows = answer.at("by_option").and_then(Value::as_array).into_iter().flatten().zip(minutes);
    let mut offers: Vec<Offer> = rows
        .map(|(row, minutes)| {
            let get = |key: &str| row[key].as_f64().unwrap_or_default();
            Offer {
                name: row["name"].as_str().unwrap_or_default().to_owned(),
                minutes_min: *minutes,
                wrong_now: get("wrong_after") + get("wrong_less"),
                wrong_after: get("wrong_after"),
                gain_per_min: get("gain_per_min"),
                chance_decided: get("chance_decided"),
            }
        })
        .collect();
    offers.sort_by(|a, b| b.gain_per_min.total_cmp(&a.gain_per_min));
    offers
}

fn best(unknown: &[Reason], offers: &[Offer]) -> Option<String> {
    let missing = unknown.iter().filter_map(|reason| reason.clear.as_ref()).map(|clear| clear.act.clone()).next();
    missing.or_else(|| offers.first().filter(|offer| offer.gain_per_min > WORTH).map(|offer| offer.name.clone()))
}

/// A chance of a wrong verdict per minute under which nobody gets up.
const WORTH: f64 = 1e-4;

fn sentence(unknown: &[Reason], offers: &[Offer], best: Option<&str>) -> String {
    match (unknown.first(), best, offers.first()) {
        (Some(reason), Some(best), _) => {
            format!("{best}: without it there is no verdict. {}", reason.text)
        }
        (None, Some(best), Some(first)) => format!(
            "{best}: a wrong verdict is then {} % likely instead of {} %.",
            number(100.0 * first.wrong_after, 1),
            number(100.0 * first.wrong_now, 1)
        ),
        _ => "Nothing: no reading would change what is done now by more than its minutes are worth.".to_owned(),
    }
}

fn table(offers: &[Offer]) -> Table {
    let columns = vec![
        Column::words("name", "Reading"),
        Column::numbers("minutes_min", "Minutes"),
        Column::numbers("wrong_now_pct", "Wrong now, %"),
        Column::numbers("wrong_after_pct", "Then, %"),
        Column::numbers("gain_per_min_pct", "Less each minute, points of %"),
        Column::numbers("decided_pct", "Decides, %"),
    ];
    let mut table = Table::new("offers", "What each reading does to the chance of a wrong verdict", columns);
    table.rows.extend(offers.iter().map(|offer| {
        vec![
            Cell::words(offer.name.clone()),
            Cell::number(offer.minutes_min, 0),
            Cell::number(100.0 * offer.wrong_now, 1),
            Cell::number(100.0 * offer.wrong_after, 1),
            Cell::number(100.0 * offer.gain_per_min, 2),
            Cell::number(100.0 * offer.chance_decided, 0),
        ]
    }));
    table
}

impl NextView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("What do I measure next?"),
            Block::Text(self.sentence.clone()),
            Block::Reasons(&self.unknown),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}
