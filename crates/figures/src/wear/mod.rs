//! Figures of measuring, wear, lives, replacement and service.

mod due;
mod forecast;
mod hours;
mod inside;
mod process;
mod reading;
mod tight_spot;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] =
    &[reading::FIGURE, tight_spot::FIGURE, hours::FIGURE, forecast::FIGURE, due::FIGURE];
