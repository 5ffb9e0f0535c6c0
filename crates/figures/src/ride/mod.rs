//! Figures of the domain ride.

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[];
