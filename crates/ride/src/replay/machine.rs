//! The machine that is replayed, and the weights of the model that chooses its gears.

use drive::engine::Curve;
use drive::gearing::{Gearbox, Pair, wheel_radius_m};
pub(super) use measure::bounds::gearing::MOST_GEARS;

/// Engine speeds that matter to a rider, rpm, each above the one before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Revs {
    /// Clutch fully out from here.
    pub slip_rpm: f64,
    /// Comfort band from.
    pub lo_rpm: f64,
    /// Comfort band to.
    pub hi_rpm: f64,
    /// Limiter.
    pub max_rpm: f64,
    /// Never beyond.
    pub hard_rpm: f64,
}

/// What turns throttle into thrust.
#[derive(Debug, Clone, Copy)]
pub struct Machine<'a> {
    /// Primary drive and gears, 1 to 8.
    pub gearbox: &'a Gearbox,
    /// The engine's curve.
    pub curve: &'a Curve,
    /// Share of the engine's work that reaches the wheel.
    pub eta: f64,
    /// Rollout, m.
    pub rollout_m: f64,
    /// Engine speeds.
    pub revs: Revs,
}

/// How it is ridden.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Riding {
    /// Wheel slip.
    pub slip: f64,
    /// Factor on the torque.
    pub power_factor: f64,
    /// Time between samples, s.
    pub step_s: f64,
}

/// Weights of the gear-choice model, per second.
///
/// # Source
/// replay-weights: invented, the tool's own. They decide which gear is called right; shown with every result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Clutch slip below the clutch's engine speed.
    pub slip: f64,
    /// Outside the comfort band.
    pub band: f64,
    /// Missing thrust, as a share of the demand.
    pub thrust: f64,
    /// Beyond the limiter.
    pub over: f64,
    /// Beyond the speed that must never be passed.
    pub hard: f64,
    /// One gear step, in cost seconds: this is what keeps a rider from shifting all the time.
    pub shift: f64,
    /// Distance from the preferred engine speed, which rises with the load; without it many gears would tie.
    pub preference: f64,
    /// Missing thrust is weighed against at least this demand, N.
    pub least_demand_n: f64,
}

impl Weights {
    /// The tool's own.
    pub const OURS: Self = Self {
        slip: 3.0,
        band: 1.0,
        thrust: 5.0,
        over: 20.0,
        hard: 1000.0,
        shift: 0.6,
        preference: 0.2,
        least_demand_n: 200.0,
    };
}

/// A machine with a pair: what every gear does.
#[derive(Debug, Clone, Copy)]
pub(super) struct Geared {
    pub(super) count: usize,
    /// Total ratios.
    pub(super) totals: [f64; MOST_GEARS],
    /// Their logarithms.
    pub(super) logs: [f64; MOST_GEARS],
    /// Thrust per torque, power factor included.
    pub(super) pull: [f64; MOST_GEARS],
}

impl Geared {
    pub(super) fn new(machine: &Machine<'_>, riding: &Riding, pair: Pair) -> Self {
        let all = machine.gearbox.totals(pair);
        let count = all.len().min(MOST_GEARS);
        let mut totals = [0.0; MOST_GEARS];
        totals[..count].copy_from_slice(&all[..count]);
        let radius = wheel_radius_m(machine.rollout_m);
        Self {
            count,
            totals,
            logs: totals.map(f64::ln),
            pull: totals.map(|total| riding.power_factor * total * machine.eta / radius),
        }
    }
}
