//! Figures of the domain gearing, with those of the engine and the air.

mod air;
pub(crate) mod bike;
pub(crate) mod counts;
mod engine;
mod kit;
mod matching;
mod pairs;
mod pull;
mod speeds;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[
    speeds::SPEEDS,
    pairs::EQUAL_PAIRS,
    pairs::SWAP,
    matching::MATCH,
    pull::THRUST,
    pull::TOP_SPEED,
    kit::SEASON_KIT,
    engine::TORQUE,
    air::DENSITY,
    air::POWER,
];
