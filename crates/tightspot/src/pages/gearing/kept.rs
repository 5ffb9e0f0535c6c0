//! Rides laid against a bike, kept for the next look: typing another pair must not replay the ride anew.

use std::sync::Arc;

use advice::Gap;
use advice::demand::Ride;
use advice::gearing::{self, GearingView};
use store::{NewRide, RideId};
use upkeep::bike::Bike;

use super::laid::{Laid, One};
use crate::recorded;
use crate::serve::AppState;

/// A stored ride, brought for an answer.
pub(crate) struct Brought {
    /// Its number.
    pub(crate) id: RideId,
    /// The ride as the answers need it.
    pub(crate) ride: Ride,
    /// What is known of it.
    pub(crate) about: NewRide,
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
        Ok(Self { id, ride, about: stored.about })
    }
}

/// The whole answer for what is fitted, over the rides laid against it.
///
/// # Errors
/// The field that is missing or impossible.
pub(crate) fn replayed(state: &AppState, bike: &Bike, laid: &Laid) -> Result<Arc<GearingView>, Gap> {
    let one = |one: &One| (one.brought.id, one.weight, laid.half_life_d.and(one.age_d), laid.ground_of(one).word);
    let rides: Vec<_> = laid.all.iter().map(one).collect();
    let Laid { half_life_d, costs, shelf, .. } = laid;
    let asked = format!("{bike:?} over {rides:?}, {half_life_d:?}, {costs:?}, {shelf:?}");
    state.worked_out(&bike.id, asked, || gearing::over(bike, &laid.rides(), shelf))
}
