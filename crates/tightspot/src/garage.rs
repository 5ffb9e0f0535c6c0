//! The record at hand: the store that was named, or a throw-away one with the invented bikes of the demo.

mod answers;
mod fresh;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use advice::demand::Ride;
use advice::ground;
use advice::logged::Log;
use advice::record::Record;
use advice::rides::{Rides, Weighed};
use jiff::Timestamp;
use jiff::civil::{DateTime, datetime};
use jiff::tz::TimeZone;
use ride::profile::Keep;
use store::{Post, Store, StoreError};
use upkeep::bike::{Bike, Change, Value};

use crate::args::Place;
use crate::bike_command::CHOSEN;
use crate::demo_bench;
use crate::demo_record::{self, DemoState, Line, RECORDS};
use crate::demo_shelf;
use crate::diagnosed;
use crate::folders;
use crate::problem::Problem;
use crate::recorded::{self, Recorded};

use answers::Answers;
use fresh::Fresh;

/// The invented bikes of the demo.
const DEMO_BIKES: [&str; 2] =
    [include_str!("../../../data/bikes/alder-350.toml"), include_str!("../../../data/bikes/sorrel-250.toml")];
/// The made ride of the demo, with the defects that real recordings have.
const DEMO_RIDE: &str = include_str!("../../../data/gpx/synthetic_single_track.gpx");
/// The evening on which the demo's record ends.
pub(crate) const DEMO_NOW: DateTime = datetime(2026, 9, 24, 18, 0, 0, 0);
/// What it is called; the word in brackets says that nobody rode it.
pub(crate) const DEMO_RIDE_NAME: &str = "single track (made)";

/// So many rides are named where one was not found.
const NAMED: usize = 5;

/// A store with what commands ask of it.
pub(crate) struct Garage {
    store: Store,
    fresh: Fresh,
    answers: Arc<Answers>,
}

impl Garage {
    /// Opens the store of a place.
    ///
    /// # Errors
    /// It cannot be opened, or there is no folder to put it in.
    pub(crate) fn open(place: &Place) -> Result<Self, Problem> {
        if place.demo {
            return Self::demo_in(place.demo_state);
        }
        Ok(Self::of(Store::open(place_of(place)?)?))
    }

    /// Opens the store of a place, and in it the bike that is meant.
    ///
    /// # Errors
    /// As [`Garage::open`] and [`Garage::bike`].
    pub(crate) fn with_bike(place: &Place) -> Result<(Self, Bike), Problem> {
        let garage = Self::open(place)?;
        let bike = garage.bike(place.bike.as_deref())?;
        Ok((garage, bike))
    }

    /// A throw-away store with the invented bikes and the made ride.
    ///
    /// # Errors
    /// Only if the binary itself is damaged.
    #[cfg(test)]
    pub(crate) fn demo() -> Result<Self, Problem> {
        Self::demo_in(None)
    }

    /// The same in another state than the one with the set on the bench.
    ///
    /// # Errors
    /// Only if the binary itself is damaged.
    pub(crate) fn demo_in(state: Option<DemoState>) -> Result<Self, Problem> {
        let mut store = Store::memory()?;
        let now = Timestamp::now();
        let wanted = |bike: &str| state.is_none_or(|state| state.has(bike));
        for text in DEMO_BIKES {
            let bike = Bike::from_toml(text).map_err(|faults| first_words(&faults))?;
            if wanted(&bike.id) {
                store.put_bike(&bike, &Post::at(now))?;
            }
        }
        if wanted("alder-350") {
            let recorded = Recorded::read(DEMO_RIDE).map_err(Problem::failed)?;
            let (ride, blob) = recorded.kept(DEMO_RIDE_NAME, now, Keep::Motion);
            store.add_ride("alder-350", &ride, Some(&blob), &Post::at(now))?;
            let source = Some("invented sheet, page 2".to_owned());
            let oil = Change { field: "oil_interval_h".to_owned(), value: Some(Value::Number(15.0)), source };
            store.set_field("alder-350", oil, &Post::at(now))?;
        }
        for (bike, text) in RECORDS.iter().filter(|(bike, _)| wanted(bike)) {
            let more = state.filter(|_| *bike == "alder-350").map(DemoState::more).unwrap_or_default();
            demo_log(&mut store, bike, &format!("{text}{more}"), &Post::at(now))?;
        }
        if state.is_none() {
            demo_bench::put(&mut store, &Post::at(now))?;
            demo_shelf::put(&mut store, &Post::at(now)).map_err(Problem::failed)?;
        }
        Ok(Self::of(store))
    }

    /// The same record opened once more; none where it lies in memory only, or cannot be opened again.
    pub(crate) fn again(&self) -> Option<Self> {
        let file = Some(self.store.place()).filter(|place| place.exists())?;
        Some(Self { store: Store::open(file).ok()?, fresh: self.fresh.shared(), answers: self.answers.clone() })
    }

    fn of(store: Store) -> Self {
        Self { store, fresh: Fresh::default(), answers: Arc::default() }
    }

    /// The present time by the rider's clock; in the demo the evening on which its record ends.
    pub(crate) fn clock(place: &Place) -> DateTime {
        if place.demo { DEMO_NOW } else { Timestamp::now().to_zoned_datetime(TimeZone::system()).datetime() }
    }

    /// What is recorded of a bike.
    ///
    /// # Errors
    /// It cannot be read.
    pub(crate) fn record<'a>(&self, place: &Place, bike: &'a Bike) -> Result<Record<'a>, Problem> {
        self.record_at(bike, Self::clock(place))
    }

    /// The record of a bike, looked at in a moment.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn record_at<'a>(&self, bike: &'a Bike, now: DateTime) -> Result<Record<'a>, Problem> {
        let record = Record::new(bike, &*self.log(&bike.id)?, now).with_benches(self.benches(&bike.id)?);
        Ok(record.with_kept(self.answers.clone()))
    }

    /// What is recorded of a bike and stands.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn log(&self, bike: &str) -> Result<Arc<upkeep::record::Log>, StoreError> {
        self.fresh.log(&self.store, bike)
    }

    /// Begins a look at the record: until the next one begins, or something is written here, all is read of one state of it.
    pub(crate) fn look(&self) {
        self.fresh.look();
    }

    /// The newest change of the record, as this look found it.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn revision(&self) -> Result<store::ChangeId, StoreError> {
        self.fresh.revision(&self.store)
    }

    /// Keeps no answer of a figure from now on, so that what they cost can be measured.
    pub(crate) fn forget_answers(&self) {
        self.answers.forget();
    }

    /// The rides of a bike, newest first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn rides(&self, bike: &str) -> Result<Arc<Vec<store::Ride>>, StoreError> {
        self.fresh.rides(&self.store, bike)
    }

    /// Everything that was ever written down of a bike, in the order of its times: undone and corrected too.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn noted(&self, bike: &str) -> Result<Arc<Vec<store::Noted>>, StoreError> {
        self.fresh.noted(&self.store, bike)
    }

    /// The work orders of a bike, oldest first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn benches(&self, bike: &str) -> Result<Arc<Vec<upkeep::job::bench::Bench>>, StoreError> {
        self.fresh.benches(&self.store, bike)
    }

    /// Every change that touched a bike, newest first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn past(&self, bike: &str) -> Result<Arc<Vec<store::Past>>, StoreError> {
        self.fresh.past(&self.store, bike)
    }

    /// What lies on the shelf of a bike and what of it was ordered, fact by fact.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn supplies(&self, bike: &str) -> Result<Arc<Vec<store::Kept>>, StoreError> {
        self.fresh.supplies(&self.store, bike)
    }

    /// What the rider typed of a bike's manual.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn manual(&self, bike: &str) -> Result<Arc<Vec<upkeep::job::bench::Manual>>, StoreError> {
        self.fresh.manual(&self.store, bike)
    }

    /// Every bike by name.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn bikes(&self) -> Result<Arc<Vec<store::Listed>>, StoreError> {
        self.fresh.bikes(&self.store)
    }

    /// The bike that is looked at where nobody says which: the one chosen for all, else the first one.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn looked_at(&self) -> Result<Option<Arc<Bike>>, StoreError> {
        let chosen = self.fresh.setting(&self.store, CHOSEN)?;
        if let Some(bike) = chosen.as_ref().as_ref().and_then(|id| self.sheet_of(id).ok()) {
            return Ok(Some(bike));
        }
        self.bikes()?.first().map(|first| self.sheet_of(&first.id)).transpose()
    }

    /// A bike with its sheet as it stands.
    ///
    /// # Errors
    /// No such bike, or the store cannot be read.
    pub(crate) fn sheet_of(&self, bike: &str) -> Result<Arc<Bike>, StoreError> {
        self.fresh.bike(&self.store, bike)
    }

    /// Every change of a bike's sheet, newest first.
    ///
    /// # Errors
    /// No such bike, or the store cannot be read.
    pub(crate) fn sheet_changes(&self, bike: &str) -> Result<Arc<Vec<store::Fact>>, StoreError> {
        self.fresh.sheet(&self.store, bike)
    }

    /// The store itself.
    pub(crate) const fn store(&self) -> &Store {
        &self.store
    }

    /// The store itself, to write.
    pub(crate) fn store_mut(&mut self) -> &mut Store {
        self.fresh.written();
        &mut self.store
    }

    /// The bike named, or the only one, or the one chosen, or the first of the demo.
    ///
    /// # Errors
    /// There is none, or there are several and none was named.
    pub(crate) fn bike(&self, id: Option<&str>) -> Result<Bike, Problem> {
        if let Some(id) = id {
            return Ok(self.store.bike(id)?);
        }
        let bikes = self.store.bikes()?;
        match bikes.as_slice() {
            [] => Err(Problem::failed(
                "There is no bike yet. Describe one in a file and bring it in: tightspot bike import FILE. \
                 Look around first with: tightspot --demo ready",
            )),
            [only] => Ok(self.store.bike(&only.id)?),
            several => {
                let chosen = self.store.setting(CHOSEN)?;
                if let Some(chosen) = several.iter().find(|bike| Some(&bike.id) == chosen.as_ref()) {
                    return Ok(self.store.bike(&chosen.id)?);
                }
                if let (Some(first), true) = (several.first(), several.iter().all(|bike| bike.invented)) {
                    return Ok(self.store.bike(&first.id)?);
                }
                let ids: Vec<&str> = several.iter().map(|bike| bike.id.as_str()).collect();
                Err(Problem::usage(format!(
                    "There are several bikes: {}. Name one with --bike, or choose it: tightspot bike choose ID.",
                    ids.join(", ")
                )))
            }
        }
    }

    /// A ride by its name in the store.
    ///
    /// # Errors
    /// There is none of that name, or it is kept without its track.
    pub(crate) fn stored_ride(&self, bike: &Bike, name: &str) -> Result<Ride, Problem> {
        let stored = self.rides(&bike.id)?;
        let Some(ride) = stored.iter().find(|ride| ride.about.name == name) else {
            // Only a ride with its track would answer.
            let with_track = || stored.iter().filter(|ride| ride.has_track);
            let mut names: Vec<&str> = with_track().take(NAMED).map(|ride| ride.about.name.as_str()).collect();
            if with_track().nth(NAMED).is_some() {
                names.push("… all by: tightspot ride list");
            }
            let known = if names.is_empty() { "none is stored with its track".to_owned() } else { names.join(", ") };
            return Err(Problem::usage(format!("\"{name}\" is not a stored ride ({known}).")));
        };
        let blob = self.store.ride_track(ride.id)?;
        let blob = blob.ok_or_else(|| Problem::failed(format!("The ride \"{name}\" is kept without its track.")))?;
        recorded::kept_ride(&ride.about, &blob).map_err(Problem::failed)
    }

    /// Whether a ride of that name is stored, or a file of it is there.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn knows_ride(&self, bike: &Bike, what: &str) -> Result<bool, Problem> {
        Ok(Path::new(what).exists() || self.stored(bike, what)?)
    }

    /// Whether a ride of that name is stored.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn stored(&self, bike: &Bike, name: &str) -> Result<bool, Problem> {
        Ok(self.rides(&bike.id)?.iter().any(|ride| ride.about.name == name))
    }

    /// Every stored ride that has a track, the oldest first.
    ///
    /// # Errors
    /// The store cannot be read, or a track is damaged.
    pub(crate) fn ridden(&self, bike: &Bike) -> Result<Vec<Ride>, Problem> {
        let mut rides = Vec::new();
        for ride in self.rides(&bike.id)?.iter().rev().filter(|ride| ride.has_track) {
            if let Some(blob) = self.store.ride_track(ride.id)? {
                rides.push(recorded::kept_ride(&ride.about, &blob).map_err(Problem::failed)?);
            }
        }
        Ok(rides)
    }

    /// Every stored ride that has a track, laid end to end; none where there is none.
    ///
    /// # Errors
    /// As [`Garage::ridden`].
    pub(crate) fn ridden_as_one(&self, bike: &Bike) -> Result<Option<Ride>, Problem> {
        let rides = self.ridden(bike)?;
        let all = rides.iter().map(|ride| Weighed { ride, ground: ground::USUAL, weight: 1.0, age_d: None });
        Ok(Rides { all: all.collect(), ..Rides::default() }.joined())
    }

    /// A ride by its name in the store, or by its file.
    ///
    /// # Errors
    /// There is neither, or it cannot be read.
    pub(crate) fn ride(&self, bike: &Bike, what: &str) -> Result<Ride, Problem> {
        let path = Path::new(what);
        if !path.exists() || self.stored(bike, what)? {
            return self.stored_ride(bike, what);
        }
        Ok(Self::read_ride(path)?.0)
    }

    /// A ride from its file, with what a logger recorded beside the track.
    ///
    /// # Errors
    /// The file cannot be read, or is no ride.
    pub(crate) fn read_ride(path: &Path) -> Result<(Ride, Log), Problem> {
        let what = path.display().to_string();
        let made = what.contains("synthetic");
        let told = |why: String| Problem::failed(format!("{what}: {why}."));
        let recorded = track_text(path).and_then(|text| Recorded::of_file(&what, &text)).map_err(told)?;
        let name = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or(&what);
        Ok((recorded.ride(name, made), recorded.log().clone()))
    }
}

/// A demo bike's invented record, a change each as they would come.
fn demo_log(store: &mut Store, bike: &str, text: &str, post: &Post<'_>) -> Result<(), Problem> {
    for line in demo_record::lines(text).map_err(Problem::failed)? {
        match line {
            Line::Ride(ride) => drop(store.add_ride(bike, &ride, None, post)?),
            Line::Fact(fact) => drop(store.note(bike, &[fact], post)?),
        }
    }
    Ok(())
}

/// The largest track that is read.
const TRACK_LIMIT_BYTES: u64 = 256 << 20;

/// The text of a track's file.
///
/// # Errors
/// It cannot be read, is too large, or is no text: why, without its name.
pub(crate) fn track_text(path: &Path) -> Result<String, String> {
    let about = std::fs::metadata(path).map_err(|why| why.to_string())?;
    if !about.is_file() {
        return Err("it is no file".to_owned());
    }
    if about.len() > TRACK_LIMIT_BYTES {
        return Err("it is larger than 256 MiB".to_owned());
    }
    let bytes = std::fs::read(path).map_err(|why| why.to_string())?;
    ride::track::decoded(bytes).map_err(|why| why.to_string())
}

/// The file of the store: the one named, or the store's own.
///
/// # Errors
/// There is no folder to put it in.
pub(crate) fn place_of(place: &Place) -> Result<PathBuf, Problem> {
    place.store.clone().map_or_else(own_file, Ok)
}

/// The store's own place, in the data folder.
fn own_file() -> Result<PathBuf, Problem> {
    Ok(folders::data()?.join("record.tightspot"))
}

fn first_words(faults: &[upkeep::bike::Fault]) -> Problem {
    Problem::Failed(faults.iter().map(|fault| fault.text.clone()).collect())
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NoSuchBike { .. } | StoreError::NoSuchRide { .. } => Self::usage(error.to_string()),
            _ => Self::Failed(std::iter::once(error.to_string()).chain(diagnosed::cause(&error)).collect()),
        }
    }
}
