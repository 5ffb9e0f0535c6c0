//! From a profile to what each pair would have done: demand, gears, cost.
//!
//! The speed trace is replayed as it was ridden, on the gearing fitted then: a taller pair cannot show that the
//! rider would have gone faster, and thrust that the rider did not have is not in the demand. Without recorded
//! engine speeds the gears are a model, not a record. Does not live here: smoothing a track (`profile`).

mod chosen;
mod compare;
mod confidence;
mod demand;
mod gears;
mod legs;
mod machine;
mod mix;
mod rank;
mod stretch;
mod study;
mod top_speed;

pub use chosen::{Chosen, gears};
pub use compare::{Comparison, Question, Ranked, compare};
pub use confidence::{Confidence, Facts, confidence};
pub use demand::{Body, Forces, Ground, Load, Moment, Resistance};
pub use legs::{MOVING_MPS, Motion, legs, moves};
pub use machine::{Machine, Revs, Riding, Weights};
pub use mix::{Mix, MixFault, MixedRun, Ridden, mix};
pub use stretch::{OnStretch, Stretch, stretch};
pub use study::{Rated, Run, study};
pub use top_speed::{Climb, Limit, TopSpeed, top_speed};
