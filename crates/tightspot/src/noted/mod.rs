//! What page and command share when something is written down: typed text → facts, times, the meter that runs on.
//!
//! Layout: [`ride`] a ride in four facts · [`reading`] readings off chain, axle and meter · [`supply`] what lies on the shelf · [`set`] sets · [`check`] what was looked at · [`part`] a part and where it is · [`used`] hours that nobody counted · [`work`] work without an order · here when it was, and whether
//! the meter went back.

pub(crate) mod check;
pub(crate) mod part;
pub(crate) mod reading;
pub(crate) mod ride;
pub(crate) mod set;
pub(crate) mod supply;
pub(crate) mod used;
pub(crate) mod work;

use advice::words::number;
use advice::{Gap, record};
use jiff::civil::{Date, DateTime};
use store::NewEntry;
use upkeep::bike::Fault;
use upkeep::record::{Entry, Fact, Log};

use crate::asked::Faulty;

/// A fault of a fact as a fault of what was typed; `field` stands in for a name that no form has.
pub(crate) fn faulty(field: &'static str, fault: Fault) -> Faulty {
    Faulty { field, text: fault.text }
}

/// A day or time; a day of its own stands for an hour of it, today for now.
///
/// # Errors
/// It is no day, or still to come where only what was counts.
pub(crate) fn time(field: &'static str, text: &str, now: DateTime, hour: i8) -> Result<DateTime, Faulty> {
    let text = text.trim();
    if let Ok(day) = text.parse::<Date>()
        && !text.contains(['T', ' '])
    {
        return Ok(if day == now.date() { now } else { day.at(hour, 0, 0, 0) });
    }
    text.parse().map_err(|_| Faulty {
        field,
        text: format!("{field}: \"{text}\" is no day; write 2026-09-24, or 2026-09-24T18:00 with its time."),
    })
}

/// The same for what has happened already; left out, now.
///
/// # Errors
/// It is no day, or still to come.
pub(crate) fn past(field: &'static str, text: Option<&str>, now: DateTime, hour: i8) -> Result<DateTime, Faulty> {
    let Some(text) = text.filter(|text| !text.trim().is_empty()) else { return Ok(now) };
    let at = time(field, text, now, hour)?;
    if at > now {
        let text = format!("{field}: {at} is still to come; what was done or read lies before now.");
        return Err(Faulty { field, text });
    }
    Ok(at)
}

/// Whether the meter runs on with new notes among those of a log.
///
/// # Errors
/// It would go back, with both values.
pub(crate) fn meter_runs_on(log: &Log, new: &[NewEntry]) -> Result<(), Gap> {
    let Some(Fact::Meter(meter)) = new.iter().map(|entry| &entry.fact).find(|fact| matches!(fact, Fact::Meter(_)))
    else {
        return Ok(());
    };
    let corrected: Vec<i64> = new.iter().filter_map(|entry| entry.corrects).collect();
    let mut all: Vec<Entry> = log.entries().to_vec();
    let next = all.iter().map(|entry| entry.id).max().unwrap_or_default() + 1;
    all.extend((next..).zip(new).map(|(id, entry)| Entry {
        id,
        change: 0,
        at: entry.at,
        corrects: entry.corrects,
        note: None,
        fact: entry.fact.clone(),
    }));
    let Some(last) = all.iter().map(|entry| entry.at).max() else { return Ok(()) };
    record::total(&Log::new(all, Vec::new()).clock(last)).map(drop).map_err(|gap| {
        let before = log.entries().iter().rev().find_map(|entry| match &entry.fact {
            Fact::Meter(before) if !corrected.contains(&entry.id) => Some(before.shows_h()),
            _ => None,
        });
        let now = meter.shows_h();
        let text = match before.filter(|before| *before > now) {
            Some(before) => format!(
                "The meter went back {} h: it showed {before} h when it was noted last, now {now} h is given.",
                number(before - now, 1)
            ),
            None => gap.text.clone(),
        };
        Gap { text, ..gap }
    })
}
