//! What the record says to do next: wear, replacement, jobs, torque. No I/O.

pub mod bike;
mod chance;
pub mod due;
pub mod job;
pub mod life;
pub mod money;
pub mod record;
pub mod replace;
pub mod supply;
pub mod torque;
pub mod wear;
