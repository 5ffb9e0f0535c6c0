//! Hours that nobody counted: a bike or a part bought used, known only as "forty to eighty".

use jiff::civil::DateTime;
use measure::bounds::record as bounds;

use super::{Entry, Fact, Log, Role, held, word_for, word_of};
use crate::bike::Fault;

/// Whose hours are known as a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// The bike's, and of everything on it whose fitting is not recorded.
    Bike,
    /// The chain's alone.
    Chain,
    /// The front sprocket's alone.
    Front,
    /// The rear sprocket's alone.
    Rear,
}

impl Whose {
    /// Words and whose hours they mean.
    pub const WORDS: &[(&str, Self)] =
        &[("bike", Self::Bike), ("chain", Self::Chain), ("front", Self::Front), ("rear", Self::Rear)];

    /// Whose hours a word means.
    ///
    /// # Errors
    /// No such word.
    pub fn of(word: &str) -> Result<Self, Fault> {
        word_of("whose", word, Self::WORDS)
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_for(Self::WORDS, self)
    }

    /// The part of the drive that is meant alone.
    const fn role(self) -> Option<Role> {
        match self {
            Self::Bike => None,
            Self::Chain => Some(Role::Chain),
            Self::Front => Some(Role::Front),
            Self::Rear => Some(Role::Rear),
        }
    }
}

/// Hours at the entry's time as a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Used {
    whose: Whose,
    low_h: f64,
    high_h: f64,
}

impl Used {
    /// Between so many hours and so many; both ends may be the same.
    ///
    /// # Errors
    /// Hours out of bounds, the high end below the low one.
    pub fn new(whose: Whose, low_h: f64, high_h: f64) -> Result<Self, Fault> {
        let (low_h, high_h) = (held("low_h", low_h, &bounds::USED)?, held("high_h", high_h, &bounds::USED)?);
        if high_h < low_h {
            let text = format!("high_h: {high_h} h lies below {low_h} h. Swap or correct them.");
            return Err(Fault::new("high_h", "below_low", text));
        }
        Ok(Self { whose, low_h, high_h })
    }

    /// Whose hours.
    #[must_use]
    pub const fn whose(self) -> Whose {
        self.whose
    }

    /// Both ends.
    #[must_use]
    pub const fn between_h(self) -> [f64; 2] {
        [self.low_h, self.high_h]
    }
}

impl Log {
    /// The range that stands for what is on the bike in a role, with its entry; `None` once another part was fitted.
    /// A part's own range speaks before the bike's, and the last one before those before it.
    #[must_use]
    pub fn used(&self, role: Role) -> Option<(&Entry, Used)> {
        let fitted = self.fitted(role).map(|entry| (entry.at, entry.id));
        let of = |wanted: Option<Role>| {
            self.all_used().rfind(move |(entry, used)| {
                used.whose().role() == wanted && fitted.is_none_or(|fitted| (entry.at, entry.id) > fitted)
            })
        };
        // A bike that was bought used says nothing about a part whose fitting is recorded.
        of(Some(role)).or_else(|| of(None).filter(|_| fitted.is_none()))
    }

    /// The range that stands for the whole bike, with its entry.
    #[must_use]
    pub fn bike_used(&self) -> Option<(&Entry, Used)> {
        self.all_used().rfind(|(_, used)| used.whose() == Whose::Bike)
    }

    /// Whether the record begins with hours behind it that nobody counted.
    #[must_use]
    pub fn begins_used(&self) -> bool {
        self.all_used().next().is_some()
    }

    /// When the meter was noted first.
    #[must_use]
    pub fn first_meter(&self) -> Option<DateTime> {
        self.entries().iter().find(|entry| matches!(entry.fact, Fact::Meter(_))).map(|entry| entry.at)
    }

    fn all_used(&self) -> impl DoubleEndedIterator<Item = (&Entry, Used)> {
        self.of(|fact| if let Fact::Used(used) = fact { Some(*used) } else { None })
    }
}

#[cfg(test)]
mod tests {
    use super::super::Part;
    use super::*;

    fn log(facts: Vec<Fact>) -> Log {
        let entry = |(id, fact): (i64, Fact)| {
            let at = jiff::civil::date(2026, 5, i8::try_from(id).expect("a day")).at(12, 0, 0, 0);
            Entry { id, change: id, at, corrects: None, note: None, fact }
        };
        Log::new((1..).zip(facts).map(entry).collect(), Vec::new())
    }

    fn used(whose: Whose, low: f64, high: f64) -> Fact {
        Fact::Used(Used::new(whose, low, high).expect("a range"))
    }

    fn chain() -> Fact {
        Fact::Part(Part::new(Role::Chain, "new".into(), Some(118), 0.0, None).expect("a part"))
    }

    #[test]
    fn a_range_has_its_ends_in_order_and_in_bounds() {
        assert_eq!(Used::new(Whose::Chain, 80.0, 40.0).expect_err("turned round").code, "below_low");
        assert_eq!(Used::new(Whose::Chain, -1.0, 40.0).expect_err("below").field, "low_h");
        assert_eq!(Used::new(Whose::Chain, 0.0, 5001.0).expect_err("above").field, "high_h");
        assert!(Used::new(Whose::Bike, 40.0, 40.0).is_ok());
        for (word, whose) in Whose::WORDS {
            assert_eq!((Whose::of(word), whose.word()), (Ok(*whose), *word));
        }
        assert!(Whose::of("guide").is_err());
    }

    #[test]
    fn the_last_range_of_a_part_speaks_and_its_own_before_the_bikes() {
        let between = |log: &Log, role| log.used(role).map(|(_, used)| used.between_h());
        let all =
            log(vec![used(Whose::Chain, 40.0, 80.0), used(Whose::Chain, 50.0, 60.0), used(Whose::Bike, 0.0, 90.0)]);
        assert_eq!(between(&all, Role::Chain), Some([50.0, 60.0]));
        assert_eq!(between(&all, Role::Rear), Some([0.0, 90.0]));
        assert_eq!(all.bike_used().map(|(entry, _)| entry.id), Some(3));
        assert!(all.begins_used() && all.first_meter().is_none());
    }

    #[test]
    fn a_part_that_was_fitted_since_has_its_own_hours() {
        let all = log(vec![used(Whose::Bike, 40.0, 80.0), chain()]);
        assert_eq!(all.used(Role::Chain), None);
        assert!(all.used(Role::Front).is_some());
        // Neither does a bike's range speak for a part whose fitting is recorded before it; the part's own does.
        let all = log(vec![chain(), used(Whose::Bike, 40.0, 80.0)]);
        assert_eq!(all.used(Role::Chain), None);
        let all = log(vec![chain(), used(Whose::Chain, 20.0, 30.0)]);
        assert!(all.used(Role::Chain).is_some());
    }
}
