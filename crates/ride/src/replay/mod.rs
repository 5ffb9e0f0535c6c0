//! From a profile to what each pair would have done: demand, gears, cost.
//!
//! The speed trace is replayed as it was ridden, on the gearing fitted then: a taller pair cannot show that the
//! rider would have gone faster, and thrust that the rider did not have is not in the demand. Without recorded
//! engine speeds the gears are a model, not a record. Does not live here: smoothing a track (`profile`).

mod confidence;
mod demand;
mod top_speed;

pub use confidence::{Confidence, Facts, confidence};
pub use demand::{Body, Forces, Ground, Load, Moment, Resistance};
pub use top_speed::{Climb, Limit, TopSpeed, top_speed};
