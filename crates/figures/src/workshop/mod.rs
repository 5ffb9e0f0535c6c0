//! Figures of the domain workshop.

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[];
