//! Swingarm, taut loop, slack, alignment, stance.
//!
//! Layout: `frame` the two frames · `hull` the tightest loop round discs · [`Layout`] one drive at an arm angle ·
//! [`Swing`] its travel · [`tightest`] its tightest place · [`free`] and [`gap`] the two kinds of slack, never mixed · [`required`]
//! what must be read · [`fitted`] countershaft and slider from readings along the travel · [`travel`] one chain through
//! the travel · [`axle`] moving the axle · [`adjuster`] turns and rounds · [`outline`] the drawing · [`align`], [`stance`], [`clearance`], [`disturb`],
//! [`sag`] what else its place decides · [`Fault`] why there is no answer.

pub mod adjuster;
pub mod align;
pub mod axle;
pub mod clearance;
pub mod disturb;
mod fault;
pub mod fitted;
mod frame;
pub mod free;
pub mod gap;
mod hull;
mod layout;
pub mod outline;
pub mod required;
mod runs;
pub mod sag;
#[cfg(test)]
mod sample;
pub mod stance;
pub mod swing;
pub mod tightest;
pub mod travel;

pub use fault::Fault;
pub use frame::Point;
pub use layout::{Layout, Run, Sheet, Slider, StraightRun, TautLoop};
pub use swing::Swing;
