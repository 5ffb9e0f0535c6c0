//! What the record says: hours, readings judged, how long it lasts, what is due, what happened when.
//!
//! A record is a bike's facts with the present time beside them; every figure shown is asked of `figures`.

pub mod after_ride;
pub mod calendar;
pub mod due;
pub mod elongation;
pub mod first_day;
pub mod forecast;
pub mod history;
pub mod kept_sets;
pub mod next;
pub mod order;
pub mod reading;
pub mod replace;
pub mod season;
pub mod sets;
pub mod shelf;
pub mod slack;
mod span;
pub mod through;
pub mod trend;
pub mod used;
mod worst;

use std::sync::{Arc, OnceLock};

use figures::Answer;
use jiff::civil::DateTime;
use serde_json::{Value, json};
use upkeep::bike::Bike;
use upkeep::job::bench::Bench;
use upkeep::record::{Counted, Entry, Fact, Log};
use upkeep::wear::MeterEvent;

use crate::ask::{Gap, Given, Kept, ask};
use crate::words::number;

use forecast::ForecastView;

/// Hours of a chain to its limit that are assumed before a log speaks. The tool's own, as in the forecast.
pub(crate) const LIFE_ASSUMED_H: f64 = 70.0;

/// A bike's facts as they stand at a time; they are read only, so what was worked out from them stays true.
#[derive(Debug, Clone)]
pub struct Record<'a> {
    /// The bike.
    pub bike: &'a Bike,
    /// Its facts, none later than now but plans.
    pub log: Log,
    /// Its work orders as they stood then; shared where none was written to later.
    pub benches: Arc<Vec<Bench>>,
    /// The present time by the rider's clock.
    pub now: DateTime,
    /// What much else rests on, worked out when it is first asked for.
    hours: OnceLock<Result<Option<f64>, Gap>>,
    counted: OnceLock<Counted>,
    forecast: OnceLock<Result<ForecastView, Gap>>,
    kept: Option<Arc<dyn Kept>>,
}

impl<'a> Record<'a> {
    /// The facts of a bike at a time.
    #[must_use]
    pub fn new(bike: &'a Bike, log: &Log, now: DateTime) -> Self {
        let log = log.until(now);
        Self {
            bike,
            log,
            benches: Arc::default(),
            now,
            hours: OnceLock::new(),
            counted: OnceLock::new(),
            forecast: OnceLock::new(),
            kept: None,
        }
    }

    /// The same with the bike's work orders; what was written later is left out.
    #[must_use]
    pub fn with_benches(self, benches: impl Into<Arc<Vec<Bench>>>) -> Self {
        let (now, all) = (self.now, benches.into());
        let stands = |bench: &Bench| bench.at <= now && bench.lines.iter().all(|line| line.at <= now);
        if all.iter().all(stands) {
            return Self { benches: all, ..self };
        }
        let benches = all.iter().filter(|bench| bench.at <= now).cloned().map(|mut bench| {
            bench.lines.retain(|line| line.at <= now);
            bench
        });
        Self { benches: Arc::new(benches.collect()), ..self }
    }

    /// The same with answers that were kept from one record to the next.
    #[must_use]
    pub fn with_kept(self, kept: Arc<dyn Kept>) -> Self {
        Self { kept: Some(kept), ..self }
    }

    /// Asks what takes long and changes seldom; an answer kept for the very same question serves.
    pub(crate) fn ask_once(&self, figure: &'static str, given: &Given) -> Result<Answer, Gap> {
        match &self.kept {
            Some(kept) => kept.answer(figure, given, &|| ask(figure, given)),
            None => ask(figure, given),
        }
    }

    /// Total hours at a time; `None` where nothing about hours is recorded up to it.
    ///
    /// # Errors
    /// The meter went back without having been changed.
    pub fn hours_at(&self, at: DateTime) -> Result<Option<f64>, Gap> {
        // Asked for every reading's time; the figure itself is asked where it has something to refuse.
        match self.counted.get_or_init(|| Counted::of(&self.log)).hours_at(at) {
            Some(hours) => Ok(Some(hours)),
            None => total(&self.log.clock(at)),
        }
    }

    /// Total hours now.
    ///
    /// # Errors
    /// As [`Record::hours_at`].
    pub fn hours(&self) -> Result<Option<f64>, Gap> {
        self.hours.get_or_init(|| self.hours_at(self.now)).clone()
    }

    /// How long the chain that is fitted lasts, worked out once.
    ///
    /// # Errors
    /// As [`forecast::view`].
    pub fn forecast(&self) -> Result<&ForecastView, Gap> {
        self.forecast.get_or_init(|| forecast::view(self)).as_ref().map_err(Gap::clone)
    }

    /// Hours ridden from one time to another, less than 0 backwards; `None` where one of both ends is not known.
    ///
    /// # Errors
    /// As [`Record::hours_at`].
    pub fn ridden_h(&self, from: DateTime, to: DateTime) -> Result<Option<f64>, Gap> {
        if to < from {
            return Ok(self.ridden_h(to, from)?.map(|hours| -hours));
        }
        // Of a bike bought used the first note of the meter holds what others rode: until then the rides alone count.
        let first = self.log.first_meter().filter(|first| *first > from && *first <= to && self.log.begins_used());
        let (from, before) = first.map_or((from, 0.0), |first| (first, self.log.rides_h(from, first)));
        Ok(self.hours_at(to)?.zip(self.hours_at(from)?).map(|(to, from)| to - from + before))
    }

    /// Hours since a time, where both ends are known.
    #[must_use]
    pub fn since_h(&self, at: DateTime) -> Option<f64> {
        self.ridden_h(at, self.now).ok()?
    }

    /// How old something is, in days and hours.
    #[must_use]
    pub fn age(&self, at: DateTime) -> String {
        let days = days_between(at, self.now);
        let days = match days {
            ..=0 => "today".to_owned(),
            1 => "yesterday".to_owned(),
            days => format!("{days} days ago"),
        };
        match self.since_h(at) {
            Some(hours) if hours > 0.0 => format!("{days}, {} h since", number(hours, 1)),
            _ => days,
        }
    }

    /// Hours of the next ride that is planned, where they were said.
    pub(crate) fn planned_h(&self) -> Option<f64> {
        match &self.log.next_planned(self.now)?.fact {
            Fact::Planned(planned) => planned.hours_h(),
            _ => None,
        }
    }

    /// The last entry of a kind.
    pub(crate) fn last<T>(&self, pick: impl Fn(&Fact) -> Option<T>) -> Option<(&Entry, T)> {
        self.log.entries().iter().rev().find_map(|entry| Some((entry, pick(&entry.fact)?)))
    }
}

/// Days from one time's day to another's.
pub(crate) fn days_between(from: DateTime, to: DateTime) -> i32 {
    from.date().until(to.date()).map_or(0, |span| span.get_days())
}

/// So many days ahead, as a person says it.
pub(crate) fn ahead(days: i32) -> String {
    match days {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        days => format!("in {days} days"),
    }
}

/// Total hours of a meter's notes; `None` for no note.
///
/// # Errors
/// The meter went back without having been changed.
pub fn total(events: &[MeterEvent]) -> Result<Option<f64>, Gap> {
    if events.is_empty() {
        return Ok(None);
    }
    let meter: Vec<Value> = events
        .iter()
        .map(|event| match event {
            MeterEvent::Read { hours } => json!({ "read_h": hours }),
            MeterEvent::Swap { old, new } => json!({ "swap_old_h": old, "swap_new_h": new }),
        })
        .collect();
    Ok(ask("wear.hours", &given([("meter", Value::from(meter))]))?.get("hours_h"))
}

/// Fields by name.
pub(crate) fn given<const N: usize>(fields: [(&str, Value); N]) -> Given {
    fields.into_iter().map(|(name, value)| (name.to_owned(), value)).collect()
}
