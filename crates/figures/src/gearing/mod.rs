//! Figures of the domain gearing.

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[];
