//! Figures of the domain chain.

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[];
