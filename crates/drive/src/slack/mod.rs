//! Swingarm, taut loop, slack, alignment, stance.
//!
//! Layout: [`frame`] the two frames · [`hull`] the tightest loop round discs · [`Layout`] one drive at an arm angle ·
//! [`Swing`] its travel and tightest place · [`free`] and [`gap`] the two kinds of slack, never mixed · [`required`]
//! what must be read · [`fitted`] countershaft and slider from readings along the travel · [`travel`] one chain through
//! the travel · [`axle`] moving the axle · [`outline`] the drawing · [`align`], [`stance`], [`clearance`], [`disturb`],
//! [`sag`] what else its place decides · [`Fault`] why there is no answer.

pub mod align;
pub mod axle;
pub mod clearance;
pub mod disturb;
mod fault;
pub mod fitted;
pub mod frame;
pub mod free;
pub mod gap;
pub mod hull;
mod layout;
pub mod outline;
pub mod required;
mod runs;
pub mod sag;
#[cfg(test)]
mod sample;
mod solve;
pub mod stance;
pub mod swing;
pub mod travel;

pub use fault::Fault;
pub use frame::Point;
pub use layout::{Layout, Run, Sheet, Slider, StraightRun, TautLoop};
pub use swing::Swing;
