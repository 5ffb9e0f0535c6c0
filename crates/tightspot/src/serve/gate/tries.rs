//! Wrong passwords wait: each one longer, per address and for all together. This machine itself never waits.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::peer::Peer;

/// So many wrong ones of an address cost nothing: fingers slip.
const FREE: u32 = 2;
/// So many wrong ones of all addresses together cost nothing.
const FREE_OF_ALL: u32 = 10;
/// The longest that one address waits.
const LONGEST: Duration = Duration::from_secs(15 * 60);
/// The longest that all others wait for the sake of one: the rider's own phone must come in again.
const LONGEST_OF_ALL: Duration = Duration::from_secs(60);
/// After so long without a wrong one all is forgotten.
const FORGOTTEN: Duration = Duration::from_secs(60 * 60);
/// As many addresses as are remembered; the oldest gives way.
const MOST: usize = 4096;

/// Wrong ones so far.
#[derive(Clone, Copy)]
struct Count {
    wrong: u32,
    last: Instant,
}

impl Count {
    fn more(before: Option<Self>, now: Instant) -> Self {
        let wrong = before.filter(|count| now.duration_since(count.last) < FORGOTTEN).map_or(0, |count| count.wrong);
        Self { wrong: wrong.saturating_add(1), last: now }
    }

    /// How long is still to wait.
    fn wait(self, free: u32, longest: Duration, now: Instant) -> Option<Duration> {
        let over = self.wrong.checked_sub(free).filter(|over| *over > 0)?;
        let delay = Duration::from_secs(1 << (over - 1).min(20)).min(longest);
        (self.last + delay).checked_duration_since(now).filter(|wait| !wait.is_zero())
    }
}

#[derive(Default)]
struct Known {
    each: HashMap<Peer, Count>,
    all: Option<Count>,
}

/// The wrong ones of every address.
#[derive(Default)]
pub(crate) struct Tries {
    known: Mutex<Known>,
}

impl Tries {
    /// How long this address has to wait before it may try; `None` if it may now.
    pub(crate) fn wait(&self, peer: Peer, now: Instant) -> Option<Duration> {
        if peer.is_here() {
            return None;
        }
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let own = known.each.get(&peer.counted()).and_then(|count| count.wait(FREE, LONGEST, now));
        let all = known.all.and_then(|count| count.wait(FREE_OF_ALL, LONGEST_OF_ALL, now));
        own.max(all)
    }

    /// One more was wrong; says the how many-th of its address.
    pub(crate) fn wrong(&self, peer: Peer, now: Instant) -> u32 {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if !peer.is_here() {
            known.all = Some(Count::more(known.all, now));
        }
        if known.each.len() >= MOST {
            let oldest = known.each.iter().min_by_key(|(_, count)| count.last).map(|(peer, _)| *peer);
            oldest.map(|peer| known.each.remove(&peer));
        }
        let count = Count::more(known.each.get(&peer.counted()).copied(), now);
        known.each.insert(peer.counted(), count);
        count.wrong
    }

    /// It was right: the address starts anew.
    pub(crate) fn right(&self, peer: Peer) {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).each.remove(&peer.counted());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn peer(text: &str) -> Peer {
        Peer(Some(text.parse().expect("an address")))
    }

    #[test]
    fn each_wrong_one_waits_longer_and_a_right_one_clears_it() {
        let (tries, start, phone) = (Tries::default(), Instant::now(), peer("192.168.1.9"));
        let mut now = start;
        let mut waits = Vec::new();
        for _ in 0..6 {
            tries.wrong(phone, now);
            let wait = tries.wait(phone, now).unwrap_or_default();
            waits.push(wait.as_secs());
            now += wait;
            assert_eq!(tries.wait(phone, now), None);
        }
        assert_eq!(waits, [0, 0, 1, 2, 4, 8]);
        for _ in 0..20 {
            tries.wrong(phone, now);
        }
        assert_eq!(tries.wait(phone, now), Some(LONGEST));
        tries.right(phone);
        assert!(tries.wait(phone, now).is_none_or(|wait| wait <= LONGEST_OF_ALL));
    }

    #[test]
    fn many_addresses_together_slow_everybody_but_this_machine() {
        let (tries, now) = (Tries::default(), Instant::now());
        for last in 1..=40 {
            tries.wrong(peer(&format!("192.168.1.{last}")), now);
        }
        assert_eq!(tries.wait(peer("192.168.1.200"), now), Some(LONGEST_OF_ALL));
        assert_eq!(tries.wait(peer("192.168.1.200"), now + LONGEST_OF_ALL), None);
        for here in ["127.0.0.1", "::1", "::ffff:127.0.0.1"] {
            for _ in 0..50 {
                tries.wrong(peer(here), now);
            }
            assert_eq!(tries.wait(peer(here), now), None, "{here} is locked out");
        }
    }

    #[test]
    fn addresses_of_one_machine_count_together_and_nobody_is_a_stranger() {
        let (tries, now) = (Tries::default(), Instant::now());
        for last in 1..=4 {
            tries.wrong(peer(&format!("2001:db8:1:2::{last}")), now);
        }
        assert!(tries.wait(peer("2001:db8:1:2::99"), now).is_some());
        assert!(tries.wait(peer("2001:db8:1:3::1"), now).is_none());
        for _ in 0..4 {
            tries.wrong(Peer(None), now);
        }
        assert!(tries.wait(Peer(None), now).is_some());
        assert!(tries.wait(Peer(None), now + FORGOTTEN).is_none());
    }
}
