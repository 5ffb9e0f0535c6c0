//! The few distributions that wear, lives and dates are reckoned with, and the numerics under them.
//!
//! Lives here: normal, Student, chi-square, incomplete gamma and beta, two normals together, Gauss nodes, one root
//! finder, least squares. Does not live here: anything that knows a chain, an hour or a price.

mod beta;
mod gamma;
mod nodes;
pub mod normal;
mod pair;
mod root;
mod squares;

pub use beta::{incomplete_beta, student_quantile};
pub use gamma::{chi_square_quantile, gamma_share, mean_life_factor};
pub use nodes::{HERMITE_24, LEGENDRE_64, Node};
pub use pair::both_below;
pub use root::{crossing, first_reaching};
pub use squares::least_squares;
