//! The chain on its two sprockets: length, fit, slack of a free run, motion, load, sizes. No I/O.
//!
//! Layout: [`Pair`] length and centre · [`Stops`], [`Fit`] what an axle slot takes · [`fit_map`] all pairs at once ·
//! [`sweep`] what rigid links add · [`hang`], [`slack_centre`] the free run.
//! Does not live here: swingarm travel, guides, the angle of a slot.

mod fit;
mod map;
mod pair;
mod run;
mod sweep;

pub use fit::{Fit, Margins, Stops, cut_to};
pub use map::{FitMap, MapCell, MapRange, Reach, fit_map};
pub use pair::{Pair, pitch_radius};
pub use run::{Hang, hang, mid_travel, slack_centre, surplus_of_travel};
pub use sweep::{Sweep, sweep};
