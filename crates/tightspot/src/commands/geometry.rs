//! `tightspot drive geometry`: where the countershaft lies, told by readings of slack along the travel.

use advice::geometry;
use clap::Args as ClapArgs;
use jiff::Timestamp;
use store::Post;

use super::show;
use super::written::Written;
use crate::along;
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::problem::Problem;

/// Readings along the travel.
#[derive(Debug, Clone, ClapArgs)]
#[command(
    after_help = "Example:\n  tightspot --demo drive geometry --at 0=88,8 --at 50=69,5 --at 100=52 --at 150=41,3 --at 200=45,1 --at 240=55,9\n\n\
                  Read slack at mid lower run with the wheel held at some travel, axle untouched, at six places from full\n\
                  extension to compression. Engine off, neutral; hands off the chain while the wheel turns."
)]
pub(crate) struct GeometryArgs {
    /// A reading: wheel travel from full extension, and the slack there; repeat it.
    #[arg(long = "at", value_name = "TRAVEL=SLACK", required = true)]
    at: Vec<String>,
    /// Have the readings tell the slider's radius, too, as far as they can.
    #[arg(long)]
    slider: bool,
    /// Put what is told on the bike sheet, with its source; it can be taken back.
    #[arg(long)]
    keep: bool,
}

/// Says what the readings tell; keeps it if asked.
pub(super) fn run(place: &Place, args: &GeometryArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let readings = along::options(&mut door, &args.at);
    door.closed()?;
    let view = geometry::view(&bike, &along::asked(readings, args.slider), Garage::clock(place).date())?;
    if !args.keep {
        return show(place, &view, &view.blocks());
    }
    let done = garage.store_mut().set_fields(&bike.id, &view.changes(), &Post::at(Timestamp::now()))?;
    match done.change {
        Some(change) => Written { change, answer: &view, next: "tightspot drive slack" }.show(place, &view.blocks()),
        None => Err(Problem::failed("Nothing changes: the sheet says so already.")),
    }
}
