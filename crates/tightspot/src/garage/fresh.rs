//! What was read of the store already, as long as nobody has written since: ten years of entries are read once, not for
//! every page.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use store::{ChangeId, Fact, Noted, Past, Ride, Store, StoreError, log_of};
use upkeep::bike::Bike;
use upkeep::job::bench::Bench;
use upkeep::record::Log;

/// What is kept of each bike.
type Kept<A> = HashMap<String, Arc<A>>;

/// What was read of each bike at one state of the record.
#[derive(Default)]
struct Read {
    revision: ChangeId,
    rides: Kept<Vec<Ride>>,
    noted: Kept<Vec<Noted>>,
    logs: Kept<Log>,
    benches: Kept<Vec<Bench>>,
    past: Kept<Vec<Past>>,
    bikes: Kept<Bike>,
    sheets: Kept<Vec<Fact>>,
}

/// As many bikes as are kept of each kind.
const BIKES: usize = 64;

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

    /// Everything that was ever written down of a bike.
    ///
    /// # Errors
    /// As [`Store::noted`].
    pub(super) fn noted(&self, store: &Store, bike: &str) -> Result<Arc<Vec<Noted>>, StoreError> {
        self.kept(store, bike, |read| &mut read.noted, Store::noted)
    }

    /// What is recorded of a bike and stands; the rides and what was written down are read once for this and themselves.
    ///
    /// # Errors
    /// As [`Store::log`].
    pub(super) fn log(&self, store: &Store, bike: &str) -> Result<Arc<Log>, StoreError> {
        let work = |store: &Store, bike: &str| Ok(log_of(&self.noted(store, bike)?, &self.rides(store, bike)?));
        self.kept(store, bike, |read| &mut read.logs, work)
    }

    /// The work orders of a bike.
    ///
    /// # Errors
    /// As [`Store::benches`].
    pub(super) fn benches(&self, store: &Store, bike: &str) -> Result<Arc<Vec<Bench>>, StoreError> {
        self.kept(store, bike, |read| &mut read.benches, Store::benches)
    }

    /// Every change that touched a bike, newest first.
    ///
    /// # Errors
    /// As [`Store::past`].
    pub(super) fn past(&self, store: &Store, bike: &str) -> Result<Arc<Vec<Past>>, StoreError> {
        self.kept(store, bike, |read| &mut read.past, Store::past)
    }

    /// A bike with its sheet.
    ///
    /// # Errors
    /// As [`Store::bike`].
    pub(super) fn bike(&self, store: &Store, bike: &str) -> Result<Arc<Bike>, StoreError> {
        self.kept(store, bike, |read| &mut read.bikes, Store::bike)
    }

    /// Every change of a bike's sheet, newest first.
    ///
    /// # Errors
    /// As [`Store::history`].
    pub(super) fn sheet(&self, store: &Store, bike: &str) -> Result<Arc<Vec<Fact>>, StoreError> {
        self.kept(store, bike, |read| &mut read.sheets, Store::history)
    }

    fn kept<A>(
        &self,
        store: &Store,
        bike: &str,
        of: impl Fn(&mut Read) -> &mut Kept<A>,
        work: impl FnOnce(&Store, &str) -> Result<A, StoreError>,
    ) -> Result<Arc<A>, StoreError> {
        // Asked before anything is read: what comes in meanwhile makes this too old, never too young.
        let revision = store.revision()?;
        {
            let mut read = self.0.borrow_mut();
            if read.revision != revision {
                *read = Read { revision, ..Read::default() };
            }
            if let Some(kept) = of(&mut read).get(bike) {
                return Ok(Arc::clone(kept));
            }
        }
        let found = Arc::new(work(store, bike)?);
        let mut read = self.0.borrow_mut();
        if read.revision == revision && of(&mut read).len() < BIKES {
            of(&mut read).insert(bike.to_owned(), Arc::clone(&found));
        }
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
