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
