//! Ratios, speeds and thrust; one pair against another, one bike against another; what to buy for a season.
//!
//! Lives here: what follows from counted teeth, the rollout and the engine's curve. Does not live here: the
//! forces along a ride and the choice of gears on it (the ride room).

mod kit;
mod matching;
mod near;
mod pair;
mod ratio;
mod speed;
mod swap;
mod thrust;

pub use kit::{Change, Kit, KitFault, MOST, Ride, Season, SeasonPlan, Triple};
pub use matching::{
    DriveLine, MatchFault, Matched, MatchedPair, Pulling, SpeedRange, ThrustMatch, match_speed, match_thrust,
};
pub use near::{Near, equal_pairs, near_pairs};
pub use pair::{Pair, PairSet};
pub use ratio::{Gearbox, GearboxFault, Ratio};
pub use speed::{Step, overlap_kmh, rpm_at, speed_kmh, step};
pub use swap::{Sense, Swap, swap};
pub use thrust::{Puller, wheel_radius_m, wheel_thrust_n};
