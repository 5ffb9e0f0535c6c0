//! What a ride just written down leads to: total hours, what is due now, whether the chain wants measuring.

use serde::Serialize;
use upkeep::record::Ride;

use super::{Record, due, elongation};
use crate::ask::Gap;
use crate::block::Block;
use crate::fact::{Fact, Table};
use crate::words::number;

/// Hours since the last length reading from which on another one is proposed. The tool's own.
pub const MEASURE_AFTER_H: f64 = 10.0;
/// A ride longer than this is asked back before it is kept. The tool's own.
pub const LONG_RIDE_H: f64 = 12.0;

/// What a ride leads to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AfterRideView {
    /// Total hours now.
    pub hours_h: Option<f64>,
    /// The hours in words, with what the ride was.
    pub facts: Vec<Fact>,
    /// What is due.
    pub due: Table,
    /// Whether the chain wants measuring.
    pub measure: bool,
    /// The same in a sentence; empty where not.
    pub measure_words: String,
}

/// Answers for a ride of the record.
///
/// # Errors
/// The meter went back.
pub fn view(record: &Record<'_>, ride: &Ride) -> Result<AfterRideView, Gap> {
    let hours_h = record.hours()?;
    let last = elongation::of_this_chain(record).last().map(|(entry, _)| entry.at);
    let since_h = last.and_then(|at| record.since_h(at));
    let measure = last.is_none() || since_h.is_some_and(|hours| hours > MEASURE_AFTER_H);
    let measure_words = match (measure, since_h) {
        (false, _) => String::new(),
        (true, Some(hours)) => format!(
            "{} h since the chain was measured, more than {}: measure it?",
            number(hours, 1),
            number(MEASURE_AFTER_H, 0)
        ),
        (true, None) => "The length of this chain was never measured: measure it?".to_owned(),
    };
    Ok(AfterRideView {
        hours_h,
        facts: vec![total(record, ride, hours_h)],
        due: due::table(&due::all(record)?),
        measure,
        measure_words,
    })
}

fn total(record: &Record<'_>, ride: &Ride, hours_h: Option<f64>) -> Fact {
    let text = hours_h.map_or_else(|| "not known".to_owned(), |total| format!("{} h", number(total, 1)));
    let silent = record.log.rides_without_hours();
    let least = if silent > 0 {
        format!("; {silent} since the last reading of the meter without hours, so it is a least")
    } else {
        String::new()
    };
    Fact { value: hours_h, ..Fact::unknown("hours_h", "Total hours", text) }
        .because(format!("{}{least}", words(ride)))
        .unless("the meter, read now")
        .says("wear.hours")
}

/// A ride in a few words.
#[must_use]
pub fn words(ride: &Ride) -> String {
    let hours = ride.hours_h.map_or_else(|| "hours not noted".to_owned(), |hours| format!("{} h", number(hours, 2)));
    let ground = ride.ground.clone().unwrap_or_else(|| "ground not noted".to_owned());
    let wet = match ride.wet {
        Some(true) => "wet",
        Some(false) => "dry",
        None => "wet or dry not noted",
    };
    let odd = ride.odd.as_ref().map_or_else(String::new, |odd| format!(", odd: {odd}; an inspection is open"));
    format!("{hours}, {ground}, {wet}{odd}")
}

impl AfterRideView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![Block::Facts(&self.facts), Block::Table(&self.due)];
        if self.measure {
            blocks.push(Block::Text(self.measure_words.clone()));
        }
        blocks
    }
}
