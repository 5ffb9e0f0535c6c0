//! Figures of the domain ride.

mod distance;
mod known_gears;
mod outcome;
mod profile;
pub(crate) mod replay;
mod saturation;
mod shares;
mod stops;
mod track;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[
    distance::FIGURE,
    track::FIGURE,
    profile::PROFILE,
    profile::GRADE,
    stops::FIGURE,
    saturation::FIGURE,
    shares::FIGURE,
    known_gears::FIGURE,
    outcome::FIGURE,
];
