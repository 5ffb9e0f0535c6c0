//! Money: whole minor units of one currency. No floating sums, no rates, no arithmetic across currencies.

mod currency;
mod typed;

pub use currency::Currency;
pub use typed::{TypedFault, minor_units};
