//! Figures of the domain chain: length and fit, motion and load, sizes of chain, sprocket and tyre.

mod fit;
mod length;
mod notice;
mod pair;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[length::LINKS, length::CENTRE, fit::FIT];
