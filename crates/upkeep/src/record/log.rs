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
        self.uncounted_rides(DateTime::MIN)
    }

    /// Rides after a time that say nothing about hours, and no note of the meter has counted since.
    #[must_use]
    pub fn uncounted_rides(&self, after: DateTime) -> usize {
        let last = self.entries.iter().rfind(|entry| matches!(entry.fact, Fact::Meter(_))).map(|entry| entry.at);
        let from = last.map_or(after, |noted| noted.max(after));
        self.rides.iter().filter(|ride| ride.hours_h.is_none() && ride.at > from).count()
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

    fn work(job: &str, state: &str) -> Fact {
        Fact::Work(Work::new(job, state).expect("a job"))
    }

    fn part(role: Role, name: &str) -> super::super::Part {
        super::super::Part::new(role, name.into(), None, 0.0, None).expect("a part")
    }

    fn day(day: i64) -> String {
        format!("2026-05-{day:02}T12:00")
    }

    /// Facts on the first, second, third … of May.
    fn log(facts: Vec<Fact>) -> Log {
        Log::new((1..).zip(facts).map(|(id, fact)| entry(id, &day(id), fact)).collect(), Vec::new())
    }

    #[test]
    fn facts_and_rides_of_one_moment_stand_in_the_order_of_writing() {
        let facts = vec![entry(3, &day(1), meter(3.0)), entry(1, &day(2), meter(4.0)), entry(2, &day(1), meter(2.0))];
        let log = Log::new(facts, vec![ride(9, &day(3), 1.0), ride(4, &day(3), 1.0), ride(5, &day(1), 1.0)]);
        assert_eq!(log.entries().iter().map(|entry| entry.id).collect::<Vec<_>>(), [2, 3, 1]);
        assert_eq!(log.rides().iter().map(|ride| ride.id).collect::<Vec<_>>(), [5, 4, 9]);
        let (only_rides, only_facts) =
            (Log::new(Vec::new(), vec![ride(1, &day(1), 1.0)]), super::tests::log(vec![meter(1.0)]));
        assert!(Log::default().is_empty() && !only_rides.is_empty() && !only_facts.is_empty());
    }

    #[test]
    fn what_was_laid_on_the_shelf_lies_there_until_it_is_fitted_gone_or_laid_there_anew() {
        let kept = |role: Role, name: &str, gone: bool| Fact::Kept(Kept::new(part(role, name), gone));
        let names = |facts: Vec<Fact>| {
            log(facts)
                .shelf()
                .into_iter()
                .map(|(entry, kept)| (entry.id, kept.part().name().to_owned()))
                .collect::<Vec<_>>()
        };
        let (laid, fitted) =
            (|name: &str| kept(Role::Rear, name, false), |role, name: &str| Fact::Part(part(role, name)));
        assert_eq!(names(vec![laid("a"), laid("b")]), [(1, "a".to_owned()), (2, "b".to_owned())]);
        assert_eq!(names(vec![laid("a"), laid("a")]), [(2, "a".to_owned())]);
        assert!(names(vec![laid("a"), kept(Role::Rear, "a", true)]).is_empty());
        assert!(names(vec![laid("a"), fitted(Role::Rear, "a")]).is_empty());
        // Another part, another role of that name, something else altogether.
        let others = vec![
            laid("a"),
            fitted(Role::Rear, "b"),
            fitted(Role::Front, "a"),
            kept(Role::Front, "a", true),
            meter(1.0),
        ];
        assert_eq!(names(others), [(1, "a".to_owned())]);
        assert_eq!(names(vec![fitted(Role::Rear, "a"), laid("a")]), [(2, "a".to_owned())]);
        assert!(names(vec![kept(Role::Rear, "a", true)]).is_empty());
    }

    #[test]
    fn open_work_stands_by_its_last_word_oldest_first() {
        let jobs = |facts: Vec<Fact>| {
            log(facts)
                .open_work()
                .into_iter()
                .map(|(entry, work)| (entry.id, work.job().to_owned()))
                .collect::<Vec<_>>()
        };
        let begun = |job: &str| work(job, "begun");
        assert_eq!(
            jobs(vec![begun("rear-tyre"), begun("coolant"), begun("rear-tyre"), work("reeds", "done")]),
            [(2, "coolant".to_owned()), (3, "rear-tyre".to_owned())]
        );
        assert!(jobs(vec![begun("reeds"), work("reeds", "dropped")]).is_empty());
        assert_eq!(jobs(vec![work("reeds", "done"), begun("reeds")]), [(2, "reeds".to_owned())]);
        let log = log(vec![work("reeds", "done"), work("reeds", "done"), begun("reeds"), work("reeds", "dropped")]);
        assert_eq!((log.last_done("reeds").map(|entry| entry.id), log.last_done("coolant")), (Some(2), None));
    }

    #[test]
    fn slack_is_moved_by_work_on_the_drive_by_its_parts_and_by_the_axle_nut() {
        let check = |name: &str, answer: &str, torque: Option<f64>| {
            Fact::Check(super::super::Check::new(name, answer, torque).expect("a check"))
        };
        let moved = |fact: Fact| log(vec![fact, meter(1.0)]).slack_moved().is_some();
        for job in ["chain-slack", "rear-tyre", "front-sprocket-only", "chain-cut-join"] {
            assert!(moved(work(job, "begun")) && moved(work(job, "done")) && !moved(work(job, "dropped")), "{job}");
        }
        assert!(!moved(work("coolant", "done")));
        for (role, moves) in [(Role::Chain, true), (Role::Front, true), (Role::Rear, true), (Role::Other, false)] {
            assert_eq!(moved(Fact::Part(part(role, "x"))), moves, "{role:?}");
        }
        assert!(moved(check("axle", "set", Some(100.0))) && moved(check("axle", "loose", None)));
        assert!(!moved(check("rear-fasteners", "set", Some(30.0))) && !moved(check("brake", "firm", None)));
        let twice = log(vec![work("rear-tyre", "done"), work("chain-slack", "done"), work("coolant", "done")]);
        assert_eq!(twice.slack_moved().map(|entry| entry.id), Some(2));
    }

    #[test]
    fn the_next_that_is_planned_may_be_this_very_moment_and_nothing_done_is_later_than_now() {
        let planned = |name: &str| Fact::Planned(super::super::Planned::new(name.into(), false, None).expect("a plan"));
        let log = log(vec![planned("first"), meter(5.0), planned("third"), meter(7.0)]);
        let next = |when: &str| log.next_planned(at(when)).map(|entry| entry.id);
        assert_eq!(
            [next("2026-05-01T12:00"), next("2026-05-01T12:01"), next("2026-05-03T12:00")],
            [Some(1), Some(3), Some(3)]
        );
        assert_eq!(next("2026-05-03T12:01"), None);
        let until = log.until(at("2026-05-02T12:00"));
        assert_eq!(until.entries().iter().map(|entry| entry.id).collect::<Vec<_>>(), [1, 2, 3]);
    }

    #[test]
    fn rides_are_counted_after_a_time_up_to_another_and_from_a_day_on() {
        let mut silent = ride(4, "2026-05-04T09:00", 0.0);
        silent.hours_h = None;
        let rides = vec![ride(1, &day(1), 1.0), ride(2, &day(2), 2.0), ride(3, &day(3), 4.0), silent];
        let log = Log::new(vec![entry(1, &day(2), meter(40.0))], rides);
        let hours = |after: i64, until: i64| log.rides_h(at(&day(after)), at(&day(until)));
        assert_eq!([hours(1, 3), hours(1, 2), hours(2, 2), hours(1, 9)], [6.0, 2.0, 0.0, 6.0]);
        let from = |text: &str| log.rides_from(text.parse().expect("a day"));
        assert_eq!([from("2026-05-01"), from("2026-05-02"), from("2026-05-04"), from("2026-05-05")], [4, 3, 1, 0]);
        assert_eq!(log.rides_without_hours(), 1);
        let noted = Log::new(vec![entry(1, "2026-05-04T09:00", meter(40.0))], log.rides().to_vec());
        assert_eq!(noted.rides_without_hours(), 0, "a ride of the same moment is in the note");
        assert_eq!(Log::new(Vec::new(), log.rides().to_vec()).rides_without_hours(), 1);
        let uncounted = |after: &str| log.uncounted_rides(at(after));
        assert_eq!([uncounted(&day(1)), uncounted(&day(3)), uncounted("2026-05-04T09:00")], [1, 1, 0]);
        let shows = |when: &str| total_hours(&log.clock(at(when)));
        assert_eq!([shows(&day(1)), shows(&day(2)), shows(&day(3))], [Ok(1.0), Ok(40.0), Ok(44.0)]);
        assert_eq!(log.clock(at("2026-05-02T13:00")).len(), 1);
    }

    #[test]
    fn the_last_part_of_a_role_counts() {
        let log = log(vec![
            Fact::Part(part(Role::Rear, "a")),
            Fact::Part(part(Role::Front, "b")),
            Fact::Part(part(Role::Rear, "c")),
        ]);
        let fitted = |role: Role| log.fitted(role).map(|entry| entry.id);
        assert_eq!([fitted(Role::Rear), fitted(Role::Front), fitted(Role::Chain)], [Some(3), Some(2), None]);
    }
}
