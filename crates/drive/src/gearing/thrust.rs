//! Force at the rear wheel from the engine's torque: `F = k T(n) i η / r`, `r = U/2π`.

use std::f64::consts::TAU;

use crate::engine::Curve;

/// Rolling radius of a wheel of this rollout, in metres.
#[must_use]
pub fn wheel_radius_m(rollout_m: f64) -> f64 {
    rollout_m / TAU
}

/// Wheel thrust in newtons of an engine torque through a total ratio.
///
/// # Formula
/// `T · i · η / (U/2π)`
#[must_use]
pub fn wheel_thrust_n(torque_nm: f64, total: f64, eta: f64, rollout_m: f64) -> f64 {
    torque_nm * total * eta / wheel_radius_m(rollout_m)
}

/// An engine speed computed from a ground speed may lie this much beyond an end that it should meet.
const ROUNDING: f64 = 1.0 + 1e-12;

/// What pulls: curve, limiter, efficiency and wheel of a bike, its total ratios beside it.
#[derive(Debug, Clone, Copy)]
pub struct Puller<'a> {
    /// The engine's curve.
    pub curve: &'a Curve,
    /// The limiter, in rpm.
    pub max_rpm: f64,
    /// Share of the engine's work that reaches the wheel.
    pub eta: f64,
    /// Rollout of the rear wheel, in metres.
    pub rollout_m: f64,
}

impl Puller<'_> {
    /// The largest thrust that any gear gives at a ground speed; 0 where every gear is beyond the limiter.
    ///
    /// # Formula
    /// `max over gears with n ≤ n_max of T(n) i η / r`, `n = v · 60/U · i`
    #[must_use]
    pub fn envelope_n(&self, totals: &[f64], speed_mps: f64) -> f64 {
        let wheel_rpm = speed_mps * 60.0 / self.rollout_m;
        totals.iter().fold(0.0, |most, total| {
            let rpm = wheel_rpm * total;
            if rpm > self.max_rpm * ROUNDING {
                return most;
            }
            let last = self.curve.last_rpm();
            let rpm = if rpm > last && rpm <= last * ROUNDING { last } else { rpm };
            most.max(wheel_thrust_n(self.curve.torque_nm(rpm), *total, self.eta, self.rollout_m))
        })
    }
}
