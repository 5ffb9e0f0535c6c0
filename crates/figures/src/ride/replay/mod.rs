//! Figures of the replay: what a ride asked, and what each pair would have done on it.

mod confidence;
mod demand;
mod gears;
mod mix;
mod pairs;
mod question;
mod stretch;
mod weights;

use crate::Figure;

/// The figures of the replay.
pub(crate) const FIGURES: &[Figure] =
    &[demand::DEMAND, gears::GEARS, pairs::PAIRS, mix::MIX, stretch::STRETCH, confidence::CONFIDENCE];
