//! The kinds of fact, and those that are small: meter, work, planned rides, riding against a stop.

use measure::bounds::record as bounds;

use super::{
    AxleReading, Check, ElongationReading, Kept, Part, Set, SlackReading, Used, held, text_of, word_for, word_of,
};
use crate::bike::Fault;
use crate::job::handbook::in_use;
use crate::wear::MeterEvent;

/// What was done or read.
#[derive(Debug, Clone, PartialEq)]
pub enum Fact {
    /// The meter was read or changed.
    Meter(Meter),
    /// Slack was read.
    Slack(SlackReading),
    /// The chain's length was read.
    Elongation(ElongationReading),
    /// The axle's place was read on both sides.
    Axle(AxleReading),
    /// A part was fitted.
    Part(Part),
    /// Work was begun or done.
    Work(Work),
    /// Something was looked at.
    Check(Check),
    /// A ride or event is planned; its time is the entry's.
    Planned(Planned),
    /// The rider rides against a stop.
    Waiver(Waiver),
    /// A part was laid on the shelf, or is no longer there.
    Kept(Kept),
    /// A chain and sprockets were put together as a set, or are one no longer.
    Set(Set),
    /// Hours that nobody counted are known as a range.
    Used(Used),
}

/// The words of the kinds, in the order of [`Fact`].
pub const KINDS: [&str; 12] =
    ["meter", "slack", "elongation", "axle", "part", "work", "check", "planned", "waiver", "kept", "set", "used"];

impl Fact {
    /// The word of its kind.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        KINDS[match self {
            Self::Meter(_) => 0,
            Self::Slack(_) => 1,
            Self::Elongation(_) => 2,
            Self::Axle(_) => 3,
            Self::Part(_) => 4,
            Self::Work(_) => 5,
            Self::Check(_) => 6,
            Self::Planned(_) => 7,
            Self::Waiver(_) => 8,
            Self::Kept(_) => 9,
            Self::Set(_) => 10,
            Self::Used(_) => 11,
        }]
    }
}

/// A note of the meter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meter(MeterEvent);

impl Meter {
    /// The meter was read.
    ///
    /// # Errors
    /// Hours out of bounds.
    pub fn read(read_h: f64) -> Result<Self, Fault> {
        Ok(Self(MeterEvent::Read { hours: held("read_h", read_h, &bounds::METER)? }))
    }

    /// The meter was changed for another.
    ///
    /// # Errors
    /// Hours out of bounds.
    pub fn swap(old_h: f64, new_h: f64) -> Result<Self, Fault> {
        Ok(Self(MeterEvent::Swap {
            old: held("swap_old_h", old_h, &bounds::METER)?,
            new: held("swap_new_h", new_h, &bounds::METER)?,
        }))
    }

    /// What was noted.
    #[must_use]
    pub const fn event(self) -> MeterEvent {
        self.0
    }

    /// Hours that the meter then shows.
    #[must_use]
    pub const fn shows_h(self) -> f64 {
        match self.0 {
            MeterEvent::Read { hours } => hours,
            MeterEvent::Swap { new, .. } => new,
        }
    }
}

/// How far work got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkState {
    /// It is begun: parts are off.
    Begun,
    /// It is done.
    Done,
    /// It was given up with everything back as it was.
    Dropped,
}

/// Work on the bike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Work {
    job: String,
    state: WorkState,
}

impl Work {
    /// Words and states.
    pub const STATES: &[(&str, WorkState)] =
        &[("begun", WorkState::Begun), ("done", WorkState::Done), ("dropped", WorkState::Dropped)];

    /// Work on a job of the library.
    ///
    /// # Errors
    /// No such job, no such state.
    pub fn new(job: &str, state: &str) -> Result<Self, Fault> {
        if in_use().job(job).is_none() {
            let known: Vec<&str> = in_use().jobs().iter().map(|known| known.job.id.as_str()).collect();
            let text = format!("job: \"{job}\" is not in the library; possible: {}.", known.join(", "));
            return Err(Fault::new("job", "no_such_word", text));
        }
        Self::kept(job, state)
    }

    /// Work as it was written down, on a job that the library at hand may no longer have: a rider's own folder of jobs
    /// is not always there. Of such a job nothing is known, so that it is taken to have touched everything.
    ///
    /// # Errors
    /// No such state, a job without name.
    pub fn kept(job: &str, state: &str) -> Result<Self, Fault> {
        Ok(Self { job: text_of("job", job.to_owned(), 60)?, state: word_of("state", state, Self::STATES)? })
    }

    /// The job's name.
    #[must_use]
    pub fn job(&self) -> &str {
        &self.job
    }

    /// How far it got.
    #[must_use]
    pub const fn state(&self) -> WorkState {
        self.state
    }

    /// The state's word.
    #[must_use]
    pub fn state_word(&self) -> &'static str {
        word_for(Self::STATES, self.state)
    }
}

/// A ride or an event to come.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    name: String,
    event: bool,
    hours_h: Option<f64>,
}

impl Planned {
    /// What it is called, whether a date is fixed with others, about how many hours.
    ///
    /// # Errors
    /// No name, hours out of bounds.
    pub fn new(name: String, event: bool, hours_h: Option<f64>) -> Result<Self, Fault> {
        let hours_h = hours_h.map(|hours| held("hours_h", hours, &bounds::RIDE)).transpose()?;
        Ok(Self { name: text_of("name", name, 100)?, event, hours_h })
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Whether it is an event.
    #[must_use]
    pub const fn event(&self) -> bool {
        self.event
    }

    /// About how long.
    #[must_use]
    pub const fn hours_h(&self) -> Option<f64> {
        self.hours_h
    }
}

/// Why somebody rides against a stop. It stays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waiver {
    reason: String,
    against: String,
}

impl Waiver {
    /// The rider's reason, and what stood against it.
    ///
    /// # Errors
    /// No reason.
    pub fn new(reason: String, against: String) -> Result<Self, Fault> {
        Ok(Self { reason: text_of("reason", reason, 1000)?, against: text_of("against", against, 4000)? })
    }

    /// The reason.
    #[must_use]
    pub fn reason(&self) -> &str {
        &self.reason
    }

    /// What stood against it.
    #[must_use]
    pub fn against(&self) -> &str {
        &self.against
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Role, SlackKind, SlackState, Whose};

    #[test]
    fn every_kind_of_fact_has_its_own_word() {
        let part = || Part::new(Role::Chain, "x".into(), None, 0.0, None).expect("a part");
        let two = vec![(Role::Chain, "a".to_owned()), (Role::Rear, "b".to_owned())];
        let facts = [
            Fact::Meter(Meter::read(1.0).expect("hours")),
            Fact::Slack(SlackReading::new(vec![1.0], None, 0.5, SlackState::Stand, SlackKind::Free).expect("one")),
            Fact::Elongation(ElongationReading::new(20, vec![vec![318.0]], 0.05, 0.01).expect("one")),
            Fact::Axle(AxleReading::new(1.0, 1.0).expect("one")),
            Fact::Part(part()),
            Fact::Work(Work::new("coolant", "done").expect("one")),
            Fact::Check(Check::new("brake", "firm", None).expect("one")),
            Fact::Planned(Planned::new("x".into(), true, None).expect("one")),
            Fact::Waiver(Waiver::new("why".into(), "what".into()).expect("one")),
            Fact::Kept(Kept::new(part(), false)),
            Fact::Set(Set::new("x".into(), two, false).expect("one")),
            Fact::Used(Used::new(Whose::Bike, 1.0, 2.0).expect("one")),
        ];
        assert_eq!(facts.map(|fact| fact.kind()), KINDS);
    }

    #[test]
    fn a_meter_shows_what_was_read_or_what_the_new_one_begins_with() {
        let (read, swap) = (Meter::read(40.0).expect("hours"), Meter::swap(41.5, 0.5).expect("hours"));
        assert_eq!((read.shows_h(), read.event()), (40.0, MeterEvent::Read { hours: 40.0 }));
        assert_eq!((swap.shows_h(), swap.event()), (0.5, MeterEvent::Swap { old: 41.5, new: 0.5 }));
        let field = |meter: Result<Meter, Fault>| meter.err().map(|fault| fault.field);
        assert_eq!(field(Meter::read(-0.1)).as_deref(), Some("read_h"));
        assert_eq!(field(Meter::swap(-0.1, 1.0)).as_deref(), Some("swap_old_h"));
        assert_eq!(field(Meter::swap(1.0, 100_000.1)).as_deref(), Some("swap_new_h"));
        assert_eq!([field(Meter::read(0.0)), field(Meter::read(100_000.0))], [None, None]);
    }

    #[test]
    fn work_is_on_a_job_of_the_library_unless_it_was_written_down_before() {
        let work = Work::new("coolant", "begun").expect("a job");
        assert_eq!((work.job(), work.state(), work.state_word()), ("coolant", WorkState::Begun, "begun"));
        for (word, state) in Work::STATES {
            let work = Work::kept("no such job", word).expect("kept");
            assert_eq!((work.job(), work.state(), work.state_word()), ("no such job", *state, *word));
        }
        let field = |work: Result<Work, Fault>| work.err().map(|fault| fault.field);
        assert_eq!(field(Work::new("no such job", "done")).as_deref(), Some("job"));
        assert_eq!(field(Work::new("coolant", "stopped")).as_deref(), Some("state"));
        assert_eq!(field(Work::kept("", "done")).as_deref(), Some("job"));
        assert_eq!(
            [field(Work::kept(&"x".repeat(60), "done")), field(Work::kept(&"x".repeat(61), "done"))],
            [None, Some("job".to_owned())]
        );
    }

    #[test]
    fn what_is_planned_or_waived_says_its_words_within_their_limits() {
        let planned = Planned::new("x".repeat(100), true, Some(100.0)).expect("a plan");
        assert_eq!((planned.name().len(), planned.event(), planned.hours_h()), (100, true, Some(100.0)));
        let plain = Planned::new("x".into(), false, None).expect("a plan");
        assert_eq!((plain.name(), plain.event(), plain.hours_h()), ("x", false, None));
        let field = |name: String, hours: Option<f64>| Planned::new(name, false, hours).err().map(|fault| fault.field);
        assert_eq!(field("x".repeat(101), None).as_deref(), Some("name"));
        assert_eq!(
            [field("x".into(), Some(0.0)), field("x".into(), Some(100.1))]
                .map(|field| field.as_deref() == Some("hours_h")),
            [true; 2]
        );
        let waiver = Waiver::new("r".repeat(1000), "a".repeat(4000)).expect("a waiver");
        assert_eq!((waiver.reason().len(), waiver.against().len()), (1000, 4000));
        let field = |reason: usize, against: usize| {
            Waiver::new("r".repeat(reason), "a".repeat(against)).err().map(|fault| fault.field)
        };
        assert_eq!([field(1001, 1).as_deref(), field(0, 1).as_deref()], [Some("reason"); 2]);
        assert_eq!([field(1, 4001).as_deref(), field(1, 0).as_deref()], [Some("against"); 2]);
        for text in ["a\0b", " ", "\n"] {
            assert!(Waiver::new(text.into(), "a".into()).is_err(), "{text:?}");
        }
    }
}
