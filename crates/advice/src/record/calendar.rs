//! The days ahead: rides that are planned, work that falls due, the last day to order; each with a name that stays.

use jiff::civil::{Date, DateTime};
use serde::Serialize;
use upkeep::record::Fact as Noted;

use super::{Record, due, order, replace};
use crate::ask::Gap;
use crate::words::number;

/// One day or hour of the calendar.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Day {
    /// Its lasting name: the same thing has the same one whenever it is asked for.
    pub name: String,
    /// When: a whole day, or from a time on for so many hours.
    pub when: When,
    /// What it is called.
    pub title: String,
    /// The figures behind it.
    pub about: String,
}

/// A whole day, or hours of one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub enum When {
    /// All day.
    Day(Date),
    /// From a time of the rider's clock on, for so many hours; an hour where nobody said.
    From(DateTime, f64),
}

/// The days ahead, in order.
///
/// # Errors
/// The meter went back, or a field of the sheet is missing.
pub fn days(record: &Record<'_>) -> Result<Vec<Day>, Gap> {
    let mut days = planned(record);
    if let Some(left_h) = due::oil_left_h(record)? {
        let left = number(left_h, 1);
        let about = format!("{left} h left; the day is the middle of your riding habit of {} days.", due::WINDOW_D);
        days.extend(on(record, "oil", "Oil change due", about, left_h.max(0.0))?);
    }
    // Without a sheet for the set there is nothing to order, and that is said on its own page.
    if let Ok(view) = order::view(record, &replace::Asked::default(), None) {
        for line in view.lines {
            let Some(needed) = line.needed.as_ref().and_then(|day| day.parse::<Date>().ok()) else { continue };
            let about = "Early end of your riding habit: have the new part there by then.".to_owned();
            let title = format!("{}: new one needed", order::name(line.part));
            days.push(Day { name: format!("part-{}", line.part), when: When::Day(needed), title, about });
        }
    }
    days.sort_by(|a, b| (a.when.date(), &a.name).cmp(&(b.when.date(), &b.name)));
    Ok(days)
}

impl When {
    /// The day.
    #[must_use]
    pub fn date(self) -> Date {
        match self {
            Self::Day(day) => day,
            Self::From(at, _) => at.date(),
        }
    }
}

fn planned(record: &Record<'_>) -> Vec<Day> {
    let ahead = record.log.entries().iter().filter(|entry| entry.at >= record.now);
    ahead
        .filter_map(|entry| {
            let Noted::Planned(planned) = &entry.fact else { return None };
            let hours = planned.hours_h();
            let kind = if planned.event() { "Event" } else { "Ride" };
            Some(Day {
                name: format!("planned-{}", entry.id),
                when: When::From(entry.at, hours.unwrap_or(1.0)),
                title: format!("{kind}: {}", planned.name()),
                about: hours.map_or_else(String::new, |hours| format!("About {} h of riding.", number(hours, 1))),
            })
        })
        .collect()
}

/// A whole day after so many riding hours; none where the habit does not say.
fn on(record: &Record<'_>, name: &str, title: &str, about: String, left_h: f64) -> Result<Option<Day>, Gap> {
    let middle = due::days(record, left_h)?[1];
    let day = middle.and_then(|days| order::day_after(record.now.date(), days));
    Ok(day.map(|day| Day { name: name.to_owned(), when: When::Day(day), title: title.to_owned(), about }))
}
