//! Which candidate comes before which: feasible first, then the least cost.

use std::cmp::Ordering;

use drive::gearing::Pair;

use super::compare::Ranked;

/// A pair must keep this much speed above the fastest the ride saw, percent.
const HEADROOM_PCT: f64 = 5.0;
/// It may be beyond the limiter for at most this share of the time, percent.
const OVER_PCT: f64 = 1.0;
/// Pairs within this factor of the best cost are as good.
pub(super) const AS_GOOD: f64 = 1.03;

/// Whether headroom and limiter are kept.
pub(super) fn feasible(headroom_pct: f64, over_pct: f64) -> bool {
    headroom_pct >= HEADROOM_PCT && over_pct <= OVER_PCT
}

/// The order of rank: feasible first, then cost, ratio, front teeth.
pub(super) fn order(a: (bool, f64, Pair), b: (bool, f64, Pair)) -> Ordering {
    (b.0.cmp(&a.0)).then(a.1.total_cmp(&b.1)).then(a.2.ratio().cmp(&b.2.ratio())).then(a.2.front.cmp(&b.2.front))
}

/// Puts candidates in order of rank and marks what is as good and what nothing beats.
pub(super) fn rank(ranked: &mut [Ranked]) {
    let aims = |one: &Ranked| [one.slip_pct, one.missed_pct, one.over_pct, one.shifts_per_km];
    let all: Vec<[f64; 4]> = ranked.iter().map(aims).collect();
    for one in ranked.iter_mut() {
        let own = aims(one);
        one.pareto = !all.iter().any(|other| {
            let pairs = || other.iter().zip(&own);
            pairs().all(|(other, own)| other <= own) && pairs().any(|(other, own)| other < own)
        });
    }
    ranked.sort_by(|a, b| order((a.feasible, a.cost_per_km, a.pair), (b.feasible, b.cost_per_km, b.pair)));
    let Some((feasible, cost)) = ranked.first().map(|best| (best.feasible, best.cost_per_km)) else { return };
    for one in ranked {
        one.as_good = one.feasible == feasible && one.cost_per_km <= AS_GOOD * cost;
    }
}
