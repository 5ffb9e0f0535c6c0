//! Total hours at any time, the notes of the meter gone through once: ten years of readings ask for theirs.

use jiff::civil::DateTime;

use super::{Fact, Log};
use crate::wear::{Followed, MeterEvent};

/// A note of the meter, and the meter followed up to it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Note {
    at: DateTime,
    followed: Followed,
}

/// The meter of a log, note by note.
#[derive(Debug, Clone, PartialEq)]
pub struct Counted {
    notes: Vec<Note>,
    /// The log whose rides count on from the last note.
    log: Log,
    /// From when on a note cannot be right.
    doubtful: Option<DateTime>,
}

impl Counted {
    /// Goes through the notes of a log.
    #[must_use]
    pub fn of(log: &Log) -> Self {
        let mut counted = Self { notes: Vec::new(), log: log.clone(), doubtful: None };
        let mut followed = Followed::default();
        for (entry, meter) in log.of(|fact| if let Fact::Meter(meter) = fact { Some(*meter) } else { None }) {
            let Ok(next) = followed.then(meter.event()) else {
                counted.doubtful = Some(entry.at);
                break;
            };
            followed = next;
            counted.notes.push(Note { at: entry.at, followed });
        }
        counted
    }

    /// Total hours up to a time, as [`crate::wear::total_hours`] of [`Log::clock`] has them; `None` where nothing is recorded up to then, or
    /// where the meter went back.
    #[must_use]
    pub fn hours_at(&self, until: DateTime) -> Option<f64> {
        if self.doubtful.is_some_and(|from| from <= until) {
            return None;
        }
        let note = self.notes[..self.notes.partition_point(|note| note.at <= until)].last();
        let rides = self.log.rides();
        let from = note.map_or(0, |note| rides.partition_point(|ride| ride.at <= note.at));
        let to = rides.partition_point(|ride| ride.at <= until);
        let ridden: f64 = rides.get(from..to)?.iter().filter_map(|ride| ride.hours_h).sum();
        let followed = match note {
            None if rides.is_empty() => return None,
            None => Followed::default(),
            Some(note) => note.followed,
        };
        followed.then(MeterEvent::Read { hours: followed.shows() + ridden }).ok().map(Followed::hours)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Entry, Meter, Ride};
    use crate::wear::total_hours;

    fn at(day: i8, hour: i8) -> DateTime {
        jiff::civil::date(2026, 5, day).at(hour, 0, 0, 0)
    }

    fn log(meter: &[(i8, Meter)], rides: &[(i8, Option<f64>)]) -> Log {
        let entry = |(id, (day, meter)): (i64, &(i8, Meter))| Entry {
            id,
            change: id,
            at: at(*day, 12),
            corrects: None,
            note: None,
            fact: Fact::Meter(*meter),
        };
        let ride = |(id, (day, hours_h)): (i64, &(i8, Option<f64>))| Ride {
            id,
            name: "r".into(),
            at: at(*day, 10),
            hours_h: *hours_h,
            ground: None,
            wet: None,
            odd: None,
        };
        Log::new((1..).zip(meter).map(entry).collect(), (1..).zip(rides).map(ride).collect())
    }

    fn read(hours: f64) -> Meter {
        Meter::read(hours).expect("hours")
    }

    /// Every hour of the month, against the notes gone through anew.
    fn agrees(log: &Log) {
        let counted = Counted::of(log);
        for day in 1..=31 {
            for hour in 0..24 {
                let events = log.clock(at(day, hour));
                let slowly = if events.is_empty() { None } else { total_hours(&events).ok() };
                assert_eq!(counted.hours_at(at(day, hour)), slowly, "day {day}, {hour} h");
            }
        }
    }

    #[test]
    fn hours_are_those_of_the_notes_gone_through_anew() {
        let swap = Meter::swap(44.0, 0.5).expect("hours");
        let rides = [(1, Some(2.0)), (3, Some(0.1)), (4, None), (5, Some(0.2)), (9, Some(3.0)), (30, Some(1.5))];
        agrees(&log(&[], &[]));
        agrees(&log(&[], &rides));
        agrees(&log(&[(2, read(40.0))], &rides));
        agrees(&log(&[(2, read(40.0)), (6, swap), (8, read(1.25))], &rides));
        agrees(&log(&[(2, read(40.0)), (2, read(41.0)), (6, read(43.5))], &[(4, None)]));
    }

    #[test]
    fn a_meter_that_went_back_has_no_hours_from_then_on() {
        let back = log(&[(2, read(40.0)), (6, read(30.0)), (8, read(50.0))], &[(4, Some(1.0))]);
        agrees(&back);
        let counted = Counted::of(&back);
        assert_eq!((counted.hours_at(at(5, 0)), counted.hours_at(at(7, 0))), (Some(41.0), None));
    }
}
