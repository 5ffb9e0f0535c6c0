//! Engine speed to ground speed and back; the steps between gears.
//!
//! `v = n/i · U · 60/1000 · (1−s)` in km/h, with n in rpm, i the total ratio, U the rollout in metres, s the slip.

use super::ratio::{Ratio, real};

/// Ground speed in km/h at an engine speed.
///
/// # Formula
/// `n / i · U · 60/1000 · (1 − s)`
#[must_use]
pub fn speed_kmh(rpm: f64, total: f64, rollout_m: f64, slip: f64) -> f64 {
    rpm / total * rollout_m * 60.0 / 1000.0 * (1.0 - slip)
}

/// Engine speed in rpm at a ground speed in km/h.
///
/// # Formula
/// `v / (1 − s) / 0.06 / U · i`
#[must_use]
pub fn rpm_at(speed_kmh: f64, total: f64, rollout_m: f64, slip: f64) -> f64 {
    speed_kmh / (1.0 - slip) / 0.06 / rollout_m * total
}

/// The step from one gear to the next taller one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// How much longer the lower gear is: `q = i_g / i_{g+1}`.
    pub ratio: f64,
    /// `(q − 1) · 100`.
    pub pct: f64,
}

impl Step {
    /// Engine speed after changing up at `rpm`.
    #[must_use]
    pub fn upshift_rpm(self, rpm: f64) -> f64 {
        rpm / self.ratio
    }
}

/// The step between two gears, from whole numbers.
#[must_use]
pub fn step(gear: Ratio, next: Ratio) -> Step {
    let (over, under) = gear.over(next);
    Step { ratio: real(over) / real(under), pct: real(over.saturating_sub(under)) / real(under) * 100.0 }
}

/// By how many km/h two neighbouring gears overlap inside the band from `lo_rpm` to `max_rpm`; negative is a hole.
///
/// # Shape
/// `totals`: the lower gear's total ratio, then the taller one's.
#[must_use]
pub fn overlap_kmh(totals: [f64; 2], lo_rpm: f64, max_rpm: f64, rollout_m: f64, slip: f64) -> f64 {
    speed_kmh(max_rpm, totals[0], rollout_m, slip) - speed_kmh(lo_rpm, totals[1], rollout_m, slip)
}
