//! What was read of the store already, as long as nobody has written since: ten years of entries are read once, not for
//! every page.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use store::{ChangeId, Ride, Store, StoreError};
use upkeep::record::Log;

/// The rides and the log of each bike at one state of the record.
#[derive(Default)]
struct Read {
    revision: ChangeId,
    rides: HashMap<String, Arc<Vec<Ride>>>,
    logs: HashMap<String, Arc<Log>>,
}

/// What was read and still stands.
#[derive(Default)]
pub(super) struct Fresh(RefCell<Read>);

impl Fresh {
    /// The rides of a bike, newest first.
    ///
    /// # Errors
    /// As [`Store::rides`].
    pub(super) fn rides(&self, store: &Store, bike: &str) -> Result<Arc<Vec<Ride>>, StoreError> {
        self.kept(store, bike, |read| &mut read.rides, Store::rides)
    }

    /// What is recorded of a bike and stands.
    ///
    /// # Errors
    /// As [`Store::log`].
    pub(super) fn log(&self, store: &Store, bike: &str) -> Result<Arc<Log>, StoreError> {
        self.kept(store, bike, |read| &mut read.logs, Store::log)
    }

    fn kept<A>(
        &self,
        store: &Store,
        bike: &str,
        of: impl Fn(&mut Read) -> &mut HashMap<String, Arc<A>>,
        work: impl FnOnce(&Store, &str) -> Result<A, StoreError>,
    ) -> Result<Arc<A>, StoreError> {
        // Asked before anything is read: what comes in meanwhile makes this too old, never too young.
        let revision = store.revision()?;
        let mut read = self.0.borrow_mut();
        if read.revision != revision {
            *read = Read { revision, ..Read::default() };
        }
        if let Some(kept) = of(&mut read).get(bike) {
            return Ok(Arc::clone(kept));
        }
        let found = Arc::new(work(store, bike)?);
        of(&mut read).insert(bike.to_owned(), Arc::clone(&found));
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use store::{NewRide, Post};
    use upkeep::bike::Bike;

    use super::*;

    #[test]
    fn what_is_written_by_anybody_is_read_anew_and_nothing_else_is() {
        let (mut store, fresh) = (Store::memory().expect("a store"), Fresh::default());
        let post = Post::at(Timestamp::UNIX_EPOCH);
        store.put_bike(&Bike::new("b", "B", true).expect("a bike"), &post).expect("kept");
        let first = fresh.rides(&store, "b").expect("rides");
        assert!(first.is_empty() && Arc::ptr_eq(&first, &fresh.rides(&store, "b").expect("rides")));
        let log = fresh.log(&store, "b").expect("a log");
        assert!(log.rides().is_empty() && Arc::ptr_eq(&log, &fresh.log(&store, "b").expect("a log")));
        store.add_ride("b", &NewRide::new("r", jiff::civil::date(2026, 1, 1)), None, &post).expect("kept");
        assert_eq!(fresh.rides(&store, "b").expect("rides").len(), 1);
        assert_eq!(fresh.log(&store, "b").expect("a log").rides().len(), 1);
        assert!(fresh.rides(&store, "c").is_err());
    }
}
