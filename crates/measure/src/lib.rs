//! A number knows its unit, its bounds and where it came from.
//!
//! Lives here: quantities, counts, the one table of bounds, exact unit factors, typed entry, the units that
//! a person reads in, standings and sources.
//! Does not live here: any formula. This room knows no file, clock, network or randomness.

pub mod bounds;
mod count;
pub mod entry;
pub mod exact;
mod quantity;
pub mod shown;
mod standing;

pub use bounds::{Bound, Edge};
pub use count::{Links, Teeth};
pub use quantity::{Angle, Elongation, Force, Length, Mass, Power, Speed, Torque};
pub use standing::{Source, Standing, source};
