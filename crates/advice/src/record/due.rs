//! What is due: oil by hours, the recheck after the first hour, what opened on a ride; and by when to order.

use jiff::ToSpan as _;
use jiff::civil::{Date, DateTime};
use serde_json::{Value, json};
use upkeep::record::{Entry, Fact as Noted, Work, WorkState, touched};

use super::{Record, given};
use crate::ask::{Gap, ask};
use crate::fact::{Cell, Column, Table};
use crate::ready::in_words;
use crate::verdict::{Reason, Verdict};
use crate::words::number;

/// Hours after which a fitted set is looked at again.
pub const RECHECK_H: f64 = 1.0;
/// Days looked back over for the riding habit.
pub(crate) const WINDOW_D: i32 = 90;
/// The job of the oil interval.
const OIL: &str = "gearbox-oil";
/// The job of the look after the first hour.
const RECHECK: &str = "first-ride-check";

/// One thing that falls due.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// What.
    pub what: String,
    /// When, in words.
    pub when: String,
    /// The job that settles it; `None` where the library has none.
    pub job: Option<&'static str>,
    /// What it makes of the next ride; `None` while it does not touch it.
    pub reason: Option<Reason>,
}

/// What is due, the oil first.
///
/// # Errors
/// The meter went back.
pub fn all(record: &Record<'_>) -> Result<Vec<Due>, Gap> {
    let mut due: Vec<Due> = oil(record)?.into_iter().collect();
    due.extend(recheck(record)?);
    due.extend(inspection(record));
    Ok(due)
}

/// Hours left of the oil; `None` without an interval, its last change or the hours.
pub(super) fn oil_left_h(record: &Record<'_>) -> Result<Option<f64>, Gap> {
    let Some(interval_h) = record.bike.number("oil_interval_h") else { return Ok(None) };
    let since = record.log.last_done(OIL).map(|entry| record.ridden_h(entry.at, record.now)).transpose()?.flatten();
    Ok(since.map(|since_h| interval_h - since_h))
}

/// Hours that the rides nobody noted any for may have taken since a time: as many each as the others, in the mean.
fn uncounted_h(record: &Record<'_>, since: DateTime) -> (usize, f64) {
    let rides = record.log.uncounted_rides(since);
    let mean_h = ride_h(record).map_or(0.0, |(mean_h, _)| mean_h);
    (rides, f64::from(u32::try_from(rides).unwrap_or(u32::MAX)) * mean_h)
}

/// The oil, where the sheet has an interval.
fn oil(record: &Record<'_>) -> Result<Option<Due>, Gap> {
    let Some(interval_h) = record.bike.number("oil_interval_h") else { return Ok(None) };
    let what = "Oil".to_owned();
    let Some(left_h) = oil_left_h(record)? else {
        let text = format!(
            "Oil every {} h on the sheet, but its last change or the hours are not recorded.",
            number(interval_h, 0)
        );
        let reason =
            Reason::new(Verdict::Unknown, "", text).cleared_at("jobs", "Record the last oil change with its hours", 1);
        return Ok(Some(Due { what, when: "not known".to_owned(), job: Some(OIL), reason: Some(reason) }));
    };
    let changed = record.log.last_done(OIL).map_or(record.now, |entry| entry.at);
    let (uncounted, perhaps_h) = uncounted_h(record, changed);
    let next = next_ride(record, left_h - perhaps_h)?;
    let of_it = format!("{} h left of {} h", number(left_h, 1), number(interval_h, 0));
    let figures = match uncounted {
        0 => of_it,
        1 => format!("at most {of_it}, a ride since has no hours"),
        rides => format!("at most {of_it}, {rides} rides since have no hours"),
    };
    let (when, verdict) = if left_h <= 0.0 {
        (format!("overdue by {} h", number(-left_h, 1)), Some(Verdict::Care))
    } else if next {
        (format!("due during the ride: {figures}"), Some(Verdict::Care))
    } else {
        (figures, None)
    };
    let reason = verdict.map(|verdict| {
        Reason::new(verdict, "service.due", format!("Oil {when}.")).cleared_at("jobs", "Change the oil", 30)
    });
    Ok(Some(Due { what, when, job: Some(OIL), reason }))
}

/// Whether so many hours may run out within the next ride.
fn next_ride(record: &Record<'_>, left_h: f64) -> Result<bool, Gap> {
    let counter = match (record.planned_h(), ride_h(record)) {
        (Some(hours), _) => {
            json!({"kind": "hours", "left": left_h, "per_ride": hours, "per_ride_sd": 0.0, "rides_known": 2})
        }
        (None, None) => return Ok(left_h <= 0.0),
        (None, Some((mean, count))) => {
            json!({"kind": "hours", "left": left_h, "per_ride": mean, "rides_known": count})
        }
    };
    Ok(habit(record, counter)?.at("next_ride").and_then(Value::as_bool).unwrap_or_default())
}

/// Mean hours of the rides so far, and how many there are; `None` without any.
pub(crate) fn ride_h(record: &Record<'_>) -> Option<(f64, u32)> {
    let ridden: Vec<f64> =
        record.log.rides().iter().filter_map(|ride| ride.hours_h).filter(|hours| *hours > 0.0).collect();
    let count = u32::try_from(ridden.len()).unwrap_or(u32::MAX);
    (count > 0).then(|| (ridden.iter().sum::<f64>() / f64::from(count), count))
}

/// Days until so many hours are ridden, by the habit of the last months: early, middle, late; `None` cannot say.
///
/// # Errors
/// Hours that are none.
pub(super) fn days(record: &Record<'_>, left_h: f64) -> Result<[Option<f64>; 3], Gap> {
    let Some((mean, count)) = ride_h(record) else { return Ok([None; 3]) };
    let counter = json!({"kind": "hours", "left": left_h, "per_ride": mean, "rides_known": count});
    let answer = habit(record, counter)?;
    Ok(["due_low_d", "due_median_d", "due_high_d"].map(|key| answer.get(key)))
}

/// Rides of the days looked back over, today's included.
pub(crate) fn recent_rides(record: &Record<'_>) -> usize {
    let first = record.now.date().checked_sub((WINDOW_D - 1).days());
    record.log.rides_from(first.unwrap_or(Date::MIN))
}

/// Asks when a counter runs out.
pub(crate) fn habit(record: &Record<'_>, counter: Value) -> Result<figures::Answer, Gap> {
    let asked = given([
        ("counters", Value::from(vec![counter])),
        ("rides", Value::from(recent_rides(record))),
        ("window_d", Value::from(WINDOW_D)),
    ]);
    ask("service.due", &asked)
}

/// The last work that opened the drive, chain or sprockets.
#[must_use]
pub fn last_fitting<'r>(record: &'r Record<'_>) -> Option<(&'r Entry, &'r Work)> {
    record.last_work(|work| {
        let touched = touched(work.job());
        work.state() == WorkState::Done && (touched.chain || touched.front_sprocket || touched.rear_sprocket)
    })
}

/// The look after the first hour: fasteners and slack, and again after the next ride.
fn recheck(record: &Record<'_>) -> Result<Vec<Due>, Gap> {
    let Some((entry, work)) = last_fitting(record) else { return Ok(Vec::new()) };
    let check = |fact: &Noted| matches!(fact, Noted::Check(check) if check.kind().name == "recheck");
    if record.log.entries().iter().any(|later| check(&later.fact) && (later.at, later.id) > (entry.at, entry.id)) {
        return Ok(Vec::new());
    }
    let (fitted_h, now_h) = (record.hours_at(entry.at)?, record.hours()?);
    let ridden = record.log.rides().iter().any(|ride| ride.at > entry.at);
    let since_h = fitted_h.zip(now_h).map(|(fitted, now)| now - fitted);
    // A ride without hours may have been the first one.
    let uncounted = record.log.uncounted_rides(entry.at) > 0;
    let is_due = since_h.map_or(ridden, |since| since >= RECHECK_H || uncounted);
    let when = match (fitted_h, since_h) {
        (_, Some(since)) if since > RECHECK_H => format!("overdue by {} h", number(since - RECHECK_H, 1)),
        (Some(_), _) if uncounted => "now".to_owned(),
        (Some(hours), _) => format!("{} h", number(hours + RECHECK_H, 1)),
        (None, _) if is_due => "now".to_owned(),
        (None, _) => "after the first hour".to_owned(),
    };
    let what = "Fasteners and slack after the first hour".to_owned();
    let reason = is_due.then(|| {
        let since = match since_h {
            Some(since) if since >= RECHECK_H || !uncounted => format!("{} h since", number(since, 1)),
            _ => "ridden since".to_owned(),
        };
        let text = format!(
            "Recheck due: {} done {}, {since}; fasteners and slack are looked at after the first hour.",
            in_words(work),
            entry.at.date()
        );
        Reason::new(Verdict::Care, "", text).cleared_by("Check fasteners and slack", 10)
    });
    let when_again = if ridden { "now" } else { "after next ride" };
    let again = Due { what: "Slack again".to_owned(), when: when_again.to_owned(), job: None, reason: None };
    Ok(vec![Due { what, when, job: Some(RECHECK), reason }, again])
}

/// What seemed odd on a ride and was not looked at since.
fn inspection(record: &Record<'_>) -> Option<Due> {
    let ride = record.log.rides().iter().rfind(|ride| ride.odd.is_some())?;
    let looked = |fact: &Noted| matches!(fact, Noted::Check(check) if check.kind().name == "inspection");
    if record.log.entries().iter().any(|entry| looked(&entry.fact) && entry.at >= ride.at) {
        return None;
    }
    let odd = ride.odd.clone().unwrap_or_default();
    let text = format!("\"{odd}\" was noted on {} ({}) and not looked at since.", ride.at.date(), record.age(ride.at));
    Some(Due {
        what: format!("Inspection: {odd}"),
        when: "before the next ride".to_owned(),
        job: None,
        reason: Some(Reason::new(Verdict::Care, "", text).cleared_by("Inspect chain, sprockets, guide and hub", 10)),
    })
}

/// What is due as a table.
#[must_use]
pub fn table(due: &[Due]) -> Table {
    let columns = vec![Column::words("what", "Due"), Column::words("when", "When")];
    let mut table = Table::new("due", "What is due", columns);
    table.rows.extend(due.iter().map(|due| vec![Cell::words(due.what.clone()), Cell::words(due.when.clone())]));
    table
}
