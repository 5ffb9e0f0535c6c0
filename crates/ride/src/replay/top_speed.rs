//! The largest ground speed at which some gear still pulls against slope, ground and air.

use drive::engine::Curve;
use drive::gearing::{speed_kmh, wheel_thrust_n};

use super::demand::Load;

/// Steps from the limiter down in which the first pull is looked for.
const STEPS: u32 = 4000;
/// The slowest speed looked at, m/s.
const SLOWEST_MPS: f64 = 0.01;
/// Halvings of the step in which it is found.
const HALVINGS: u32 = 80;

/// What climbs: the load, the engine and the ground.
#[derive(Debug, Clone, Copy)]
pub struct Climb<'a> {
    /// Weight and air.
    pub load: Load,
    /// The engine's curve.
    pub curve: &'a Curve,
    /// Share of the engine's work that reaches the wheel.
    pub eta: f64,
    /// Rollout, m.
    pub rollout_m: f64,
    /// Clutch fully out from here, rpm: below, it slips at this speed.
    pub slip_rpm: f64,
    /// The limiter, rpm.
    pub max_rpm: f64,
    /// Coefficient of rolling resistance.
    pub crr: f64,
    /// Density of the air, kg/m³.
    pub density_kgm3: f64,
    /// Wheel slip.
    pub slip: f64,
    /// Factor on the torque.
    pub power_factor: f64,
    /// Rise over run.
    pub grade: f64,
}

/// What ends the speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The limiter in top gear.
    Revs,
    /// The pull.
    Thrust,
}

/// The top speed of a pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopSpeed {
    /// Ground speed, m/s; 0 where no gear pulls.
    pub speed_mps: f64,
    /// The gear (from 0) and its engine speed, rpm; `None` where no gear pulls.
    pub gear: Option<(usize, f64)>,
    /// Ground speed at the limiter in the tallest gear, m/s.
    pub geared_mps: f64,
    /// What ends it.
    pub limit: Limit,
}

impl Climb<'_> {
    fn rpm(&self, total: f64, speed_mps: f64) -> f64 {
        speed_mps / (1.0 - self.slip) * 60.0 / self.rollout_m * total
    }

    fn surplus_n(&self, total: f64, speed_mps: f64) -> f64 {
        let rpm = self.rpm(total, speed_mps).max(self.slip_rpm).min(self.max_rpm);
        let torque = self.power_factor * self.curve.torque_nm(rpm);
        let against = self.load.resistance(self.crr, self.density_kgm3, speed_mps, self.grade);
        wheel_thrust_n(torque, total, self.eta, self.rollout_m) - against.total_n()
    }

    /// The fastest pulling speed in one gear, and whether that is the limiter.
    fn fastest(&self, total: f64) -> Option<(f64, bool)> {
        let limiter = self.limiter_mps(total);
        let at = |step: u32| limiter + (SLOWEST_MPS - limiter) * f64::from(step) / f64::from(STEPS);
        let pulls = |speed: f64| self.surplus_n(total, speed) >= 0.0;
        let step = (0..=STEPS).find(|step| pulls(at(*step)))?;
        if step == 0 {
            return Some((limiter, true));
        }
        let (mut low, mut high) = (at(step), at(step - 1));
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if pulls(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some((low, false))
    }

    fn limiter_mps(&self, total: f64) -> f64 {
        speed_kmh(self.max_rpm, total, self.rollout_m, self.slip) / 3.6
    }
}

/// The largest speed over the gears, each searched down from its limiter.
///
/// # Shape
/// `totals`: total ratios from first to top.
///
/// # Holds when
/// Speeds within 1e-9 m/s count as one: the lower gear is named.
#[must_use]
pub fn top_speed(climb: &Climb<'_>, totals: &[f64]) -> TopSpeed {
    let geared_mps = totals.iter().map(|total| climb.limiter_mps(*total)).fold(0.0, f64::max);
    let mut best = TopSpeed { speed_mps: 0.0, gear: None, geared_mps, limit: Limit::Thrust };
    for (gear, total) in totals.iter().enumerate() {
        let Some((speed, at_limiter)) = climb.fastest(*total) else { continue };
        if speed > best.speed_mps + 1e-9 {
            let revs = at_limiter && gear + 1 == totals.len();
            best = TopSpeed {
                speed_mps: speed,
                gear: Some((gear, climb.rpm(*total, speed))),
                geared_mps,
                limit: if revs { Limit::Revs } else { Limit::Thrust },
            };
        }
    }
    best
}
