//! Figures of the domain slack: swingarm, taut loop, slack, alignment, stance. One file a figure.

mod axle_move;
mod axle_place;
mod fields;
mod free;
mod geometry;
mod required;
mod taut_loop;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] =
    &[taut_loop::FIGURE, free::FIGURE, required::FIGURE, axle_place::FIGURE, axle_move::FIGURE];
