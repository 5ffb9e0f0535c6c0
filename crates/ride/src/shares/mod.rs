//! A ride's speeds laid against the gears, without a replay: who is in which gear by a plain rule, how much of the
//! time lies below the slowest speed with the clutch out, how much room is left at the top.
//!
//! Does not live here: thrust, shifting, any model of the rider (the replay has those).

mod known;

pub use known::{Drive, Known, known};

use measure::Speed;

use crate::quantile::{quantile, real};
use crate::replay::MOVING_MPS;

/// What the gears of one setup do, as ground speeds.
#[derive(Debug, Clone, PartialEq)]
pub struct Gears {
    /// Speed at the lower end of the comfortable rpm in each gear, first gear first.
    pub low: Vec<Speed>,
    /// First gear at the rpm where the clutch is fully out.
    pub crawl: Speed,
    /// Top gear at the limiter.
    pub top: Speed,
}

/// Width of a speed class.
pub const CLASS: Speed = Speed::from_kmh(5.0);

/// A ride against one setup; shares are of the moving samples, in percent.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// Samples at [`MOVING_MPS`] or faster.
    pub moving: usize,
    /// Share in each gear: the highest gear whose engine turns at least at the lower end of the comfort band, else first.
    pub gear_pct: Vec<f64>,
    /// Share slower than the crawl.
    pub below_crawl_pct: f64,
    /// Share faster than top gear at the limiter.
    pub over_pct: f64,
    /// 0.1, 0.5 and 0.995 quantiles.
    pub slow_median_fast: [Speed; 3],
    /// Top at the limiter over the 0.995 quantile, less one, in percent.
    pub headroom_pct: f64,
    /// Share in each speed class, from standing still up to the fastest sample.
    pub class_pct: Vec<f64>,
}

/// Lays even samples of ground speed against the gears; `None` if nothing moves.
///
/// # Source
/// The share rule and the headroom are the tool's own (`ours`).
#[must_use]
pub fn lay(speed_mps: &[f64], gears: &Gears) -> Option<Shares> {
    let mut moving: Vec<f64> = speed_mps.iter().copied().filter(|speed| *speed >= MOVING_MPS).collect();
    let [slow, median, fast] = [0.1, 0.5, 0.995].map(|q| quantile(&mut moving, q));
    let (slow, median, fast) = (slow?, median?, fast?);
    moving.sort_unstable_by(f64::total_cmp);
    let (last, total) = (*moving.last()?, real(moving.len()));
    let pct = |count: usize| 100.0 * real(count) / total;
    let below = |limit: f64| moving.partition_point(|speed| *speed < limit);
    let top_mps = gears.top.mps();
    Some(Shares {
        moving: moving.len(),
        gear_pct: gear_shares(gears, &moving).into_iter().map(pct).collect(),
        below_crawl_pct: pct(below(gears.crawl.mps())),
        over_pct: pct(moving.len() - moving.partition_point(|speed| *speed <= top_mps)),
        slow_median_fast: [slow, median, fast].map(Speed::from_mps),
        headroom_pct: 100.0 * (top_mps / fast - 1.0),
        class_pct: class_counts(&moving, last).into_iter().map(pct).collect(),
    })
}

/// Samples in each gear. A gear's lower end may lie under a lower gear's only in an odd box; the highest still wins.
fn gear_shares(gears: &Gears, moving: &[f64]) -> Vec<usize> {
    let mut counts = vec![0; gears.low.len()];
    for speed in moving {
        let gear = gears.low.iter().rposition(|low| *speed >= low.mps()).unwrap_or(0);
        if let Some(count) = counts.get_mut(gear) {
            *count += 1;
        }
    }
    counts
}

fn class_counts(moving: &[f64], fastest: f64) -> Vec<usize> {
    let edge = |n: usize| CLASS.mps() * real(n);
    let mut counts = Vec::new();
    let mut done = 0;
    while done < moving.len() && edge(counts.len()) <= fastest {
        let upto = moving.partition_point(|speed| *speed < edge(counts.len() + 1));
        counts.push(upto - done);
        done = upto;
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gears() -> Gears {
        Gears {
            low: [2.0, 5.0, 9.0].map(Speed::from_mps).to_vec(),
            crawl: Speed::from_mps(1.5),
            top: Speed::from_mps(20.0),
        }
    }

    #[test]
    fn a_sample_belongs_to_the_highest_gear_that_keeps_its_lower_end() {
        let shares = lay(&[0.0, 1.0, 2.0, 5.0, 30.0], &gears()).expect("moves");
        assert_eq!(shares.moving, 4);
        assert_eq!(shares.gear_pct, [50.0, 25.0, 25.0]);
        assert!((shares.below_crawl_pct - 25.0).abs() < 1e-12 && (shares.over_pct - 25.0).abs() < 1e-12);
    }

    #[test]
    fn shares_and_classes_sum_to_all_of_the_moving_time() {
        let speeds: Vec<f64> = (0..500).map(|n| f64::from(n % 97) * 0.31).collect();
        let shares = lay(&speeds, &gears()).expect("moves");
        assert!((shares.gear_pct.iter().sum::<f64>() - 100.0).abs() < 1e-9);
        assert!((shares.class_pct.iter().sum::<f64>() - 100.0).abs() < 1e-9);
    }

    #[test]
    fn every_edge_belongs_to_one_side() {
        let on = lay(&[0.5, 1.5, 20.0], &gears()).expect("moves");
        assert_eq!(on.moving, 3);
        assert!((on.below_crawl_pct - 100.0 / 3.0).abs() < 1e-9, "as fast as the crawl is not below it");
        assert_eq!(on.over_pct, 0.0, "as fast as the top is not over it");
        assert!((lay(&[20.0 + 1e-9], &gears()).expect("moves").over_pct - 100.0).abs() < 1e-9);
        assert_eq!(lay(&[5.0 - 1e-9, 5.0], &gears()).expect("moves").gear_pct, [50.0, 50.0, 0.0]);
        assert!(lay(&[MOVING_MPS - 1e-9], &gears()).is_none());
    }

    #[test]
    fn classes_are_five_kilometres_an_hour_wide_from_standstill_to_the_fastest() {
        let kmh = |speed: f64| Speed::from_kmh(speed).mps();
        let shares = lay(&[3.0, 4.999, 5.001, 12.0, 24.999].map(kmh), &gears()).expect("moves");
        assert_eq!(shares.class_pct, [40.0, 20.0, 20.0, 0.0, 20.0]);
        assert_eq!(lay(&[CLASS.mps()], &gears()).expect("moves").class_pct, [0.0, 100.0], "an edge opens a class");
    }

    #[test]
    fn slow_median_fast_and_headroom_are_quantiles_of_the_moving_time() {
        let speeds: Vec<f64> = (0..=1000_u16).map(|n| f64::from(n) * 0.02).chain([0.1; 50]).collect();
        let shares = lay(&speeds, &gears()).expect("moves");
        // From 0.5 to 20 in steps of 0.02: 976 of them.
        assert_eq!(shares.moving, 976);
        let want = [0.5 + 19.5 * 0.1, 0.5 + 19.5 * 0.5, 0.5 + 19.5 * 0.995];
        assert!(shares.slow_median_fast.iter().zip(want).all(|(found, want)| (found.mps() - want).abs() < 1e-9));
        assert!((shares.headroom_pct - 100.0 * (20.0 / want[2] - 1.0)).abs() < 1e-9);
    }

    #[test]
    fn a_ride_that_never_moves_has_no_shares() {
        assert!(lay(&[0.0, 0.2], &gears()).is_none());
    }
}
