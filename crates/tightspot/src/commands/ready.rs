//! `tightspot ready`: the whole answer in one go.

use advice::decision;

use super::show;
use crate::args::{Place, ReadyArgs};
use crate::asked::{Door, fitted, ground as door_ground};
use crate::garage::Garage;
use crate::problem::Problem;

/// Answers: can I ride, with which pair, will it fit, how much slack, what do I do.
pub(super) fn run(place: &Place, args: &ReadyArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let mut door = Door::of_command();
    let wanted = args.setup.pair.is_some() || args.setup.links.is_some();
    let setup = door.setup(fitted(&bike)?, args.setup.pair.as_deref(), args.setup.links.as_deref());
    let read = door.read(args.slack.as_deref(), None, None);
    if !door.faults.is_empty() {
        return Err(door.faults.into());
    }
    let ride = args.ride.as_deref().map(|what| garage.ride(&bike, what)).transpose()?;
    let view =
        decision::view(&bike, wanted.then_some(setup), ride.as_ref(), door_ground(args.ground.as_deref())?, read)?;
    show(place, &view, &view.blocks())
}
