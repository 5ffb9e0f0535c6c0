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
