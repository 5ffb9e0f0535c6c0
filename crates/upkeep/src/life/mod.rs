//! Lives of parts of one kind: how long they last, from lives that have ended and lives that still run.
//!
//! Lives here: Weibull fits and bounds, the best age for a planned change. Does not live here: wear of one chain
//! (`wear`), the chain and its sprockets as one decision (`replace`).

mod age;
mod lives;
mod weibayes;
mod weibull;

pub use age::{AgePolicy, PlannedChange, replace_at};
pub use lives::Lives;
pub use weibayes::{Weibayes, weibayes};
pub use weibull::{Bounds, NoFit, Weibull, WeibullFit, fit};
