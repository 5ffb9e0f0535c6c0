//! What was answered under a key: the second asking waits for the first one and finds its answer. Kept for a day.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How long an answer is kept.
const KEPT: Duration = Duration::from_secs(24 * 60 * 60);
/// How many answers are kept at most; the oldest give way.
const MOST: usize = 10_000;

/// What a key answered, once it has.
pub(crate) type Slot<T> = Arc<tokio::sync::Mutex<Option<T>>>;

/// A slot for every key.
pub(crate) struct Slots<T> {
    slots: Mutex<HashMap<String, (Instant, Slot<T>)>>,
}

impl<T> Default for Slots<T> {
    fn default() -> Self {
        Self { slots: Mutex::default() }
    }
}

impl<T> Slots<T> {
    /// The slot of a key.
    pub(crate) fn slot(&self, key: &str) -> Slot<T> {
        let mut slots = self.slots.lock().unwrap_or_else(PoisonError::into_inner);
        if slots.len() >= MOST {
            slots.retain(|_, (since, _)| since.elapsed() < KEPT);
        }
        if slots.len() >= MOST {
            let oldest = slots.iter().min_by_key(|(_, (since, _))| *since).map(|(key, _)| key.clone());
            oldest.map(|key| slots.remove(&key));
        }
        let fresh = || (Instant::now(), Slot::default());
        let (since, slot) = slots.entry(key.to_owned()).or_insert_with(fresh);
        if since.elapsed() >= KEPT {
            (*since, *slot) = fresh();
        }
        Arc::clone(slot)
    }
}
