//! One page for somebody else, to read only, for a while: a link that cannot be guessed, ends by itself and can be ended.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use jiff::Timestamp;

use super::same;
use crate::serve::session::random_word;

/// As many links as are good at once; the oldest gives way.
const MOST: usize = 50;

/// One link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Link {
    /// What cannot be guessed: the last part of its address.
    pub(crate) token: String,
    /// The page it shows, path and query.
    pub(crate) page: String,
    /// The bike it shows it of.
    pub(crate) bike: String,
    /// When it ends.
    pub(crate) until: Timestamp,
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
    pub(crate) fn make(&self, page: &str, bike: &str, until: Timestamp) -> Result<Link, getrandom::Error> {
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
    pub(crate) fn good(&self, token: &str, now: Timestamp) -> Option<Link> {
        let kept = self.links.lock().unwrap_or_else(PoisonError::into_inner);
        kept.1.values().find(|link| same(&link.token, token) && now < link.until).cloned()
    }

    /// The links that are good, with their numbers.
    pub(crate) fn all(&self, now: Timestamp) -> Vec<(u64, Link)> {
        let mut kept = self.links.lock().unwrap_or_else(PoisonError::into_inner);
        kept.1.retain(|_, link| now < link.until);
        kept.1.iter().map(|(number, link)| (*number, link.clone())).collect()
    }

    /// Ends a link; says whether there was one.
    pub(crate) fn end(&self, number: u64) -> bool {
        self.links.lock().unwrap_or_else(PoisonError::into_inner).1.remove(&number).is_some()
    }
}
