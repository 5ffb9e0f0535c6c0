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

#[cfg(test)]
mod tests {
    use super::*;

    fn one(pair: [u16; 2], cost_per_km: f64, aims: [f64; 4]) -> Ranked {
        let [slip_pct, missed_pct, over_pct, shifts_per_km] = aims;
        Ranked {
            pair: Pair::of(pair[0], pair[1]).expect("teeth"),
            cost_per_km,
            gear_pct: vec![100.0],
            shifts_per_km,
            slip_pct,
            over_pct,
            missed_pct,
            top_geared_kmh: 100.0,
            headroom_pct: 10.0,
            crawl_idle_kmh: 5.0,
            crawl_slip_kmh: 8.0,
            feasible: true,
            pareto: false,
            as_good: false,
        }
    }

    #[test]
    fn five_percent_of_headroom_and_one_of_the_limiter_are_still_kept() {
        assert!(feasible(5.0, 1.0));
        assert!(!feasible(5.0 - 1e-12, 1.0) && !feasible(5.0, 1.0 + 1e-12));
    }

    #[test]
    fn what_can_be_ridden_comes_first_then_cost_then_ratio_then_front_teeth() {
        let pair = |front, rear| Pair::of(front, rear).expect("teeth");
        let in_order = [
            (true, 1.0, pair(14, 48)),
            (true, 2.0, pair(15, 45)),
            (true, 2.0, pair(12, 48)),
            (true, 2.0, pair(13, 52)),
            (true, 2.0, pair(12, 50)),
            (false, 0.5, pair(12, 48)),
            (false, 0.6, pair(12, 48)),
        ];
        for (n, a) in in_order.iter().enumerate() {
            for (m, b) in in_order.iter().enumerate() {
                assert_eq!(order(*a, *b), n.cmp(&m), "{n} {m}");
            }
        }
    }

    #[test]
    fn three_percent_dearer_is_as_good_and_only_beside_what_is_as_feasible() {
        let mut all = [one([14, 48], 10.0, [0.0; 4]), one([14, 49], 10.3, [0.0; 4]), one([14, 50], 10.301, [0.0; 4])];
        let barred = Ranked { feasible: false, ..one([14, 51], 10.0, [0.0; 4]) };
        rank(&mut all);
        assert_eq!(all.each_ref().map(|one| one.as_good), [true, true, false]);
        let mut mixed = [barred.clone(), all[0].clone()];
        rank(&mut mixed);
        assert_eq!(mixed.each_ref().map(|one| (one.feasible, one.as_good)), [(true, true), (false, false)]);
        let mut none = [barred.clone(), Ranked { cost_per_km: 10.2, ..barred }];
        rank(&mut none);
        assert!(none.iter().all(|one| one.as_good), "where none can be ridden they are measured among themselves");
    }

    #[test]
    fn what_another_beats_in_one_aim_and_loses_to_in_none_is_not_marked() {
        for aim in 0..4 {
            let mut less = [3.0; 4];
            less[aim] = 2.0;
            let mut all = [one([14, 48], 1.0, [3.0; 4]), one([14, 49], 2.0, less), one([14, 50], 3.0, [3.0; 4])];
            rank(&mut all);
            assert_eq!(all.each_ref().map(|one| one.pareto), [false, true, false], "{aim}");
            let mut more = less;
            more[(aim + 1) % 4] = 4.0;
            let mut all = [one([14, 48], 1.0, [3.0; 4]), one([14, 49], 2.0, more), one([14, 50], 3.0, [3.0; 4])];
            rank(&mut all);
            assert!(all.iter().all(|one| one.pareto), "{aim}");
        }
    }
}
