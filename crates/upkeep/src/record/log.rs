//! A bike's facts in order of time, and what can be read off that order: what stands, since when, at which hours.

use std::collections::BTreeSet;
use std::sync::Arc;

use jiff::civil::{Date, DateTime};

use super::{Fact, Kept, Meter, Role, Work, WorkState, touched};
use crate::wear::MeterEvent;

/// One fact with its time, as the rider counts it.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its number; later ones were written down later.
    pub id: i64,
    /// The change that brought it: undoing that takes it back.
    pub change: i64,
    /// When it was so.
    pub at: DateTime,
    /// The fact that this one corrects.
    pub corrects: Option<i64>,
    /// Anything worth keeping.
    pub note: Option<String>,
    /// The fact.
    pub fact: Fact,
}

/// A ride, as far as upkeep needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ride {
    /// Its number.
    pub id: i64,
    /// What it is called.
    pub name: String,
    /// When it was over.
    pub at: DateTime,
    /// Hours that count towards service.
    pub hours_h: Option<f64>,
    /// The ground, in the rider's word.
    pub ground: Option<String>,
    /// Whether it was wet.
    pub wet: Option<bool>,
    /// What seemed odd.
    pub odd: Option<String>,
}

/// What is recorded of a bike: standing facts and rides, each in order of time. A copy shares them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Log {
    entries: Arc<Vec<Entry>>,
    rides: Arc<Vec<Ride>>,
}

impl Log {
    /// Puts facts and rides in order; a fact that another one corrects no longer stands.
    #[must_use]
    pub fn new(mut entries: Vec<Entry>, mut rides: Vec<Ride>) -> Self {
        let corrected: BTreeSet<i64> = entries.iter().filter_map(|entry| entry.corrects).collect();
        entries.retain(|entry| !corrected.contains(&entry.id));
        entries.sort_by_key(|entry| (entry.at, entry.id));
        rides.sort_by_key(|ride| (ride.at, ride.id));
        Self { entries: Arc::new(entries), rides: Arc::new(rides) }
    }

    /// Whether nothing at all is recorded.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty() && self.rides.is_empty()
    }

    /// The standing facts, oldest first.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The rides, oldest first.
    #[must_use]
    pub fn rides(&self) -> &[Ride] {
        &self.rides
    }

    /// The record as it stood at a time: nothing later, but everything planned.
    #[must_use]
    pub fn until(&self, now: DateTime) -> Self {
        let planned = |entry: &Entry| matches!(entry.fact, Fact::Planned(_));
        Self {
            entries: those(&self.entries, |entry| entry.at <= now || planned(entry)),
            rides: those(&self.rides, |ride| ride.at <= now),
        }
    }

    /// The facts of one kind, oldest first.
    pub fn of<'a, T: 'a>(
        &'a self,
        pick: impl Fn(&'a Fact) -> Option<T> + 'a,
    ) -> impl DoubleEndedIterator<Item = (&'a Entry, T)> + 'a {
        self.entries.iter().filter_map(move |entry| Some((entry, pick(&entry.fact)?)))
    }

    /// The meter up to a time, and the rides since its last note as if they had been read off it.
    ///
    /// # Holds when
    /// A ride of the same moment as a note is in the note already.
    #[must_use]
    pub fn clock(&self, until: DateTime) -> Vec<MeterEvent> {
        let meter = |fact: &Fact| if let Fact::Meter(meter) = fact { Some(*meter) } else { None };
        let notes: Vec<(DateTime, Meter)> =
            self.of(meter).filter(|(entry, _)| entry.at <= until).map(|(entry, meter)| (entry.at, meter)).collect();
        let last = notes.last().copied();
        let since = |ride: &&Ride| ride.at <= until && last.is_none_or(|(at, _)| ride.at > at);
        let ridden: f64 = self.rides.iter().filter(since).filter_map(|ride| ride.hours_h).sum();
        let mut events: Vec<MeterEvent> = notes.into_iter().map(|(_, meter)| meter.event()).collect();
        let shows = last.map_or(0.0, |(_, meter)| meter.shows_h());
        if ridden > 0.0 || (events.is_empty() && !self.rides.is_empty()) {
            events.push(MeterEvent::Read { hours: shows + ridden });
        }
        events
    }

    /// Rides that say nothing about hours, since the last note of the meter.
    #[must_use]
    pub fn rides_without_hours(&self) -> usize {
        let last = self.entries.iter().rfind(|entry| matches!(entry.fact, Fact::Meter(_))).map(|entry| entry.at);
        self.rides.iter().filter(|ride| ride.hours_h.is_none() && last.is_none_or(|at| ride.at > at)).count()
    }

    /// The last part of a role that was fitted.
    #[must_use]
    pub fn fitted(&self, role: Role) -> Option<&Entry> {
        self.entries.iter().rfind(|entry| matches!(&entry.fact, Fact::Part(part) if part.role() == role))
    }

    /// What lies on the shelf: laid there, and since then neither fitted nor gone; the last word on each part counts.
    #[must_use]
    pub fn shelf(&self) -> Vec<(&Entry, &Kept)> {
        let same = |kept: &Kept, fact: &Fact| {
            let other = match fact {
                Fact::Kept(other) => other.part(),
                Fact::Part(part) => part,
                _ => return false,
            };
            other.role() == kept.part().role() && other.name() == kept.part().name()
        };
        let all = self.entries.iter().enumerate();
        let lying = all.filter_map(|(at, entry)| match &entry.fact {
            Fact::Kept(kept) if !kept.gone() => Some((at, entry, kept)),
            _ => None,
        });
        let last = |at: usize, kept: &Kept| !self.entries[at + 1..].iter().any(|later| same(kept, &later.fact));
        lying.filter(|(at, _, kept)| last(*at, kept)).map(|(_, entry, kept)| (entry, kept)).collect()
    }

    /// Work that is begun and neither done nor given up, oldest first; begun twice is one job, as the later entry says.
    #[must_use]
    pub fn open_work(&self) -> Vec<(&Entry, &Work)> {
        let mut seen = BTreeSet::new();
        let work = self.of(|fact| if let Fact::Work(work) = fact { Some(work) } else { None });
        let last_words = work.rev().filter(|(_, work)| seen.insert(work.job()));
        let mut open: Vec<_> = last_words.filter(|(_, work)| work.state() == WorkState::Begun).collect();
        open.reverse();
        open
    }

    /// The last work done of a job.
    #[must_use]
    pub fn last_done(&self, job: &str) -> Option<&Entry> {
        self.entries.iter().rfind(
            |entry| matches!(&entry.fact, Fact::Work(work) if work.job() == job && work.state() == WorkState::Done),
        )
    }

    /// When the drive was last moved so that a slack reading from before is no longer true: work, a part, the axle nut.
    #[must_use]
    pub fn slack_moved(&self) -> Option<&Entry> {
        self.entries.iter().rfind(|entry| match &entry.fact {
            Fact::Work(work) => work.state() != WorkState::Dropped && touched(work.job()).moves_slack(),
            Fact::Part(part) => part.role() != Role::Other,
            Fact::Check(check) => check.kind().name == "axle",
            _ => false,
        })
    }

    /// The next ride or event that is planned.
    #[must_use]
    pub fn next_planned(&self, now: DateTime) -> Option<&Entry> {
        self.entries.iter().find(|entry| matches!(entry.fact, Fact::Planned(_)) && entry.at >= now)
    }

    /// Hours noted with rides after one time and up to another.
    #[must_use]
    pub fn rides_h(&self, after: DateTime, until: DateTime) -> f64 {
        let within = self.rides.iter().filter(|ride| ride.at > after && ride.at <= until);
        within.filter_map(|ride| ride.hours_h).sum()
    }

    /// Rides from a day on, that day included.
    #[must_use]
    pub fn rides_from(&self, day: Date) -> usize {
        self.rides.iter().filter(|ride| ride.at.date() >= day).count()
    }
}

/// Those of a list that stay: the list itself where all do, which is what nearly every look at a record finds.
fn those<T: Clone>(all: &Arc<Vec<T>>, stays: impl Fn(&T) -> bool) -> Arc<Vec<T>> {
    if all.iter().all(&stays) {
        Arc::clone(all)
    } else {
        Arc::new(all.iter().filter(|one| stays(one)).cloned().collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wear::total_hours;

    fn at(text: &str) -> DateTime {
        text.parse().expect("a time")
    }

    fn entry(id: i64, when: &str, fact: Fact) -> Entry {
        Entry { id, change: id, at: at(when), corrects: None, note: None, fact }
    }

    fn ride(id: i64, when: &str, hours_h: f64) -> Ride {
        Ride { id, name: "r".into(), at: at(when), hours_h: Some(hours_h), ground: None, wet: None, odd: None }
    }

    fn meter(hours: f64) -> Fact {
        Fact::Meter(Meter::read(hours).expect("hours"))
    }

    #[test]
    fn rides_count_from_the_last_note_of_the_meter_on() {
        let rides = vec![ride(1, "2026-05-01T12:00", 2.0), ride(2, "2026-05-03T12:00", 3.5)];
        let log = Log::new(vec![entry(1, "2026-05-02T18:00", meter(40.0))], rides);
        assert_eq!(total_hours(&log.clock(at("2026-05-04T00:00"))), Ok(43.5));
        assert_eq!(total_hours(&log.clock(at("2026-05-02T20:00"))), Ok(40.0));
        assert_eq!(total_hours(&log.clock(at("2026-05-01T20:00"))), Ok(2.0));
        assert!(log.clock(at("2026-04-01T00:00")).len() <= 1);
    }

    #[test]
    fn what_is_later_is_left_out_and_where_nothing_is_the_lists_are_shared() {
        let rides = vec![ride(1, "2026-05-01T12:00", 2.0), ride(2, "2026-05-03T12:00", 3.5)];
        let log = Log::new(vec![entry(1, "2026-05-02T18:00", meter(40.0))], rides);
        let (before, after) = (log.until(at("2026-05-02T17:59")), log.until(at("2026-05-03T12:00")));
        assert_eq!((before.entries().len(), before.rides().len()), (0, 1));
        assert_eq!(after, log);
        assert!(Arc::ptr_eq(&after.entries, &log.entries) && Arc::ptr_eq(&after.rides, &log.rides));
    }

    #[test]
    fn a_corrected_fact_no_longer_stands() {
        let mut right = entry(2, "2026-05-02T18:00", meter(40.0));
        right.corrects = Some(1);
        let log = Log::new(vec![entry(1, "2026-05-02T18:00", meter(400.0)), right], Vec::new());
        assert_eq!(log.entries().len(), 1);
        assert_eq!(total_hours(&log.clock(at("2026-05-03T00:00"))), Ok(40.0));
    }

    #[test]
    fn work_is_open_until_it_is_done_or_given_up() {
        let work = |job: &str, state: &str| Fact::Work(Work::new(job, state).expect("a job"));
        let begun = entry(1, "2026-05-01T10:00", work("rear-tyre", "begun"));
        let again = entry(2, "2026-05-01T11:00", work("rear-tyre", "begun"));
        let other = entry(3, "2026-05-01T12:00", work("gearbox-oil", "done"));
        let open = Log::new(vec![begun.clone(), again.clone(), other.clone()], Vec::new());
        assert_eq!(open.open_work().len(), 1);
        let done = entry(4, "2026-05-01T13:00", work("rear-tyre", "done"));
        let shut = Log::new(vec![begun, again, other, done], Vec::new());
        assert!(shut.open_work().is_empty());
        assert_eq!(shut.slack_moved().map(|entry| entry.id), Some(4));
        assert_eq!(shut.last_done("gearbox-oil").map(|entry| entry.id), Some(3));
    }
}
