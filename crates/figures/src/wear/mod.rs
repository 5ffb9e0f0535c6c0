//! Figures of measuring, wear, lives, replacement and service.

mod due;
mod first_day;
mod forecast;
mod group;
mod hours;
mod inside;
mod last_through;
mod lives;
mod money;
mod next_reading;
mod process;
mod protocol;
mod rates;
mod reading;
mod replace_at;
mod set_given;
mod set_policy;
mod tight_spot;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[
    reading::FIGURE,
    protocol::FIGURE,
    tight_spot::FIGURE,
    hours::FIGURE,
    forecast::FIGURE,
    rates::FIGURE,
    first_day::FIGURE,
    next_reading::FIGURE,
    last_through::FIGURE,
    lives::WEIBULL,
    lives::WEIBAYES,
    replace_at::FIGURE,
    set_policy::FIGURE,
    due::FIGURE,
    group::FIGURE,
];
