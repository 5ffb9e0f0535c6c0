//! Bounds of what is written down about a bike: hours, readings, parts, work.

use super::{Bound, bike, wear};

/// Hours on a meter.
pub const METER: Bound = Bound::from_to("hours on the meter", "h", 0.0, 100_000.0);
/// Hours of one ride.
pub const RIDE: Bound = Bound::above_to("hours ridden", "h", 0.0, 100.0);
/// Slack at one place of the chain; a taut one reads 0.
pub const SLACK: Bound = Bound::from_to("slack", "mm", 0.0, 300.0);
/// Links gone by since the mark.
pub const LINKS_PASSED: Bound = wear::LINKS_PASSED;
/// Place along the lower run, from the front.
pub const STATION: Bound = wear::STATION;
/// Pitches between the jaws.
pub const PITCHES: Bound = wear::PITCHES;
/// Length over the pitches, as read.
pub const LENGTH: Bound = Bound::above_to("length over the counted pitches", "mm", 0.0, 10_000.0);
/// Largest error of the instrument.
pub const INSTRUMENT_ERROR: Bound = wear::INSTRUMENT_ERROR;
/// Smallest step of the instrument.
pub const RESOLUTION: Bound = wear::RESOLUTION;
/// Axle place on one side.
pub const SIDE: Bound = Bound::from_to("axle place on one side", "mm", 0.0, 2000.0);
/// Teeth or links of a part.
pub const COUNT: Bound = Bound::from_to("teeth or links", "", 1.0, 250.0);
/// Hours that a part had when it was fitted.
pub const USED: Bound = Bound::from_to("hours it had when fitted", "h", 0.0, 5000.0);
/// A price in minor units.
pub const PRICE: Bound = Bound::from_to("price in minor units", "", 0.0, 1e9);
/// A torque that was set.
pub const TORQUE: Bound = bike::TORQUE;
/// Days until something can be there.
pub const LEAD: Bound = Bound::from_to("days until it is there", "d", 0.0, 365.0);
/// How many of a part or consumable.
pub const PIECES: Bound = Bound::from_to("pieces", "", 0.0, 1000.0);
/// The rider's own guess that a stop point brings something.
pub const GUESS: Bound = Bound::from_to("your own guess of the chance", "%", 0.0, 100.0);
