//! Rides laid against a bike, kept for the next look: typing another pair must not replay the ride anew.
//!
//! An answer is kept under everything that it follows from, so it cannot grow old: another figure on the sheet or
//! another track is another question.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use advice::Gap;
use advice::cost::Costs;
use advice::demand::Ride;
use advice::gearing::{self, GearingView};
use advice::shelf::Shelf;
use store::{NewRide, RideId};
use upkeep::bike::Bike;

use super::laid::{Laid, One};
use crate::recorded;
use crate::serve::AppState;

/// How many answers are kept; the oldest gives way.
const MOST: usize = 16;

/// A stored ride, brought for an answer.
pub(crate) struct Brought {
    /// Its number.
    pub(crate) id: RideId,
    /// The ride as the answers need it.
    pub(crate) ride: Ride,
    /// What is known of it.
    pub(crate) about: NewRide,
    mark: String,
}

impl Brought {
    /// Brings a ride with its track.
    ///
    /// # Errors
    /// A sentence: it is kept without a track, or cannot be read.
    pub(crate) fn of(state: &AppState, id: RideId) -> Result<Self, String> {
        let garage = state.garage();
        let stored = garage.store().ride(id).map_err(|why| why.to_string())?;
        let track = garage.store().ride_track(id).map_err(|why| why.to_string())?;
        drop(garage);
        let track = track.ok_or_else(|| format!("The ride “{}” is kept without its track.", stored.about.name))?;
        let ride = recorded::kept_ride(&stored.about, &track)?;
        Ok(Self { id, ride, mark: store::mark(&track), about: stored.about })
    }
}

#[derive(PartialEq)]
struct Key {
    bike: Bike,
    /// What is known of each ride and the mark of its track, with weight, age and ground.
    rides: Vec<(NewRide, String, f64, Option<f64>, &'static str)>,
    half_life_d: Option<f64>,
    costs: Costs,
    shelf: Shelf,
}

static KEPT: Mutex<VecDeque<(Key, Arc<GearingView>)>> = Mutex::new(VecDeque::new());

/// The whole answer for what is fitted, over the rides laid against it.
///
/// # Errors
/// The field that is missing or impossible.
pub(crate) fn replayed(bike: &Bike, laid: &Laid) -> Result<Arc<GearingView>, Gap> {
    let marked = |one: &One| {
        let Brought { about, mark, .. } = &one.brought;
        (about.clone(), mark.clone(), one.weight, laid.half_life_d.and(one.age_d), laid.ground_of(one).word)
    };
    let key = Key {
        bike: bike.clone(),
        rides: laid.all.iter().map(marked).collect(),
        half_life_d: laid.half_life_d,
        costs: laid.costs.clone(),
        shelf: laid.shelf.clone(),
    };
    let held = || KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, view)) = held().iter().find(|(known, _)| *known == key) {
        return Ok(Arc::clone(view));
    }
    let view = Arc::new(gearing::over(bike, &laid.rides(), &laid.shelf)?);
    let mut kept = held();
    kept.truncate(MOST - 1);
    kept.push_front((key, Arc::clone(&view)));
    Ok(view)
}
