//! How many visitors are held at once, and how many of them by one address: a crowd from one machine leaves room for others.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::serve::gate::peer::Peer;

/// As many visitors as are held at once.
const MOST: usize = 512;
/// As many of them as one address holds; a browser needs six. This machine itself holds as many as there are.
const SHARE: usize = 64;

/// The places there are.
pub(super) struct Places {
    free: Arc<Semaphore>,
    /// How many each address holds.
    held: Mutex<HashMap<Peer, usize>>,
}

impl Default for Places {
    fn default() -> Self {
        Self { free: Arc::new(Semaphore::new(MOST)), held: Mutex::default() }
    }
}

impl Places {
    /// A place for whoever comes next, as soon as there is one.
    pub(super) async fn free(places: &Arc<Self>) -> Free {
        let permit = Arc::clone(&places.free).acquire_owned().await.ok();
        Free { permit, places: Arc::clone(places) }
    }

    fn held(&self) -> MutexGuard<'_, HashMap<Peer, usize>> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A place that nobody has taken yet.
pub(super) struct Free {
    permit: Option<OwnedSemaphorePermit>,
    places: Arc<Places>,
}

impl Free {
    /// Takes the place for an address, unless it holds its share already.
    pub(super) fn take(self, peer: Peer) -> Option<Place> {
        let (here, peer) = (peer.is_here(), peer.counted());
        let mut held = self.places.held();
        let own = held.entry(peer).or_default();
        if *own >= SHARE && !here {
            return None;
        }
        *own += 1;
        drop(held);
        Some(Place { _permit: self.permit, peer, places: self.places })
    }
}

/// A place that is taken, until it is let go.
pub(super) struct Place {
    _permit: Option<OwnedSemaphorePermit>,
    peer: Peer,
    places: Arc<Places>,
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut held = self.places.held();
        let left = held.get(&self.peer).copied().unwrap_or_default().saturating_sub(1);
        match left {
            0 => drop(held.remove(&self.peer)),
            left => drop(held.insert(self.peer, left)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::serve::driven::wait;

    #[test]
    fn one_address_takes_its_share_and_leaves_room_for_others() {
        wait(async {
            let places = Arc::new(Places::default());
            let peer = |text: &str| Peer(Some(text.parse().expect("an address")));
            let mut taken = Vec::new();
            for _ in 0..MOST - 2 {
                taken.extend(Places::free(&places).await.take(peer("192.168.1.9")));
            }
            assert_eq!(taken.len(), SHARE);
            assert!(Places::free(&places).await.take(peer("192.168.1.10")).is_some());
            taken.pop();
            taken.extend(Places::free(&places).await.take(peer("192.168.1.9")));
            assert_eq!(taken.len(), SHARE, "a place that was let go is taken again");
            for _ in 0..2 * SHARE {
                taken.extend(Places::free(&places).await.take(peer("127.0.0.1")));
            }
            assert_eq!(taken.len(), 3 * SHARE, "this machine itself");
            drop(taken);
            assert!(places.held().is_empty() && places.free.available_permits() == MOST);
        });
    }
}
