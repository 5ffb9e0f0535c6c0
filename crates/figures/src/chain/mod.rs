//! Figures of the domain chain: length and fit, motion and load, sizes of chain, sprocket and tyre.
//!
//! `slack.hang` stands here too: it rests on the same run between two sprockets.

mod axle;
mod elongation;
mod fit;
mod hang;
mod length;
mod load;
mod motion;
mod notice;
mod pair;
mod rating;
mod size;
mod sprocket;
mod tyre;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[
    length::LINKS,
    length::CENTRE,
    fit::FIT,
    axle::AXLE_SHIFT,
    elongation::ELONGATION,
    motion::PAIRING,
    motion::RIPPLE,
    load::PULL,
    load::STRENGTH,
    rating::RATING,
    sprocket::GEOMETRY,
    size::SIZE,
    size::MATCH,
    tyre::SIZE,
    hang::HANG,
];
