//! Figures of the domain slack.

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[];
