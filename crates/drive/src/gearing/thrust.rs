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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gear_pulls_up_to_the_limiter_and_the_last_point_and_no_further() {
        let curve = Curve::new(vec![[2000.0, 20.0], [5000.0, 30.0], [9000.0, 20.0]]).expect("rises");
        let pull = |max_rpm: f64| Puller { curve: &curve, max_rpm, eta: 0.9, rollout_m: 2.0 };
        // One turn of the wheel each second and a total ratio that makes the engine speed.
        let at = |max_rpm: f64, rpm: f64| pull(max_rpm).envelope_n(&[rpm / 60.0], 2.0);
        let thrust = |torque: f64, rpm: f64| torque * rpm / 60.0 * 0.9 * TAU / 2.0;
        assert!((at(8000.0, 5000.0) - thrust(30.0, 5000.0)).abs() < 1e-9);
        assert!(at(8000.0, 8000.0) > 1.0 && at(8000.0, 8000.0 * (1.0 + 5e-13)) > 1.0);
        assert_eq!((at(8000.0, 8000.5), at(8000.0, 8000.0 * (1.0 + 1e-11))), (0.0, 0.0));
        let last = thrust(20.0, 9000.0);
        assert!((at(9500.0, 9000.0 * (1.0 + 5e-13)) - last).abs() < 1e-6, "rounding past the last point");
        assert_eq!((at(9500.0, 9000.5), at(9500.0, 9000.0 * (1.0 + 1e-11))), (0.0, 0.0));
        // The most of all gears; one past the limiter counts for nothing.
        let all = pull(8000.0).envelope_n(&[9000.0 / 60.0, 5000.0 / 60.0, 2000.0 / 60.0], 2.0);
        assert!((all - thrust(30.0, 5000.0)).abs() < 1e-9);
        assert!((wheel_radius_m(TAU) - 1.0).abs() < 1e-15);
    }
}
