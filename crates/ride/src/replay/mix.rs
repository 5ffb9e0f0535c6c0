//! Several rides as one: what each pair would have done on all of them, each ride counted as often as it is weighed.
//!
//! ```text
//! per kilometre:  Σ w d x / Σ w d         cost, gear steps
//! per time:       Σ w t x / Σ w t         gears, clutch slip, limiter, grip
//! missing thrust: Σ w t F x / Σ w t F     F = thrust asked for on average
//! headroom:       the least of the rides: the fastest one decides
//! ```
//! A ride of weight 2 counts as if it had been ridden twice; of weight 0 not at all. Sums are taken in the order of
//! their terms' size, so that nothing depends on the order in which rides or pairs are given.

use drive::gearing::Pair;

use super::compare::{Comparison, Ranked};
use super::rank::{AS_GOOD, feasible, order, rank};
use super::study::Rated;

/// One ride, replayed on every candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct Ridden {
    /// How often it counts, 0 or more.
    pub weight: f64,
    /// Its replay; every ride has the same pairs.
    pub replay: Comparison,
    /// The candidates in each run with the doubts moved; empty without such a study.
    pub runs: Vec<Vec<Rated>>,
}

/// Rides put together.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// The candidates on all rides, best first; time and distance are the plain sums of the rides that count.
    pub replay: Comparison,
    /// Share of each ride in the weighed distance, percent, in the order given.
    pub share_pct: Vec<f64>,
    /// The ride that leaves the least headroom, counted from 0.
    pub fastest: usize,
    /// The runs with the doubts moved, if every ride has them.
    pub runs: Vec<MixedRun>,
}

/// One run with the doubts moved, over all rides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixedRun {
    /// The best pair of the run.
    pub best: Pair,
    /// Its cost per kilometre in the run.
    pub cost_per_km: f64,
    /// Whether its nominal cost lies within 3 % of the nominal best.
    pub in_band: bool,
}

/// Why rides cannot be put together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MixFault {
    /// No ride counts.
    NoWeight,
    /// A ride, from 0, has other pairs, gears or speeds at the limiter than the first.
    Unlike(usize),
    /// A ride, from 0, has another count of runs than the first, or other pairs in them.
    Runs(usize),
}

/// Puts rides together.
///
/// # Errors
/// Rides that were not replayed alike, or none that counts.
///
/// # Source
/// `replay-mix`: derived here, a ride of weight n is the same ride n times over; the headroom rule is the tool's own.
pub fn mix(rides: &[Ridden]) -> Result<Mix, MixFault> {
    let counted: Vec<&Ridden> = rides.iter().filter(|ride| ride.weight > 0.0).collect();
    let first = *counted.first().ok_or(MixFault::NoWeight)?;
    alike(rides)?;
    let share = Shares::of(&counted);
    let mut ranked: Vec<Ranked> = first.replay.ranked.iter().map(|one| together(&counted, &share, one)).collect();
    rank(&mut ranked);
    let runs = runs(&counted, &share, &ranked);
    let all_m = sum(rides.iter().map(|ride| ride.weight * ride.replay.distance_m));
    Ok(Mix {
        share_pct: rides.iter().map(|ride| 100.0 * ride.weight * ride.replay.distance_m / all_m).collect(),
        fastest: fastest(rides),
        runs,
        replay: Comparison {
            ranked,
            moving_s: sum(counted.iter().map(|ride| ride.replay.moving_s)),
            distance_m: sum(counted.iter().map(|ride| ride.replay.distance_m)),
            grip_limited_pct: share.time(|at| counted[at].replay.grip_limited_pct),
            asked_mean_n: share.time(|at| counted[at].replay.asked_mean_n),
        },
    })
}

/// The sum of terms in the order of their size.
fn sum(terms: impl Iterator<Item = f64>) -> f64 {
    let mut terms: Vec<f64> = terms.collect();
    terms.sort_unstable_by(f64::total_cmp);
    terms.iter().sum()
}

/// What part each ride has of the distance, the time and the thrust asked for.
struct Shares {
    distance: Vec<f64>,
    time: Vec<f64>,
    asked: Vec<f64>,
}

impl Shares {
    fn of(rides: &[&Ridden]) -> Self {
        let parts = |amount: &dyn Fn(&Comparison) -> f64| -> Vec<f64> {
            let amounts: Vec<f64> = rides.iter().map(|ride| ride.weight * amount(&ride.replay)).collect();
            let all = sum(amounts.iter().copied());
            amounts.iter().map(|amount| if all > 0.0 { amount / all } else { 0.0 }).collect()
        };
        Self {
            distance: parts(&|replay| replay.distance_m),
            time: parts(&|replay| replay.moving_s),
            asked: parts(&|replay| replay.moving_s * replay.asked_mean_n),
        }
    }

    fn time(&self, value: impl Fn(usize) -> f64) -> f64 {
        mean(&self.time, value)
    }
}

fn mean(shares: &[f64], value: impl Fn(usize) -> f64) -> f64 {
    sum(shares.iter().enumerate().map(|(at, share)| share * value(at)))
}

/// The same pair in another ride's replay.
fn same(ride: &Ridden, pair: Pair) -> Option<&Ranked> {
    ride.replay.ranked.iter().find(|one| one.pair == pair)
}

fn alike(rides: &[Ridden]) -> Result<(), MixFault> {
    let Some(first) = rides.first() else { return Err(MixFault::NoWeight) };
    for (at, ride) in rides.iter().enumerate() {
        let like = |one: &Ranked| {
            same(ride, one.pair).is_some_and(|other| {
                other.gear_pct.len() == one.gear_pct.len()
                    && (other.top_geared_kmh - one.top_geared_kmh).abs() <= 1e-9 * one.top_geared_kmh
            })
        };
        let ranked = &first.replay.ranked;
        if ranked.len() != ride.replay.ranked.len() || !ranked.iter().all(like) {
            return Err(MixFault::Unlike(at));
        }
        let complete = |run: &Vec<Rated>| {
            run.len() == ranked.len() && ranked.iter().all(|one| run.iter().any(|rated| rated.pair == one.pair))
        };
        if ride.runs.len() != first.runs.len() || !ride.runs.iter().all(complete) {
            return Err(MixFault::Runs(at));
        }
    }
    Ok(())
}

/// One pair on all rides.
fn together(rides: &[&Ridden], share: &Shares, one: &Ranked) -> Ranked {
    let each: Vec<&Ranked> = rides.iter().filter_map(|ride| same(ride, one.pair)).collect();
    let headroom_pct = each.iter().map(|ranked| ranked.headroom_pct).fold(f64::INFINITY, f64::min);
    let over_pct = share.time(|at| each[at].over_pct);
    Ranked {
        pair: one.pair,
        cost_per_km: mean(&share.distance, |at| each[at].cost_per_km),
        gear_pct: (0..one.gear_pct.len()).map(|gear| share.time(|at| each[at].gear_pct[gear])).collect(),
        shifts_per_km: mean(&share.distance, |at| each[at].shifts_per_km),
        slip_pct: share.time(|at| each[at].slip_pct),
        over_pct,
        missed_pct: mean(&share.asked, |at| each[at].missed_pct),
        top_geared_kmh: one.top_geared_kmh,
        headroom_pct,
        crawl_idle_kmh: one.crawl_idle_kmh,
        crawl_slip_kmh: one.crawl_slip_kmh,
        feasible: feasible(headroom_pct, over_pct),
        pareto: true,
        as_good: false,
    }
}

/// The ride that leaves the least headroom; it is the same one for every pair.
fn fastest(rides: &[Ridden]) -> usize {
    let headroom = |ride: &Ridden| ride.replay.ranked.iter().map(|one| one.headroom_pct).fold(f64::INFINITY, f64::min);
    let counted = rides.iter().enumerate().filter(|(_, ride)| ride.weight > 0.0);
    counted.min_by(|(_, a), (_, b)| headroom(a).total_cmp(&headroom(b))).map_or(0, |(at, _)| at)
}

fn runs(rides: &[&Ridden], share: &Shares, nominal: &[Ranked]) -> Vec<MixedRun> {
    let count = rides.iter().map(|ride| ride.runs.len()).min().unwrap_or(0);
    let best_cost = nominal.first().map_or(0.0, |best| best.cost_per_km);
    let rated = |run: usize, pair: Pair| -> Option<(bool, f64, Pair)> {
        let each: Vec<&Rated> =
            rides.iter().filter_map(|ride| ride.runs.get(run)?.iter().find(|rated| rated.pair == pair)).collect();
        let headroom_pct = each.iter().map(|one| one.headroom_pct).fold(f64::INFINITY, f64::min);
        let complete = each.len() == rides.len();
        complete.then(|| {
            let over_pct = share.time(|at| each[at].over_pct);
            (feasible(headroom_pct, over_pct), mean(&share.distance, |at| each[at].cost_per_km), pair)
        })
    };
    (0..count)
        .filter_map(|run| {
            let all = nominal.iter().filter_map(|one| rated(run, one.pair));
            let (_, cost_per_km, best) = all.min_by(|a, b| order(*a, *b))?;
            let cost = nominal.iter().find(|one| one.pair == best)?.cost_per_km;
            Some(MixedRun { best, cost_per_km, in_band: cost <= AS_GOOD * best_cost })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(rear: u16) -> Pair {
        Pair::of(14, rear).expect("teeth")
    }

    /// A candidate whose every figure follows from one number.
    fn ranked(rear: u16, by: f64) -> Ranked {
        Ranked {
            pair: pair(rear),
            cost_per_km: by,
            gear_pct: vec![10.0 * by, 100.0 - 10.0 * by],
            shifts_per_km: 2.0 * by,
            slip_pct: 3.0 * by,
            over_pct: 0.1 * by,
            missed_pct: 0.5 * by,
            top_geared_kmh: 120.0,
            headroom_pct: 20.0 - by,
            crawl_idle_kmh: 4.0,
            crawl_slip_kmh: 7.0,
            feasible: true,
            pareto: false,
            as_good: false,
        }
    }

    fn ridden(weight: f64, [moving_s, distance_m, asked_mean_n]: [f64; 3], by: f64) -> Ridden {
        let replay = Comparison {
            ranked: vec![ranked(48, by), ranked(50, by + 1.0)],
            moving_s,
            distance_m,
            grip_limited_pct: by,
            asked_mean_n,
        };
        let rated = |rear, by| Rated { pair: pair(rear), cost_per_km: by, over_pct: 0.1 * by, headroom_pct: 20.0 - by };
        Ridden {
            weight,
            replay,
            runs: vec![vec![rated(48, by), rated(50, by + 1.0)], vec![rated(50, by), rated(48, by + 1.0)]],
        }
    }

    fn two() -> [Ridden; 2] {
        [ridden(2.0, [100.0, 1000.0, 300.0], 1.0), ridden(1.0, [300.0, 6000.0, 100.0], 4.0)]
    }

    fn near(one: f64, other: f64) {
        assert!((one - other).abs() < 1e-9 * (1.0 + other.abs()), "{one} for {other}");
    }

    #[test]
    fn each_figure_is_a_mean_by_distance_time_or_thrust() {
        let mixed = mix(&two()).expect("alike");
        // Weighed distances 2000 and 6000, times 200 and 300, thrust times time 60 000 and 30 000.
        let by = |a: f64, b: f64| (a + 4.0 * b) / (a + b);
        let (distance, time, asked) = (by(2.0, 6.0), by(2.0, 3.0), by(6.0, 3.0));
        let best = &mixed.replay.ranked[0];
        assert_eq!(best.pair, pair(48));
        near(best.cost_per_km, distance);
        near(best.shifts_per_km, 2.0 * distance);
        near(best.gear_pct[0], 10.0 * time);
        near(best.gear_pct[1], 100.0 - 10.0 * time);
        near(best.slip_pct, 3.0 * time);
        near(best.over_pct, 0.1 * time);
        near(best.missed_pct, 0.5 * asked);
        near(best.headroom_pct, 16.0);
        assert_eq!((best.top_geared_kmh, best.crawl_idle_kmh, best.crawl_slip_kmh), (120.0, 4.0, 7.0));
        assert!(best.feasible && best.pareto && best.as_good);
        near(mixed.replay.grip_limited_pct, time);
        near(mixed.replay.asked_mean_n, (300.0 * 2.0 + 100.0 * 3.0) / 5.0);
        assert_eq!((mixed.replay.moving_s, mixed.replay.distance_m, mixed.fastest), (400.0, 7000.0, 1));
        near(mixed.share_pct[0], 25.0);
        near(mixed.share_pct[1], 75.0);
        assert_eq!(mixed.runs.len(), 2);
        assert_eq!((mixed.runs[0].best, mixed.runs[1].best), (pair(48), pair(50)));
        near(mixed.runs[0].cost_per_km, distance);
        near(mixed.runs[1].cost_per_km, distance);
        assert_eq!((mixed.runs[0].in_band, mixed.runs[1].in_band), (true, false));
    }

    #[test]
    fn a_ride_of_weight_nothing_changes_nothing_but_has_no_share() {
        let [one, other] = two();
        let alone = mix(std::slice::from_ref(&one)).expect("alike");
        let with = mix(&[Ridden { weight: 0.0, ..other.clone() }, one.clone()]).expect("alike");
        assert_eq!((&with.replay, &with.runs), (&alone.replay, &alone.runs));
        assert_eq!((with.share_pct, with.fastest), (vec![0.0, 100.0], 1));
        assert_eq!(mix(&[Ridden { weight: 0.0, ..one }, Ridden { weight: 0.0, ..other }]), Err(MixFault::NoWeight));
        assert_eq!(mix(&[]), Err(MixFault::NoWeight));
    }

    #[test]
    fn rides_that_asked_for_no_thrust_missed_none() {
        let coasting = ridden(1.0, [100.0, 1000.0, 0.0], 1.0);
        let mixed = mix(&[coasting.clone(), coasting]).expect("alike");
        assert_eq!((mixed.replay.ranked[0].missed_pct, mixed.replay.asked_mean_n), (0.0, 0.0));
    }

    #[test]
    fn rides_replayed_otherwise_are_named() {
        let [one, other] = two();
        let unlike = |change: &dyn Fn(&mut Ridden)| {
            let mut changed = other.clone();
            change(&mut changed);
            mix(&[one.clone(), changed]).map(|_| ())
        };
        assert_eq!(unlike(&|_| ()), Ok(()));
        let top = |factor: f64| unlike(&|ride: &mut Ridden| ride.replay.ranked[1].top_geared_kmh *= factor);
        assert_eq!((top(1.0 + 9e-10), top(1.0 - 9e-10)), (Ok(()), Ok(())));
        assert_eq!((top(1.0 + 2e-9), top(1.0 - 2e-9)), (Err(MixFault::Unlike(1)), Err(MixFault::Unlike(1))));
        assert_eq!(unlike(&|ride| ride.replay.ranked[0].gear_pct = vec![100.0]), Err(MixFault::Unlike(1)));
        assert_eq!(unlike(&|ride| ride.replay.ranked[0].pair = pair(47)), Err(MixFault::Unlike(1)));
        assert_eq!(unlike(&|ride| ride.replay.ranked.push(ranked(52, 1.0))), Err(MixFault::Unlike(1)));
        assert_eq!(unlike(&|ride| ride.runs.truncate(1)), Err(MixFault::Runs(1)));
        assert_eq!(unlike(&|ride| ride.runs[0].truncate(1)), Err(MixFault::Runs(1)));
        assert_eq!(unlike(&|ride| ride.runs[1][0].pair = pair(47)), Err(MixFault::Runs(1)));
        assert_eq!(
            unlike(&|ride| {
                let again = ride.runs[0][0];
                ride.runs[0].push(again);
            }),
            Err(MixFault::Runs(1))
        );
    }

    #[test]
    fn a_run_keeps_to_what_can_be_ridden_and_to_three_percent() {
        let mut ride = ridden(1.0, [100.0, 1000.0, 300.0], 1.0);
        ride.replay.ranked[1].cost_per_km = 1.03;
        ride.runs[1][0].over_pct = 1.5;
        let runs = |ride: &Ridden| mix(std::slice::from_ref(ride)).expect("alike").runs;
        assert_eq!(runs(&ride)[1].best, pair(48), "the cheaper one runs into the limiter");
        ride.runs[1][0].over_pct = 1.0;
        assert_eq!((runs(&ride)[1].best, runs(&ride)[1].in_band), (pair(50), true));
        ride.replay.ranked[1].cost_per_km = 1.0301;
        assert!(!runs(&ride)[1].in_band);
        ride.runs[1][0].headroom_pct = 4.9;
        assert_eq!(runs(&ride)[1].best, pair(48));
    }
}
