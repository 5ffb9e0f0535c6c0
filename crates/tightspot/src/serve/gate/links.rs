//! One page for somebody else, to read only, for a while: a link that cannot be guessed, ends by itself and can be ended.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use jiff::Timestamp;

use super::same;
use crate::serve::session::random_word;

/// As many links as are good at once; the oldest gives way.
const MOST: usize = 50;

/// A moment by both clocks: the one on the wall, which can be set, and the one that only runs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Moment {
    /// As a person reads it.
    pub(crate) wall: Timestamp,
    /// As this program counts it.
    pub(crate) steady: Instant,
}

impl Moment {
    /// So much later by both.
    ///
    /// # Errors
    /// The end of all times.
    pub(crate) fn later(self, by: Duration) -> Result<Self, jiff::Error> {
        Ok(Self { wall: self.wall.checked_add(by)?, steady: self.steady + by })
    }

    /// Whether this lies before another one by both clocks: one that is set back makes nothing last longer.
    fn before(self, end: Self) -> bool {
        self.wall < end.wall && self.steady < end.steady
    }
}

/// One link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Link {
    /// What cannot be guessed: the last part of its address.
    pub(crate) token: String,
    /// The page it shows, path and query.
    pub(crate) page: String,
    /// The bike it shows it of.
    pub(crate) bike: String,
    /// When it ends, by whichever clock comes there first.
    pub(crate) until: Moment,
}

/// Every link there is, by its number.
#[derive(Default)]
pub(crate) struct Helpers {
    links: Mutex<(u64, BTreeMap<u64, Link>)>,
}

impl Helpers {
    /// Makes a link.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn make(&self, page: &str, bike: &str, until: Moment) -> Result<Link, getrandom::Error> {
        let link = Link { token: random_word()?, page: page.to_owned(), bike: bike.to_owned(), until };
        let mut kept = self.links.lock().unwrap_or_else(PoisonError::into_inner);
        kept.0 += 1;
        let number = kept.0;
        kept.1.insert(number, link.clone());
        while kept.1.len() > MOST {
            kept.1.pop_first();
        }
        Ok(link)
    }

    /// The link of a token, while it is good.
    pub(crate) fn good(&self, token: &str, now: Moment) -> Option<Link> {
        let kept = self.links.lock().unwrap_or_else(PoisonError::into_inner);
        kept.1.values().find(|link| same(&link.token, token) && now.before(link.until)).cloned()
    }

    /// The links that are good, with their numbers.
    pub(crate) fn all(&self, now: Moment) -> Vec<(u64, Link)> {
        let mut kept = self.links.lock().unwrap_or_else(PoisonError::into_inner);
        kept.1.retain(|_, link| now.before(link.until));
        kept.1.iter().map(|(number, link)| (*number, link.clone())).collect()
    }

    /// Ends a link; says whether there was one.
    pub(crate) fn end(&self, number: u64) -> bool {
        self.links.lock().unwrap_or_else(PoisonError::into_inner).1.remove(&number).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR: Duration = Duration::from_secs(60 * 60);

    #[test]
    fn a_link_ends_by_whichever_clock_comes_there_first() {
        let helpers = Helpers::default();
        let made = Moment { wall: "2026-09-24T18:00:00Z".parse().expect("a time"), steady: Instant::now() };
        let later = |hours: u32| made.later(HOUR * hours).expect("a moment");
        let link = helpers.make("/jobs", "b", later(4)).expect("a link");
        let good = |wall: Moment, steady: Moment| {
            let now = Moment { wall: wall.wall, steady: steady.steady };
            let listed = helpers.links.lock().expect("links").1.values().any(|link| now.before(link.until));
            assert_eq!(helpers.good(&link.token, now).is_some(), listed);
            listed
        };
        assert!(good(made, made) && good(later(3), later(3)));
        assert!(!good(later(4), later(4)), "it is good too long");
        assert!(good(made, later(3)), "a clock set back ends no link");
        assert!(!good(made, later(4)), "a clock set back makes it last longer");
        assert!(!good(later(5), later(1)), "a clock set ahead, or a machine that slept, keeps it");
        let set_back = Moment { wall: made.wall, steady: later(4).steady };
        assert!(helpers.all(set_back).is_empty() && helpers.good(&link.token, made).is_none(), "it comes back");
    }
}
