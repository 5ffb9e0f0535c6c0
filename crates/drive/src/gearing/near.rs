//! Pairs with the same final ratio, and pairs within a few percent of it.
//!
//! Everything is decided in whole numbers: `R1·F2 = R2·F1` for equal, a cross product against the limit's own
//! decimal digits for near. Equal ratio does not mean interchangeable: the larger pair bends the chain less, needs
//! another chain length and lies elsewhere at the swingarm pivot.

use super::pair::{Pair, PairSet};
use super::ratio::decimal;

/// No two unequal pairs of sprockets up to 150 teeth lie closer than 100/150² percent.
const CLOSEST_PCT: f64 = 0.004;

/// A pair near to the base, with its distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// The pair.
    pub pair: Pair,
    /// `(R/F ÷ base − 1) · 100`; positive is shorter.
    pub pct: f64,
}

/// The pairs of a set with the base's ratio, the base itself left out.
///
/// # Shape
/// By front, then rear.
#[must_use]
pub fn equal_pairs(base: Pair, set: &PairSet) -> Vec<Pair> {
    set.pairs().filter(|pair| *pair != base && pair.ratio() == base.ratio()).collect()
}

/// The pairs of a set whose ratio differs from the base's by at most `limit_pct`, the limit included.
///
/// # Shape
/// By the size of the percentage, then front, then rear.
#[must_use]
pub fn near_pairs(base: Pair, set: &PairSet, limit_pct: f64) -> Vec<Near> {
    let limit = if limit_pct < CLOSEST_PCT { Some((0, 1)) } else { decimal(limit_pct) };
    let Some((limit, per)) = limit else { return Vec::new() };
    let mut near: Vec<Near> = set
        .pairs()
        .filter_map(|pair| {
            let (over, under) = pair.ratio().over(base.ratio());
            let difference = over.abs_diff(under);
            let within = difference > 0 && difference * 100 * per <= limit * under;
            let sign = if over > under { 1.0 } else { -1.0 };
            within.then(|| Near { pair, pct: sign * share(difference, under) * 100.0 })
        })
        .collect();
    near.sort_by(|a, b| a.pct.abs().total_cmp(&b.pct.abs()).then(a.pair.cmp(&b.pair)));
    near
}

fn share(part: u128, whole: u128) -> f64 {
    super::ratio::real(part) / super::ratio::real(whole)
}
