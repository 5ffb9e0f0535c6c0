//! `tightspot gearing`: which pair for this ground, and will it fit.

use advice::{Block, fit, gearing, map};

use super::show;
use crate::args::{GearingArgs, GearingPart, Place, SetupArgs};
use crate::asked::{Door, fitted, ground as door_ground};
use crate::garage::Garage;
use crate::problem::Problem;

/// Answers the question or one part of it.
pub(super) fn run(place: &Place, args: &GearingArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    match &args.part {
        None => {
            let ride = args.ride.as_deref().map(|what| garage.ride(&bike, what)).transpose()?;
            let view = gearing::view(&bike, ride.as_ref(), door_ground(args.ground.as_deref())?)?;
            show(place, &view, &view.blocks())
        }
        Some(GearingPart::Fit(setup)) => {
            let view = fit::view(&bike, parsed(&bike, setup)?)?;
            show(place, &view, &view.blocks())
        }
        Some(GearingPart::Map(setup)) => {
            let view = map::view(&bike, parsed(&bike, setup)?)?;
            show(place, &view, &view.blocks())
        }
        Some(GearingPart::Swap(setup)) => {
            let from = fitted(&bike)?;
            let swap = gearing::swap(from, parsed(&bike, setup)?, fit::Slot::of(&bike).ok().as_ref())?;
            let words = format!("{} → {}: {}.", from.pair_words(), swap.setup.pair_words(), swap.words);
            show(place, &swap, &[Block::Text(words), Block::Text(swap.fit_words.clone())])
        }
    }
}

fn parsed(bike: &upkeep::bike::Bike, setup: &SetupArgs) -> Result<advice::Setup, Problem> {
    let mut door = Door::default();
    let parsed = door.setup(fitted(bike)?, setup.pair.as_deref(), setup.links.as_deref());
    if door.faults.is_empty() { Ok(parsed) } else { Err(door.faults.into()) }
}
