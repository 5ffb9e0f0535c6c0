//! A ride in four facts: hours or meter, ground, wet or dry, anything odd; what is left out is as last time.

use advice::record::after_ride::LONG_RIDE_H;
use jiff::ToSpan as _;
use jiff::civil::DateTime;
use measure::bounds::record as bounds;
use store::{NewEntry, NewRide, Ride};
use upkeep::bike::Bike;
use upkeep::record::{Fact, Log, Meter};

use super::{faulty, meter_runs_on, past};
use crate::asked::{Door, Faulty};
use crate::garage::Garage;
use crate::problem::Problem;

/// What was typed about a ride; `None` and blank are left out.
#[derive(Debug, Clone, Default)]
pub(crate) struct Typed<'t> {
    /// The day, or the time at which it was over.
    pub(crate) at: Option<&'t str>,
    /// Hours ridden.
    pub(crate) hours: Option<&'t str>,
    /// What the meter shows after it.
    pub(crate) meter: Option<&'t str>,
    /// What it showed before, where nothing about hours is recorded yet.
    pub(crate) start: Option<&'t str>,
    /// The meter was changed: what the old one showed last, and the new one first.
    pub(crate) swap: Option<[&'t str; 2]>,
    /// The ground; left out, as last time.
    pub(crate) ground: Option<&'t str>,
    /// Whether it was wet; left out, as last time.
    pub(crate) wet: Option<bool>,
    /// What seemed odd.
    pub(crate) odd: Option<&'t str>,
    /// What to call it; left out, its day.
    pub(crate) name: Option<&'t str>,
    /// Anything worth keeping.
    pub(crate) note: Option<&'t str>,
    /// A long ride was meant.
    pub(crate) long: bool,
}

/// A ride that can be stored.
#[derive(Debug, Clone)]
pub(crate) struct Read {
    /// What is known of it.
    pub(crate) about: NewRide,
    /// What the meter showed.
    pub(crate) entries: Vec<NewEntry>,
}

/// Why a ride is not stored yet.
#[derive(Debug, Clone)]
pub(crate) enum Not {
    /// What was typed is at fault.
    Faulty(Vec<Faulty>),
    /// It is longer than rides are; it may be meant.
    Long(f64),
    /// The meter went back: it was changed, or a number is wrong.
    WentBack(String),
    /// The record cannot be read.
    Failed(Problem),
}

/// What the last ride with a ground was like.
pub(crate) fn last(rides: &[Ride]) -> Option<&Ride> {
    rides.iter().find(|ride| ride.about.ground.is_some())
}

/// Reads what was typed against the record of a bike.
///
/// # Errors
/// As [`Not`] says.
pub(crate) fn read(
    garage: &Garage,
    bike: &Bike,
    mut door: Door,
    typed: &Typed<'_>,
    now: DateTime,
) -> Result<Read, Not> {
    let failed = |why: store::StoreError| Not::Failed(why.into());
    let rides = garage.rides(&bike.id).map_err(failed)?;
    let log = garage.log(&bike.id).map_err(failed)?;
    let at = past("at", typed.at, now, 12);
    let hours = door.number("hours", typed.hours, &bounds::RIDE);
    let meter = door.number("meter", typed.meter, &bounds::METER);
    let start = door.number("start", typed.start, &bounds::METER);
    let swap = typed.swap.map(|[old, new]| {
        [door.number("swap_old", Some(old), &bounds::METER), door.number("swap_new", Some(new), &bounds::METER)]
    });
    let at = at.map_err(|fault| door.faults.push(fault));
    let (Ok(at), true) = (at, door.faults.is_empty()) else { return Err(Not::Faulty(door.faults)) };
    let entries = meter_notes(at, start, swap, meter).map_err(|fault| Not::Faulty(vec![fault]))?;
    meter_runs_on(&log, &entries).map_err(|gap| Not::WentBack(gap.text))?;
    let hours_h = hours.or_else(|| by_meter(&log, &entries, at, meter?));
    if let Some(hours) = hours_h.filter(|hours| *hours > LONG_RIDE_H && !typed.long) {
        return Err(Not::Long(hours));
    }
    let before = last(&rides);
    let text = |typed: Option<&str>| typed.map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned);
    let about = NewRide {
        hours_h,
        ground: text(typed.ground).or_else(|| before.and_then(|ride| ride.about.ground.clone())),
        wet: typed.wet.or_else(|| before.and_then(|ride| ride.about.wet)),
        note: text(typed.note),
        odd: text(typed.odd),
        over: Some(at),
        ..NewRide::new(text(typed.name).unwrap_or_else(|| at.date().to_string()), at.date())
    };
    Ok(Read { about, entries })
}

/// The notes of the meter: before the ride its start or its change, after it what it shows.
fn meter_notes(
    at: DateTime,
    start: Option<f64>,
    swap: Option<[Option<f64>; 2]>,
    meter: Option<f64>,
) -> Result<Vec<NewEntry>, Faulty> {
    // A note of the ride's own minute counts as made after it.
    let before = at.checked_sub(1.minute()).unwrap_or(at);
    let mut notes = Vec::new();
    let mut note = |at, field, meter: Result<Meter, upkeep::bike::Fault>| {
        meter.map(|meter| notes.push(NewEntry::new(at, Fact::Meter(meter)))).map_err(|fault| faulty(field, fault))
    };
    if let Some(start) = start {
        note(before, "start", Meter::read(start))?;
    }
    if let Some([Some(old), Some(new)]) = swap {
        note(before, "swap_old", Meter::swap(old, new))?;
    }
    if let Some(meter) = meter {
        note(at, "meter", Meter::read(meter))?;
    }
    Ok(notes)
}

/// Hours by the meter alone, where its last note and every ride since speak of hours.
fn by_meter(log: &Log, entries: &[NewEntry], at: DateTime, meter: f64) -> Option<f64> {
    let noted = log.entries().iter().any(|entry| matches!(entry.fact, Fact::Meter(_)) && entry.at <= at);
    let before = match entries.split_last().and_then(|(_, before)| before.last()) {
        Some(NewEntry { fact: Fact::Meter(meter), .. }) => meter.shows_h(),
        _ if noted && log.rides_without_hours() == 0 => match log.clock(at).last()? {
            upkeep::wear::MeterEvent::Read { hours } => *hours,
            upkeep::wear::MeterEvent::Swap { new, .. } => *new,
        },
        _ => return None,
    };
    let hours = meter - before;
    (hours > 0.0 && bounds::RIDE.holds(hours)).then(|| (hours * 1000.0).round() / 1000.0)
}
