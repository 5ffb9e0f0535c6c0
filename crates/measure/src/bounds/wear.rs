//! Bounds of measuring, wear, lives and replacement figures.

use super::Bound;

/// Length over several pitches, as read.
pub const LENGTH: Bound = Bound::above("length over the counted pitches", "mm", 0.0);
/// Pitches counted between the two jaws.
pub const PITCHES: Bound = Bound::from_to("pitches measured over", "", 4.0, 200.0);
/// Chain pitch where a reading is judged.
pub const PITCH_READ: Bound = Bound::from_to("chain pitch", "mm", 5.0, 60.0);
/// Elongation at which the chain counts as worn.
pub const LIMIT: Bound = Bound::from_to("wear limit", "%", 0.1, 5.0);
/// Largest error of the instrument.
pub const INSTRUMENT_ERROR: Bound = Bound::from_to("largest error of the instrument", "mm", 0.0, 5.0);
/// Smallest step of the instrument.
pub const RESOLUTION: Bound = Bound::from_to("step of the instrument", "mm", 0.0, 5.0);
/// Scatter of repeated readings.
pub const REPEAT: Bound = Bound::above_to("scatter of repeated readings", "mm", 0.0, 5.0);
/// Degrees of freedom of a scatter.
pub const DOF: Bound = Bound::from_to("degrees of freedom", "", 1.0, 1000.0);
/// Teeth of the rear sprocket.
pub const REAR_TEETH: Bound = Bound::from_to("rear teeth", "", 10.0, 120.0);
/// Teeth of the front sprocket.
pub const FRONT_TEETH: Bound = Bound::from_to("front teeth", "", 6.0, 60.0);
/// Links of a motorcycle chain.
pub const CHAIN_LINKS: Bound = super::bike::LINKS;
/// Wanted half width of the 95 % interval.
pub const WANTED_U95: Bound = Bound::above_to("wanted uncertainty", "%", 0.0, 2.0);
/// Readings at a place, or places.
pub const READINGS: Bound = Bound::from_to("readings", "", 1.0, 20.0);
/// Places that a plan may spread over.
pub const MOST_PLACES: Bound = Bound::from_to("places", "", 3.0, 20.0);
/// Scatter of the chain from place to place.
pub const PLACE_SD: Bound = Bound::from_to("scatter from place to place", "%", 0.0, 2.0);
/// Free slack of the run.
pub const SLACK_FREE: Bound = Bound::above_to("slack", "mm", 0.0, 300.0);
/// Free run between the sprockets.
pub const SPAN: Bound = Bound::from_to("free run", "mm", 100.0, 2000.0);
/// Place along the run.
pub const STATION: Bound = Bound::from_to("place along the run", "", 0.1, 0.9);
/// Links gone by since the mark.
pub const LINKS_PASSED: Bound = Bound::from_to("links gone by", "", 0.0, 5000.0);
/// Axle range from which care or a stop holds.
pub const AXLE_RANGE: Bound = Bound::above_to("range at the axle", "mm", 0.0, 5.0);
/// Hours on a meter or on a part.
pub const HOURS: Bound = Bound::at_least("hours", "h", 0.0);
/// Hours that a bike bought used may have.
pub const HOURS_USED: Bound = Bound::from_to("hours", "h", 0.0, 5000.0);
/// Hours before or after a reading.
pub const HOURS_NEAR: Bound = Bound::from_to("hours", "h", 0.0, 1000.0);
/// Hours of one leg.
pub const HOURS_LEG: Bound = Bound::above_to("hours of a leg", "h", 0.0, 1000.0);
/// How much faster a ground wears than hard, dry ground.
pub const MULTIPLIER: Bound = Bound::above_to("wear against hard ground", "", 0.0, 20.0);
/// Elongation as read.
pub const ELONGATION_READ: Bound = Bound::from_to("elongation read", "%", -1.0, 10.0);
/// Standard uncertainty of an elongation.
pub const UNCERTAINTY: Bound = Bound::above_to("uncertainty of a reading", "%", 0.0, 2.0);
/// Uncertainty common to all readings.
pub const UNCERTAINTY_COMMON: Bound = Bound::from_to("uncertainty common to all readings", "%", 0.0, 1.0);
/// Elongation of a new chain.
pub const START: Bound = Bound::from_to("elongation when new", "%", -1.0, 3.0);
/// Standard deviation of the elongation of a new chain.
pub const START_SD: Bound = Bound::above_to("its standard deviation", "%", 0.0, 2.0);
/// Wear rate.
pub const RATE: Bound = Bound::above_to("wear rate", "%/h", 0.0, 2.0);
/// Spread of wear rates about their mean, as a share.
pub const RATE_SPREAD: Bound = Bound::above_to("spread of the rate", "", 0.0, 2.0);
/// Wander of the wear itself.
pub const SCATTER: Bound = Bound::above_to("wander of the wear", "% per root hour", 0.0, 1.0);
/// Probability inside an interval.
pub const INTERVAL: Bound = Bound::from_to("probability inside", "", 0.5, 0.99);
/// Hours below which no rate of a ground is claimed.
pub const LEAST_HOURS: Bound = Bound::at_least("least hours", "h", 0.0);
/// How wide hours left may be, high over low.
pub const MOST_RATIO: Bound = Bound::from_to("ratio of the interval's ends", "", 1.0, 100.0);
/// Width of hours left that is narrow enough.
pub const ENOUGH_HOURS: Bound = Bound::from_to("width that is enough", "h", 0.0, 1000.0);
/// A weight in a list.
pub const WEIGHT: Bound = Bound::at_least("weight", "", 0.0);
/// How sure a verdict has to be.
pub const SURE: Bound = Bound::from_to("probability", "", 0.5, 0.999);
/// How far hours of a leg may spread, as a share.
pub const SPREAD: Bound = Bound::from_to("spread of a leg", "", 0.0, 1.0);
/// A quantity that may be measured, of any kind.
pub const QUANTITY: Bound = Bound::any("value", "");
/// A standard deviation or uncertainty of any quantity.
pub const SD: Bound = Bound::above("standard deviation", "", 0.0);
/// Minutes of a job.
pub const MINUTES: Bound = Bound::above("minutes", "min", 0.0);
/// Money that may be nothing.
pub const MONEY: Bound = Bound::at_least("money in minor units", "", 0.0);
/// Money that may not be nothing.
pub const MONEY_SOME: Bound = Bound::above("money in minor units", "", 0.0);
/// Life of a part that has ended or still runs.
pub const LIFE: Bound = Bound::above("hours of a life", "h", 0.0);
/// Confidence of a bound.
pub const CONFIDENCE: Bound = Bound::from_to("confidence", "", 0.5, 0.999);
/// Share of parts that have ended by the life asked for.
pub const LIFE_FRACTION: Bound = Bound::from_to("share of lives ended", "", 0.001, 0.9);
/// Shape of a life where it is assumed.
pub const SHAPE_ASSUMED: Bound = Bound::from_to("shape of the lives", "", 0.5, 10.0);
/// Shape of a life where a change is planned.
pub const SHAPE: Bound = Bound::from_to("shape of the lives", "", 0.2, 20.0);
/// Expected life of a part of the set.
pub const PART_LIFE: Bound = Bound::above_to("expected life", "h", 0.0, 5000.0);
/// Wear level of a part; the number of levels narrows it.
pub const LEVEL: Bound = Bound::from_to("wear level", "", 0.0, 11.0);
/// Number of wear levels.
pub const LEVELS: Bound = Bound::from_to("wear levels", "", 4.0, 12.0);
/// How much a worn mate speeds up wear.
pub const COUPLING: Bound = Bound::from_to("coupling of wear", "", 0.0, 10.0);
/// Chance of being stranded.
pub const CHANCE: Bound = Bound::from_to("chance", "", 0.0, 1.0);
/// Riding hours between two looks.
pub const BLOCK: Bound = Bound::above_to("hours between two looks", "h", 0.0, 10.0);
/// Hours that a used part stays worth having on the shelf.
pub const SHELF: Bound = Bound::from_to("hours on the shelf", "h", 1.0, 5000.0);
/// What a counter has left, of either sign.
pub const LEFT: Bound = Bound::any("left on the counter", "");
/// What one ride adds to a counter.
pub const PER_RIDE: Bound = Bound::above("per ride", "", 0.0);
/// Standard deviation of what one ride adds.
pub const PER_RIDE_SD: Bound = Bound::at_least("spread per ride", "", 0.0);
/// Rides known of a counter.
pub const RIDES_KNOWN: Bound = Bound::at_least("rides known", "", 0.0);
/// Rides in the window.
pub const RIDES: Bound = Bound::from_to("rides in the window", "", 0.0, 10_000.0);
/// Days of a window, a habit or a look ahead.
pub const DAYS: Bound = Bound::above_to("days", "d", 0.0, 3660.0);
/// Rides that the habit is assumed to know before the first.
pub const PRIOR_RIDES: Bound = Bound::above_to("rides assumed", "", 0.0, 100.0);
/// Rides between two jobs.
pub const JOB_INTERVAL: Bound = Bound::from_to("interval of a job", "", 1.0, 60.0);
/// Rides since a job was done.
pub const JOB_AGE: Bound = Bound::from_to("age of a job", "", 0.0, 1000.0);
/// Rides to look ahead.
pub const HORIZON: Bound = Bound::from_to("horizon", "", 1.0, 120.0);
