//! What to replace, and what together: chain, front and rear sprocket as one decision.
//!
//! Lives here: the set's wear by levels, the policy of least cost in the long run, what a change loses, used parts on
//! the shelf, levels known only as a range. Does not live here: one part alone (`life`), where a level comes from
//! (`wear`). House safety rules stand above all money.

mod choice;
mod game;
mod policy;
mod range;
mod set;
mod shelf;

pub use choice::Choice;
pub use policy::{Advice, SetPolicy};
pub use range::{Corner, OverRange, over_range};
pub use set::{ACTIONS, Action, Fate, Levels, Part, SetSheet};
pub use shelf::{Shelf, ShelfItem};
