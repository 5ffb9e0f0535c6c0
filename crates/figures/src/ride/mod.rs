//! Figures of the domain ride.

mod distance;
mod outcome;
mod profile;
mod shares;
pub(crate) mod replay;
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
    outcome::FIGURE,
    shares::FIGURE,
];
