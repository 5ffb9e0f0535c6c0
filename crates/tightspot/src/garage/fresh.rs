//! What was read of the store already, as long as nobody has written since: ten years of entries are read once, not for
//! every page.

use std::cell::Cell;
use std::collections::HashMap;
use std::mem::take;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use store::{ChangeId, Listed, Noted, Past, Ride, Store, StoreError, log_of};
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, Manual};
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
    sheets: Kept<Vec<store::Fact>>,
    supplies: Kept<Vec<store::Kept>>,
    manuals: Kept<Vec<Manual>>,
    /// By the name of the setting.
    settings: Kept<Option<String>>,
    /// Of all bikes, under no name.
    listed: Kept<Vec<Listed>>,
}

impl Read {
    /// What of it still stands at another revision. A reading that was noted since leaves the rides as they are.
    fn at(&mut self, store: &Store, revision: ChangeId) -> Result<Self, StoreError> {
        if revision < self.revision || !store.only_recorded_since(self.revision)? {
            return Ok(Self { revision, ..Self::default() });
        }
        let (rides, settings, listed) = (take(&mut self.rides), take(&mut self.settings), take(&mut self.listed));
        Ok(Self { revision, rides, settings, listed, ..Self::default() })
    }
}

/// As many bikes as are kept of each kind.
const BIKES: usize = 64;

/// How often it is asked whether somebody wrote.
#[derive(Debug, Clone, Copy, Default)]
enum Asking {
    /// Whenever something is read.
    #[default]
    Always,
    /// Once in a look at the record, and not yet in this one.
    Once,
    /// This look found the record here.
    Found(ChangeId),
}

/// What was read and still stands.
#[derive(Default)]
pub(super) struct Fresh {
    read: Arc<Mutex<Read>>,
    asking: Cell<Asking>,
}

impl Fresh {
    /// The same for the same record opened once more: what one of them has read, both have.
    pub(super) fn shared(&self) -> Self {
        Self { read: Arc::clone(&self.read), asking: Cell::default() }
    }

    fn held(&self) -> MutexGuard<'_, Read> {
        self.read.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Begins a look at the record: all that is read until the next one is of one state of it, and what was written
    /// meanwhile by others is seen at the next.
    pub(super) fn look(&self) {
        self.asking.set(Asking::Once);
    }

    /// Something may be written now: whether something was is asked anew.
    pub(super) fn written(&self) {
        if let Asking::Found(_) = self.asking.get() {
            self.asking.set(Asking::Once);
        }
    }

    /// The newest change, as this look found it.
    ///
    /// # Errors
    /// As [`Store::revision`].
    pub(super) fn revision(&self, store: &Store) -> Result<ChangeId, StoreError> {
        if let Asking::Found(revision) = self.asking.get() {
            return Ok(revision);
        }
        let revision = store.revision()?;
        if let Asking::Once = self.asking.get() {
            self.asking.set(Asking::Found(revision));
        }
        Ok(revision)
    }

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
    pub(super) fn sheet(&self, store: &Store, bike: &str) -> Result<Arc<Vec<store::Fact>>, StoreError> {
        self.kept(store, bike, |read| &mut read.sheets, Store::history)
    }

    /// What lies on the shelf of a bike and what of it was ordered, fact by fact.
    ///
    /// # Errors
    /// As [`Store::supplies`].
    pub(super) fn supplies(&self, store: &Store, bike: &str) -> Result<Arc<Vec<store::Kept>>, StoreError> {
        self.kept(store, bike, |read| &mut read.supplies, Store::supplies)
    }

    /// What the rider typed of a bike's manual.
    ///
    /// # Errors
    /// As [`Store::manual`].
    pub(super) fn manual(&self, store: &Store, bike: &str) -> Result<Arc<Vec<Manual>>, StoreError> {
        self.kept(store, bike, |read| &mut read.manuals, Store::manual)
    }

    /// A setting.
    ///
    /// # Errors
    /// As [`Store::setting`].
    pub(super) fn setting(&self, store: &Store, name: &str) -> Result<Arc<Option<String>>, StoreError> {
        self.kept(store, name, |read| &mut read.settings, Store::setting)
    }

    /// Every bike by name.
    ///
    /// # Errors
    /// As [`Store::bikes`].
    pub(super) fn bikes(&self, store: &Store) -> Result<Arc<Vec<Listed>>, StoreError> {
        self.kept(store, "", |read| &mut read.listed, |store, _| store.bikes())
    }

    fn kept<A>(
        &self,
        store: &Store,
        bike: &str,
        of: impl Fn(&mut Read) -> &mut Kept<A>,
        work: impl FnOnce(&Store, &str) -> Result<A, StoreError>,
    ) -> Result<Arc<A>, StoreError> {
        // Asked before anything is read: what comes in meanwhile makes this too old, never too young.
        let revision = self.revision(store)?;
        {
            let mut read = self.held();
            if read.revision != revision {
                *read = read.at(store, revision)?;
            }
            if let Some(kept) = of(&mut read).get(bike) {
                return Ok(Arc::clone(kept));
            }
        }
        let found = Arc::new(work(store, bike)?);
        let mut read = self.held();
        if read.revision == revision && of(&mut read).len() < BIKES {
            of(&mut read).insert(bike.to_owned(), Arc::clone(&found));
        }
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use store::{NewEntry, NewRide, Post};
    use upkeep::bike::Bike;
    use upkeep::record::{Fact, Meter};

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
        let other = fresh.shared();
        assert!(Arc::ptr_eq(&fresh.rides(&store, "b").expect("rides"), &other.rides(&store, "b").expect("rides")));
    }

    #[test]
    fn one_look_is_of_one_state_of_the_record_and_the_next_one_sees_what_was_written() {
        let (mut store, fresh) = (Store::memory().expect("a store"), Fresh::default());
        let post = Post::at(Timestamp::UNIX_EPOCH);
        store.put_bike(&Bike::new("b", "B", true).expect("a bike"), &post).expect("kept");
        fresh.look();
        assert!(fresh.rides(&store, "b").expect("rides").is_empty());
        let ride = |name: &str| NewRide::new(name, jiff::civil::date(2026, 1, 1));
        store.add_ride("b", &ride("r"), None, &post).expect("kept");
        assert!(fresh.rides(&store, "b").expect("rides").is_empty(), "still the same look");
        fresh.written();
        assert_eq!(fresh.rides(&store, "b").expect("rides").len(), 1, "whoever may have written asks anew");
        store.add_ride("b", &ride("s"), None, &post).expect("kept");
        fresh.look();
        assert_eq!(fresh.rides(&store, "b").expect("rides").len(), 2);
    }

    #[test]
    fn a_reading_leaves_the_rides_as_they_are_and_an_undo_does_not() {
        let (mut store, fresh) = (Store::memory().expect("a store"), Fresh::default());
        let post = Post::at(Timestamp::UNIX_EPOCH);
        store.put_bike(&Bike::new("b", "B", true).expect("a bike"), &post).expect("kept");
        let day = jiff::civil::date(2026, 1, 1);
        store.add_ride("b", &NewRide::new("r", day), None, &post).expect("kept");
        let ridden = store.revision().expect("a revision");
        let first = fresh.rides(&store, "b").expect("rides");
        let (listed, log) = (fresh.bikes(&store).expect("bikes"), fresh.log(&store, "b").expect("a log"));
        let fact = Fact::Meter(Meter::read(40.0).expect("hours"));
        let entry = NewEntry { at: day.at(18, 0, 0, 0), fact, corrects: None, note: None };
        store.note("b", &[entry], &post).expect("kept");
        assert!(Arc::ptr_eq(&first, &fresh.rides(&store, "b").expect("rides")));
        assert!(Arc::ptr_eq(&listed, &fresh.bikes(&store).expect("bikes")));
        assert_eq!((log.entries().len(), fresh.log(&store, "b").expect("a log").entries().len()), (0, 1));
        store.undo(ridden, &post).expect("undone");
        assert!(fresh.rides(&store, "b").expect("rides").is_empty());
    }
}
