//! The engine's torque curve, and what air does to it.
//!
//! Lives here: torque between the rider's own points, air density, power against the reference condition. Does not
//! live here: any engine's data.

mod air;
mod curve;

pub use air::{Air, AirFault, AirGiven, PowerLoss, power_loss};
pub use curve::{Curve, CurveFault};
