//! How long does the chain last: hours left as a range, from its own readings and hours, and what each ground costs.

use jiff::civil::DateTime;
use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;
use upkeep::record::{Entry, Fact as Noted, Role};

use super::elongation::{Limit, numbers, of_this_chain};
use super::used::{self, End, Span};
use super::worst::Judge;
use super::{LIFE_ASSUMED_H, Record, first_day, given};
use crate::ask::{Gap, Given, ask};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::verdict::Verdict;
use crate::words::{capital, number};

/// One reading with its hours since the chain was fitted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// Hours since the chain was fitted.
    pub hours_h: f64,
    /// Elongation at the worst place.
    pub elongation_pct: f64,
    /// Its standard uncertainty.
    pub u_pct: f64,
}

/// How long the chain lasts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ForecastView {
    /// Ready where the log speaks; else unknown: the range is then the tool's own assumption.
    pub verdict: Verdict,
    /// The answer in a sentence.
    pub sentence: String,
    /// The readings that it rests on.
    pub points: Vec<Point>,
    /// Hours left: low, middle and high; `null`: no bound.
    pub left_h: [Option<f64>; 3],
    /// Wear per hour.
    pub rate_pct_per_h: f64,
    /// Its standard deviation.
    pub rate_sd_pct_per_h: f64,
    /// The limit.
    pub limit: Limit,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// The readings as a table.
    pub readings: Table,
    /// Notices of the figure.
    pub notes: Vec<String>,
}

/// The readings of the chain that is fitted, with their hours since then; of a chain whose hours are known as a range
/// with its fewest: the faster wear.
///
/// # Errors
/// The meter went back, or a field of the sheet is missing.
pub fn points(record: &Record<'_>) -> Result<Vec<Point>, Gap> {
    match used::of(record, Role::Chain)? {
        Some(span) => points_at(record, |at| Ok(Some(used::pick(span.at(record, at)?, End::Low)))),
        None => counted(record),
    }
}

/// The same of a chain whose hours were counted.
fn counted(record: &Record<'_>) -> Result<Vec<Point>, Gap> {
    let Some(from_h) = from_h(record)? else { return Ok(Vec::new()) };
    points_at(record, |at| Ok(record.hours_at(at)?.map(|hours| hours - from_h)))
}

/// Total hours from which those of the chain count: from its fitting on, else from its first reading. What the meter
/// showed when it was first noted after that is not the chain's: it counts from that note on, the fewest hours, which
/// makes for the faster wear. `None` where no hours are known.
fn from_h(record: &Record<'_>) -> Result<Option<f64>, Gap> {
    let fitted = record.log.fitted(Role::Chain);
    let first = || of_this_chain(record).first().map(|(entry, _)| entry.at);
    let Some(from) = fitted.map(|entry| entry.at).or_else(first) else { return Ok(None) };
    let known = match (record.hours_at(from)?, record.log.first_meter()) {
        (None, Some(noted)) => record.hours_at(noted)?,
        (known, _) => known,
    };
    Ok(known.map(|hours| hours - fitted.map_or(0.0, used_h)))
}

/// Hours that a part had when it was fitted.
fn used_h(entry: &Entry) -> f64 {
    if let Noted::Part(part) = &entry.fact { part.used_h() } else { 0.0 }
}

/// The readings of this chain with its hours at each.
fn points_at(record: &Record<'_>, hours_at: impl Fn(DateTime) -> Result<Option<f64>, Gap>) -> Result<Vec<Point>, Gap> {
    let (mut judge, mut points) = (Judge::of(record.bike), Vec::new());
    for (entry, reading) in of_this_chain(record) {
        let Some(hours) = hours_at(entry.at)? else { continue };
        // What cannot be right says nothing about wear; it stays in the record and stops the ride until it is cleared.
        let Some(worst) = judge.worst(reading)? else { continue };
        points.push(Point { hours_h: hours.max(0.0), elongation_pct: worst.pct, u_pct: worst.u_pct });
    }
    Ok(points)
}

/// Hours that the chain has now, of a range the fewest as in [`points`]; `None` where it or the hours are not known.
///
/// # Errors
/// The meter went back.
pub(super) fn chain_hours(record: &Record<'_>) -> Result<Option<f64>, Gap> {
    if let Some(span) = used::of(record, Role::Chain)? {
        return Ok(Some(span.end(End::Low)));
    }
    Ok(record.hours()?.zip(from_h(record)?).map(|(now, from_h)| now - from_h))
}

/// Answers for the chain that is fitted.
///
/// # Errors
/// The meter went back, or a field of the sheet is missing.
pub fn view(record: &Record<'_>) -> Result<ForecastView, Gap> {
    match used::of(record, Role::Chain)? {
        Some(span) => of_range(record, &span),
        None => of_points(record.bike, counted(record)?),
    }
}

/// Answers for a chain whose hours are known as a range: its log at both ends where that speaks, else one reading.
fn of_range(record: &Record<'_>, span: &Span) -> Result<ForecastView, Gap> {
    let at = |end| points_at(record, |at| Ok(Some(used::pick(span.at(record, at)?, end))));
    let low = of_points(record.bike, at(End::Low)?)?;
    let high = of_points(record.bike, at(End::High)?)?;
    if [&low, &high].iter().all(|view| view.verdict == Verdict::Ready) {
        return Ok(low.or(&high, span));
    }
    let first = first_day::alone(record)?.ok_or_else(|| Gap::absent("length_mm"))?;
    let mut facts = first.facts;
    if facts.is_empty() {
        facts.push(span.fact("chain_hours_h", "Hours of this chain"));
    }
    let (left_h, sentence, notes) = (first.left_h, first.sentence, first.notes);
    Ok(ForecastView { verdict: Verdict::Unknown, left_h, sentence, facts, notes, ..low })
}

/// Answers for readings.
///
/// # Errors
/// A reading that cannot be.
pub fn of_points(bike: &Bike, points: Vec<Point>) -> Result<ForecastView, Gap> {
    let limit = Limit::of(bike);
    let answer = ask("wear.forecast", &log(&points, limit.limit_pct))?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let left_h = ["left_low_h", "left_median_h", "left_high_h"].map(|key| answer.get(key));
    let from_log = answer.at("basis").and_then(Value::as_str) == Some("log");
    let (rate, rate_sd) = (get("rate_pct_per_h"), get("rate_sd_pct_per_h"));
    let range = words(left_h);
    let sentence = if from_log {
        capital(&format!("{range} left to {} %.", number(limit.limit_pct, 1)))
    } else {
        format!(
            "Not known yet: {} of at least 3 readings over 15 h. The tool's own assumption alone says {range}.",
            points.len(),
            range = range.trim_end_matches(',')
        )
    };
    Ok(ForecastView {
        verdict: if from_log { Verdict::Ready } else { Verdict::Unknown },
        sentence,
        facts: facts(left_h, range, from_log, (rate, rate_sd)),
        readings: table(&points),
        points,
        left_h,
        rate_pct_per_h: rate,
        rate_sd_pct_per_h: rate_sd,
        limit,
        notes: answer.notices.iter().map(|notice| notice.text.clone()).collect(),
    })
}

/// The log as figures take it.
pub(super) fn log(points: &[Point], limit_pct: f64) -> Given {
    let mut asked = given([
        ("hours_h", points.iter().map(|point| point.hours_h).collect()),
        ("elongation_pct", points.iter().map(|point| point.elongation_pct).collect()),
        ("limit_pct", Value::from(limit_pct)),
    ]);
    if !points.is_empty() {
        asked.insert("u_pct".to_owned(), points.iter().map(|point| point.u_pct).collect());
    }
    asked
}

/// Hours left as a range.
#[must_use]
pub fn words(left_h: [Option<f64>; 3]) -> String {
    let [low, middle, high] = left_h;
    let hours = |value: Option<f64>| value.map(|value| number(value, 0));
    match (hours(low), hours(middle), hours(high)) {
        _ if left_h[2].is_some_and(|high| high < 0.5) => "no hours".to_owned(),
        (Some(low), Some(middle), Some(high)) => format!("{low} to {high} h, middle {middle},"),
        (Some(low), _, None) => format!("{low} h or more, no upper bound from this log,"),
        _ => "no bound at all".to_owned(),
    }
}

fn facts(left_h: [Option<f64>; 3], range: String, from_log: bool, rate: (f64, f64)) -> Vec<Fact> {
    let range = range.trim_end_matches(',').to_owned();
    let left = Fact { value: left_h[1], ..Fact::unknown("left_median_h", "Hours left", range) }
        .because(if from_log { "from your own readings" } else { "from the prior, not from your log" })
        .sure("9 of 10 if wear goes on as it did; on hard ground, others cost more")
        .unless("sand and mud, a worn sprocket, a chain run dry")
        .says("wear.forecast");
    let text = format!("{} ± {} % each 10 h", number(rate.0 * 10.0, 3), number(rate.1 * 10.0, 3));
    let per_h = Fact::new("rate_pct_per_h", "Wear", text, rate.0)
        .because("mean and standard deviation of the rate")
        .sure("the more hours lie between the readings, the surer")
        .unless("the ground")
        .says("wear.forecast");
    vec![left, per_h]
}

fn table(points: &[Point]) -> Table {
    let columns = vec![
        Column::numbers("hours_h", "Hours of the chain"),
        Column::numbers("elongation_pct", "Worst place, %"),
        Column::numbers("u_pct", "Standard uncertainty, %"),
    ];
    let mut table = Table::new("readings", "Readings of this chain", columns);
    let row = |point: &Point| {
        vec![Cell::number(point.hours_h, 1), Cell::number(point.elongation_pct, 2), Cell::number(point.u_pct, 3)]
    };
    table.rows.extend(points.iter().map(row));
    table
}

/// What each ground costs, with the hours behind it; nothing is claimed below the least.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroundCost {
    /// The ground, in the rider's word.
    pub ground: String,
    /// Hours of this chain on it.
    pub hours_h: f64,
    /// Wear per hour.
    pub rate_pct_per_h: f64,
    /// Its standard deviation.
    pub rate_sd_pct_per_h: f64,
    /// Whether the log is long enough to say so.
    pub claimed: bool,
}

/// Wear per hour of each ground ridden with this chain.
///
/// # Errors
/// The meter went back, or a field of the sheet is missing.
pub fn grounds(record: &Record<'_>) -> Result<(Vec<GroundCost>, Vec<String>), Gap> {
    let readings = of_this_chain(record);
    let fitted = record.log.fitted(Role::Chain).map(|entry| entry.at);
    let Some(from) = fitted.or_else(|| readings.first().map(|(entry, _)| entry.at)) else {
        return Ok((Vec::new(), Vec::new()));
    };
    let rides = record.log.rides();
    let rides = &rides[rides.partition_point(|ride| ride.at <= from)..];
    let mut names: Vec<String> = rides.iter().filter_map(|ride| ride.ground.clone()).collect();
    names.sort_unstable();
    names.dedup();
    if names.is_empty() || readings.is_empty() {
        return Ok((Vec::new(), Vec::new()));
    }
    let on = |ground: &str, until| -> f64 {
        let ridden = rides.iter().take_while(|ride| ride.at <= until);
        ridden.filter(|ride| ride.ground.as_deref() == Some(ground)).filter_map(|ride| ride.hours_h).sum()
    };
    let mut rows = Vec::new();
    let mut elongation = Vec::new();
    let mut judge = Judge::of(record.bike);
    for (entry, reading) in &readings {
        if let Some(worst) = judge.worst(reading)? {
            rows.push(Value::from(names.iter().map(|name| on(name, entry.at)).collect::<Vec<f64>>()));
            elongation.push(worst.pct);
        }
    }
    if elongation.is_empty() {
        return Ok((Vec::new(), Vec::new()));
    }
    let limit = Limit::of(record.bike).limit_pct;
    let asked = given([
        ("grounds", Value::from(names.clone())),
        ("ground_hours_h", Value::from(rows)),
        ("elongation_pct", Value::from(elongation)),
        ("rate_pct_per_h", Value::from(limit / LIFE_ASSUMED_H)),
    ]);
    let answer = ask("wear.rates", &asked)?;
    let (rates, sds) = (numbers(answer.at("rates_pct_per_h")), numbers(answer.at("rates_sd_pct_per_h")));
    let claimed = answer.at("claimed").and_then(Value::as_array).cloned().unwrap_or_default();
    let costs = names
        .into_iter()
        .enumerate()
        .map(|(at, ground)| GroundCost {
            hours_h: on(&ground, record.now),
            rate_pct_per_h: rates.get(at).copied().unwrap_or_default(),
            rate_sd_pct_per_h: sds.get(at).copied().unwrap_or_default(),
            claimed: claimed.get(at).and_then(Value::as_bool).unwrap_or_default(),
            ground,
        })
        .collect();
    Ok((costs, answer.notices.iter().map(|notice| notice.text.clone()).collect()))
}

/// What each ground costs as a table.
#[must_use]
pub fn ground_table(costs: &[GroundCost]) -> Table {
    let columns = vec![
        Column::words("ground", "Ground"),
        Column::numbers("hours_h", "Hours"),
        Column::words("rate", "Wear, % each 10 h"),
    ];
    let mut table = Table::new("grounds", "What each ground costs this chain", columns);
    for cost in costs {
        let text = if cost.claimed {
            format!("{} ± {}", number(cost.rate_pct_per_h * 10.0, 3), number(cost.rate_sd_pct_per_h * 10.0, 3))
        } else {
            "too few hours (8 needed)".to_owned()
        };
        table.rows.push(vec![Cell::words(cost.ground.clone()), Cell::number(cost.hours_h, 1), Cell::words(text)]);
    }
    table
}

impl ForecastView {
    /// The wider of two answers, at both ends of a range: the sooner end and the later one.
    fn or(self, other: &Self, span: &Span) -> Self {
        let [low, middle, high] = self.left_h;
        let soonest = |one: Option<f64>, two: Option<f64>| one.zip(two).map(|(one, two)| one.min(two));
        let left_h = [
            soonest(low, other.left_h[0]),
            soonest(middle, other.left_h[1]),
            high.zip(other.left_h[2]).map(|(one, two)| one.max(two)),
        ];
        let mut facts = facts(left_h, words(left_h), true, (self.rate_pct_per_h, self.rate_sd_pct_per_h));
        facts.push(span.fact("chain_hours_h", "Hours of this chain"));
        let sentence = format!(
            "{} left to {} %, whichever of {} it has.",
            capital(&words(left_h)),
            number(self.limit.limit_pct, 1),
            span.words()
        );
        Self { left_h, facts, sentence, ..self }
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let words = if self.verdict == Verdict::Unknown { self.verdict.words() } else { "Known" };
        vec![
            Block::Heading("How long does it last?"),
            Block::Verdict(self.verdict, words, self.sentence.clone()),
            Block::Facts(&self.facts),
            Block::Table(&self.readings),
            Block::List(self.notes.clone()),
        ]
    }
}
