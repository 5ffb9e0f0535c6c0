//! The few distributions that wear, lives and dates are reckoned with, and the numerics under them.
//!
//! Lives here: normal, Student, chi-square, incomplete gamma and beta, two normals together, Gauss nodes, least
//! squares. Does not live here: anything that knows a chain, an hour or a price.

mod beta;
mod gamma;
mod nodes;
pub(crate) mod normal;
mod pair;
mod squares;

pub(crate) use beta::{incomplete_beta, student_quantile};
pub(crate) use gamma::{chi_square_quantile, gamma_share, mean_life_factor};
pub(crate) use nodes::{HERMITE_24, LEGENDRE_64};
pub(crate) use pair::both_below;
pub(crate) use squares::least_squares;
