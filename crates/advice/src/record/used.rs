//! Hours that nobody counted: what a range said on a day comes to now, and what the meter makes of it.

use serde::Serialize;
use upkeep::record::{Entry, Role, Used};

use super::Record;
use crate::ask::Gap;
use crate::fact::Fact;
use crate::words::number;

/// Hours known as a range, carried on by what was ridden since.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Span {
    /// The entry that says it.
    pub entry: i64,
    /// Whose hours: bike, chain, front, rear.
    pub whose: &'static str,
    /// Both ends as they were said.
    pub said_h: [f64; 2],
    /// The day on which it was said.
    pub said_on: String,
    /// Hours ridden since, as far as they are recorded.
    pub ridden_h: f64,
    /// Both ends now: the meter counted in.
    pub now_h: [f64; 2],
    /// What the meter makes of it.
    pub meter: Meter,
    #[serde(skip)]
    at: jiff::civil::DateTime,
}

/// What the meter makes of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Meter {
    /// It was never noted, or shows more than the range allows anyway.
    Nothing,
    /// It shows fewer hours than the high end: no part is older than the bike.
    Narrows,
    /// It shows fewer than the low end: it is younger than the bike, or one of both is wrong.
    Against,
}

/// Which end of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The fewest hours.
    Low,
    /// The most hours.
    High,
}

/// The range that stands for the part of a role that is on the bike; `None` where its hours are counted or not known.
///
/// # Errors
/// The meter went back.
pub fn of(record: &Record<'_>, role: Role) -> Result<Option<Span>, Gap> {
    record.log.used(role).map(|(entry, used)| Span::of(record, entry, used)).transpose()
}

/// The range that stands for the bike's own hours; `None` where its meter tells them.
///
/// # Errors
/// The meter went back.
pub fn of_bike(record: &Record<'_>) -> Result<Option<Span>, Gap> {
    let span = record.log.bike_used().map(|(entry, used)| Span::of(record, entry, used)).transpose()?;
    Ok(span.filter(|span| record.log.first_meter().is_none() || span.meter == Meter::Against))
}

impl Span {
    fn of(record: &Record<'_>, entry: &Entry, used: Used) -> Result<Self, Gap> {
        let said_h = used.between_h();
        let ridden_h = record.ridden_h(entry.at, record.now)?.unwrap_or_default();
        let [low, high] = said_h.map(|hours| hours + ridden_h);
        let shows = record.log.first_meter().map(|_| record.hours()).transpose()?.flatten();
        let (meter, high) = match shows {
            Some(shows) if shows < low => (Meter::Against, high),
            Some(shows) if shows < high => (Meter::Narrows, shows),
            _ => (Meter::Nothing, high),
        };
        Ok(Self {
            entry: entry.id,
            whose: used.whose().word(),
            said_h,
            said_on: entry.at.date().to_string(),
            ridden_h,
            now_h: [low, high],
            meter,
            at: entry.at,
        })
    }

    /// Both ends at another time.
    ///
    /// # Errors
    /// The meter went back.
    pub fn at(&self, record: &Record<'_>, at: jiff::civil::DateTime) -> Result<[f64; 2], Gap> {
        let since = self.ridden_h - record.ridden_h(self.at, at)?.unwrap_or_default();
        Ok(self.now_h.map(|hours| (hours - since).max(0.0)))
    }

    /// One end now.
    #[must_use]
    pub const fn end(&self, end: End) -> f64 {
        pick(self.now_h, end)
    }

    /// Both ends now, in words.
    #[must_use]
    pub fn words(&self) -> String {
        between(self.now_h)
    }

    /// Who says so, and since when.
    #[must_use]
    pub fn because(&self) -> String {
        let said = format!("{} said on {}", between(self.said_h), self.said_on);
        let since = match self.ridden_h {
            0.0 => format!("{said}, nothing ridden since"),
            ridden => format!("{said}, {} h ridden since", number(ridden, 1)),
        };
        match self.meter {
            Meter::Nothing => since,
            Meter::Narrows => format!("{since}; at most what the meter shows, if it is as old as the bike"),
            Meter::Against => {
                format!("{since}; the meter shows fewer: it is younger than the bike, or one of both is wrong")
            }
        }
    }

    /// The range as a figure.
    #[must_use]
    pub fn fact(&self, key: &'static str, label: &str) -> Fact {
        Fact::unknown(key, label, self.words())
            .because(self.because())
            .sure("a range that was said, not hours that were counted")
            .unless("the seller's log, the meter, a length reading")
    }
}

/// One end of two.
pub(super) const fn pick([low, high]: [f64; 2], end: End) -> f64 {
    match end {
        End::Low => low,
        End::High => high,
    }
}

/// A range of hours in words.
#[must_use]
pub fn between([low, high]: [f64; 2]) -> String {
    let [least, most] = [low, high].map(|hours| number(hours, 0));
    if least == most { format!("{least} h") } else { format!("{least} to {most} h") }
}
