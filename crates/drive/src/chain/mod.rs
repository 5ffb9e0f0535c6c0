//! The chain on its two sprockets: length, fit, slack of a free run, motion, load, sizes. No I/O.
//!
//! Layout: [`Sprockets`] length and centre · [`Stops`], [`Fit`] what an axle slot takes · [`sweep`] what rigid links add · [`hang`], [`slack_centre`] the free run · [`elongation`] · [`motion`] · [`load`] ·
//! [`rating`] · [`sprocket`] · [`size`] · [`tyre`].
//! Does not live here: swingarm travel, guides, the angle of a slot.

pub mod elongation;
mod fit;
pub mod load;
pub mod motion;
mod pair;
pub mod rating;
mod run;
pub mod size;
pub mod sprocket;
mod sweep;
pub mod tyre;

pub use fit::{Fit, Margins, Stops};
pub use pair::{Sprockets, pitch_radius};
pub use run::{Hang, hang, slack_centre, surplus_of_travel};
pub use sweep::{Sweep, sweep};
