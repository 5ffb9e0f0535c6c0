//! Bolted joints: thread, strength, torque and preload, adapters, order of tightening.
//!
//! What is computed here never replaces the figure of the bike's manual; [`fallback`] alone proposes one, for plain
//! steel bolts of guides and brackets. Angle tightening, gaskets and stretch bolts do not live here.

mod class;
mod extension;
mod fallback;
mod joint;
mod star;
mod thread;
mod unit;

pub use class::{PropertyClass, Strength};
pub use extension::{Adapter, setting};
pub use fallback::{Fallback, FrictionBand, fallback, hexagon_contact};
pub use joint::{
    Band, Friction, Split, Tightening, nut_factor_preload, nut_factor_preload_u_pct, nut_factor_torque,
    yield_limited_preload,
};
pub use star::{Pass, passes, star_order};
pub use thread::{Thread, ThreadFault};
pub use unit::TorqueUnit;
