//! Gears that are known, not modelled: a logger's engine speed over its ground speed tells the ratio that was in.
//!
//! ```text
//! i = n · U · (1 − s)/(60 v)      the gear whose total ratio lies nearest in ln i, if within the tolerance
//! ```
//! Where no ratio lies within it the clutch slipped, the wheel spun or hung in the air: the gear is not known then.

use crate::replay::MOVING_MPS;

/// The gears of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// The gear of each sample, from 1; 0 where none is known or nothing moves.
    pub gears: Vec<u8>,
    /// Share of the known samples in each gear, percent; all 0 if none is known.
    pub gear_pct: Vec<f64>,
    /// Moving samples.
    pub moving: usize,
    /// Share of the moving samples whose gear is known, percent.
    pub known_pct: f64,
}

/// Reads the gear of each sample; `None` if nothing moves.
///
/// # Shape
/// `rpm` and `speed_mps` of one length; `totals` strictly falling, each above 0; tolerance as a part of the ratio.
///
/// # Source
/// `gearing`; the tolerance is the tool's own (`ours`).
#[must_use]
pub fn known(rpm: &[f64], speed_mps: &[f64], totals: &[f64], drive: Drive) -> Option<Known> {
    let mut counts = vec![0_usize; totals.len()];
    let mut moving = 0_usize;
    let gear = |(rpm, speed): (&f64, &f64)| {
        if *speed < MOVING_MPS {
            return 0;
        }
        moving += 1;
        let ratio = rpm * drive.rollout_m * (1.0 - drive.slip) / (60.0 * speed);
        let nearest = (0..totals.len()).min_by(|a, b| off(ratio, totals[*a]).total_cmp(&off(ratio, totals[*b])));
        match nearest.filter(|at| (ratio / totals[*at] - 1.0).abs() <= drive.tolerance) {
            Some(at) => {
                counts[at] += 1;
                u8::try_from(at + 1).unwrap_or(0)
            }
            None => 0,
        }
    };
    let gears: Vec<u8> = rpm.iter().zip(speed_mps).map(gear).collect();
    let found: usize = counts.iter().sum();
    let pct = |part: usize, all: usize| if all == 0 { 0.0 } else { 100.0 * super::real(part) / super::real(all) };
    (moving > 0).then(|| Known {
        gears,
        gear_pct: counts.iter().map(|count| pct(*count, found)).collect(),
        moving,
        known_pct: pct(found, moving),
    })
}

/// How far a ratio lies from a gear's; an engine at rest is infinitely far from all.
fn off(ratio: f64, total: f64) -> f64 {
    (ratio / total).ln().abs()
}

/// What lies between engine and ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Rollout of the loaded rear wheel, m.
    pub rollout_m: f64,
    /// Wheel slip.
    pub slip: f64,
    /// How far the ratio may lie from a gear's, as a part of it.
    pub tolerance: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRIVE: Drive = Drive { rollout_m: 2.0, slip: 0.1, tolerance: 0.05 };

    /// The engine speed at which a ratio shows, at a ground speed.
    fn rpm(ratio: f64, speed_mps: f64) -> f64 {
        ratio * 60.0 * speed_mps / (2.0 * 0.9)
    }

    #[test]
    fn a_gear_is_known_within_the_tolerance_of_its_ratio_and_counts_while_moving() {
        let totals = [20.0, 14.0, 10.0];
        let seconds = [
            (20.0, 3.0),
            (14.69, 5.0),
            (13.31, 8.0),
            (14.71, 6.0),
            (13.29, 6.0),
            (10.0, 12.0),
            (10.4, 0.499),
            (17.0, 9.0),
        ];
        let speeds: Vec<f64> = seconds.iter().map(|(_, speed)| *speed).collect();
        let rpms: Vec<f64> = seconds.iter().map(|(ratio, speed)| rpm(*ratio, *speed)).collect();
        let found = known(&rpms, &speeds, &totals, DRIVE).expect("moves");
        assert_eq!(found.gears, [1, 2, 2, 0, 0, 3, 0, 0]);
        assert_eq!((found.moving, found.gear_pct), (7, vec![25.0, 50.0, 25.0]));
        assert!((found.known_pct - 400.0 / 7.0).abs() < 1e-12);
    }

    #[test]
    fn between_two_gears_that_both_may_be_the_nearer_in_logarithm_is_taken() {
        let wide = Drive { tolerance: 1.0, ..DRIVE };
        let middle = 20.0_f64.sqrt() * 10.0_f64.sqrt();
        let gear = |ratio: f64| known(&[rpm(ratio, 4.0)], &[4.0], &[20.0, 10.0], wide).expect("moves").gears[0];
        assert_eq!((gear(middle * 1.001), gear(middle * 0.999)), (1, 2));
        assert_eq!((gear(0.0), known(&[0.0], &[MOVING_MPS], &[20.0], DRIVE).expect("moves").gears[0]), (1, 0));
    }

    #[test]
    fn a_ride_that_never_moves_or_shows_no_gear_says_so() {
        assert_eq!(known(&[900.0], &[MOVING_MPS - 1e-9], &[20.0], DRIVE), None);
        let none = known(&[0.0], &[3.0], &[20.0], DRIVE).expect("moves");
        assert_eq!((none.gear_pct, none.known_pct, none.moving), (vec![0.0], 0.0, 1));
    }
}
