//! Figures of the domain slack: swingarm, taut loop, slack, alignment, stance. One file a figure.

mod alignment;
mod axle_move;
mod axle_place;
mod calibrated;
mod clearance;
mod distance;
mod fields;
mod fitted;
mod free;
mod geometry;
mod lift_gap;
mod outline;
mod packing;
mod required;
mod runout;
mod sag;
mod stance;
mod taut_loop;
mod travel;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[
    distance::FIGURE,
    taut_loop::FIGURE,
    free::FIGURE,
    lift_gap::FIGURE,
    required::FIGURE,
    calibrated::FIGURE,
    fitted::FIGURE,
    axle_place::FIGURE,
    axle_move::FIGURE,
    alignment::FIGURE,
    stance::FIGURE,
    clearance::FIGURE,
    runout::FIGURE,
    packing::FIGURE,
    sag::FIGURE,
    travel::FIGURE,
    outline::FIGURE,
];
