//! `tightspot drive`: is the chain right.

use advice::slack;

use super::show;
use crate::args::{DriveArgs, DrivePart, Place};
use crate::asked::{Door, fitted};
use crate::garage::Garage;
use crate::problem::Problem;

/// Answers one part of the question.
pub(super) fn run(place: &Place, args: &DriveArgs) -> Result<(), Problem> {
    let DrivePart::Slack(args) = &args.part;
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let mut door = Door::of_command();
    let setup = door.setup(fitted(&bike)?, args.setup.pair.as_deref(), args.setup.links.as_deref());
    let read = door.read(args.reading.as_deref(), args.left.as_deref(), args.right.as_deref());
    if !door.faults.is_empty() {
        return Err(door.faults.into());
    }
    let view = slack::view(&bike, setup, read)?;
    show(place, &view, &view.blocks())
}
