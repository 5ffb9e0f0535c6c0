//! Figures of the domain ride.

mod distance;
mod outcome;
mod profile;
pub(crate) mod replay;
mod saturation;
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
    outcome::FIGURE,
];
