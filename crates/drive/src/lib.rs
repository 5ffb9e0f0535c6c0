//! The final drive as geometry and steel: lengths, fit, slack, strength, gearing; the root finder. No I/O.

pub mod chain;
pub mod engine;
pub mod gearing;
pub mod slack;
pub mod solve;
