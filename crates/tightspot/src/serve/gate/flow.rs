//! How much one address may ask: a store of tokens that fills again. This machine itself may ask as it likes.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::peer::Peer;

/// So many requests at once.
const BURST: f64 = 240.0;
/// So many a second in the long run.
const PER_SECOND: f64 = 40.0;
/// As many addresses as are remembered; the oldest gives way.
const MOST: usize = 4096;

struct Level {
    left: f64,
    at: Instant,
}

/// The level of every address.
#[derive(Default)]
pub(crate) struct Flow {
    levels: Mutex<HashMap<Peer, Level>>,
}

impl Flow {
    /// Takes one request; says how long to wait where there is none left.
    pub(crate) fn take(&self, peer: Peer, now: Instant) -> Option<Duration> {
        // Nobody's address stands behind what no socket brought.
        if peer.is_here() || peer.0.is_none() {
            return None;
        }
        let mut levels = self.levels.lock().unwrap_or_else(PoisonError::into_inner);
        if levels.len() >= MOST {
            let oldest = levels.iter().min_by_key(|(_, level)| level.at).map(|(peer, _)| *peer);
            oldest.map(|peer| levels.remove(&peer));
        }
        let level = levels.entry(peer.counted()).or_insert(Level { left: BURST, at: now });
        let since = now.saturating_duration_since(level.at).as_secs_f64();
        level.left = since.mul_add(PER_SECOND, level.left).min(BURST);
        level.at = now;
        if level.left < 1.0 {
            return Some(Duration::from_secs_f64((1.0 - level.left) / PER_SECOND));
        }
        level.left -= 1.0;
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flood_is_slowed_others_and_this_machine_are_not() {
        let (flow, now) = (Flow::default(), Instant::now());
        let peer = |text: &str| Peer(Some(text.parse().expect("an address")));
        let passed = (0..1000).filter(|_| flow.take(peer("192.168.1.9"), now).is_none()).count();
        assert_eq!(passed, 240);
        assert!(flow.take(peer("192.168.1.10"), now).is_none());
        assert!((0..1000).all(|_| flow.take(peer("127.0.0.1"), now).is_none()));
        let later = now + Duration::from_secs(1);
        assert_eq!((0..1000).filter(|_| flow.take(peer("192.168.1.9"), later).is_none()).count(), 40);
    }
}
