//! The plane smoother: positions in time → position, speed and acceleration, forward filter and backward smoother.
//!
//! Why this and no moving average: recorders sample unevenly (1 to 49 s within one ride), points are missing, and
//! the smoother says how sure it is. Each axis holds position p, speed v, acceleration a; the jerk is white noise of
//! density q:
//!
//! ```text
//! F = [1 d d²/2; 0 1 d; 0 0 1]    Q = q [d⁵/20 d⁴/8 d³/6; d⁴/8 d³/3 d²/2; d³/6 d²/2 d]    R = σ²
//! ```
//!
//! Both axes share one covariance, so one recursion serves both. A sample whose distance from the prediction is
//! beyond what noise explains counts with a larger R instead of being thrown away.

use measure::Length;

use super::{Part, Samples};

/// How much the positions are believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneTuning {
    /// Standard deviation of a recorded position along one axis, in metres.
    pub sigma_m: f64,
    /// Density of the jerk, m²/s⁵: how briskly the ride may change its acceleration.
    pub jerk_m2s5: f64,
    /// Whether samples beyond what noise explains count less.
    pub gate: bool,
}

impl PlaneTuning {
    /// σ 3 m, jerk 0.5 m²/s⁵, gated: tuned on a synthetic ride of known truth.
    pub const USUAL: Self = Self { sigma_m: 3.0, jerk_m2s5: 0.5, gate: true };
}

/// The squared distance, in variances, that one sample in a thousand exceeds by chance (χ², two degrees of freedom).
///
/// # Source
/// `ours`: the level; its value is `2 ln 1000`, rounded.
const GATE: f64 = 13.8155;

/// Variances before the first sample: 100 m, 30 m/s, 10 m/s².
///
/// # Source
/// `ours`.
const BEFORE: [f64; 3] = [1e4, 900.0, 100.0];

/// Below this speed the direction of travel means nothing, and acceleration along it is scaled down.
///
/// # Source
/// `ours`.
const SLOWEST_MPS: f64 = 0.3;

/// A covariance of position, speed and acceleration: symmetric, six numbers.
#[derive(Debug, Clone, Copy)]
struct Cov {
    pp: f64,
    pv: f64,
    pa: f64,
    vv: f64,
    va: f64,
    aa: f64,
}

/// Position, speed and acceleration along one axis.
type Axis = [f64; 3];

/// Both axes after a sample, and what they share.
#[derive(Debug, Clone, Copy)]
struct State {
    east: Axis,
    north: Axis,
    cov: Cov,
}

fn ahead(axis: Axis, d: f64) -> Axis {
    let [p, v, a] = axis;
    [p + d * v + d * d / 2.0 * a, v + d * a, a]
}

impl Cov {
    /// F times this covariance: rows of F, columns of the covariance.
    fn moved(self, d: f64) -> [[f64; 3]; 3] {
        let h = d * d / 2.0;
        [
            [
                self.pp + d * self.pv + h * self.pa,
                self.pv + d * self.vv + h * self.va,
                self.pa + d * self.va + h * self.aa,
            ],
            [self.pv + d * self.pa, self.vv + d * self.va, self.va + d * self.aa],
            [self.pa, self.va, self.aa],
        ]
    }

    /// `F P Fᵀ + Q`.
    fn ahead(self, d: f64, q: f64) -> Self {
        let [[pp, pv, pa], [_, vv, va], [_, _, aa]] = self.moved(d);
        let (h, d2, d3) = (d * d / 2.0, d * d, d * d * d);
        Self {
            pp: pp + d * pv + h * pa + q * d2 * d3 / 20.0,
            pv: pv + d * pa + q * d2 * d2 / 8.0,
            pa: pa + q * d3 / 6.0,
            vv: vv + d * va + q * d3 / 3.0,
            va: va + q * d2 / 2.0,
            aa: aa + q * d,
        }
    }

    /// After a measured position of variance `r`, with the gain `k`: `(I−kH) P (I−kH)ᵀ + r k kᵀ`, which stays
    /// positive under rounding.
    fn measured(self, [k0, k1, k2]: Axis, r: f64) -> Self {
        // 1 − k0 = r/S, without the cancellation.
        let left = r / (self.pp + r);
        Self {
            pp: left * left * self.pp + r * k0 * k0,
            pv: left * (self.pv - k1 * self.pp) + r * k0 * k1,
            pa: left * (self.pa - k2 * self.pp) + r * k0 * k2,
            vv: self.vv - 2.0 * k1 * self.pv + k1 * k1 * (self.pp + r),
            va: self.va - k1 * self.pa - k2 * self.pv + k1 * k2 * (self.pp + r),
            aa: self.aa - 2.0 * k2 * self.pa + k2 * k2 * (self.pp + r),
        }
    }

    /// Solves `P x = b` by the square root of P.
    fn solve(self, [b0, b1, b2]: Axis) -> Axis {
        let root = |pivot: f64| pivot.max(f64::MIN_POSITIVE).sqrt();
        let l00 = root(self.pp);
        let (l10, l20) = (self.pv / l00, self.pa / l00);
        let l11 = root(self.vv - l10 * l10);
        let l21 = (self.va - l20 * l10) / l11;
        let l22 = root(self.aa - l20 * l20 - l21 * l21);
        let y0 = b0 / l00;
        let y1 = (b1 - l10 * y0) / l11;
        let y2 = (b2 - l20 * y0 - l21 * y1) / l22;
        let x2 = y2 / l22;
        let x1 = (y1 - l21 * x2) / l11;
        [(y0 - l10 * x1 - l20 * x2) / l00, x1, x2]
    }

    /// `self + C (later − predicted) Cᵀ` with the smoother's gain C by rows.
    fn smoothed(self, gain: &[Axis; 3], later: Self, predicted: Self) -> Self {
        let d = Self {
            pp: later.pp - predicted.pp,
            pv: later.pv - predicted.pv,
            pa: later.pa - predicted.pa,
            vv: later.vv - predicted.vv,
            va: later.va - predicted.va,
            aa: later.aa - predicted.aa,
        };
        let form = |[a0, a1, a2]: Axis, [b0, b1, b2]: Axis| {
            a0 * (d.pp * b0 + d.pv * b1 + d.pa * b2)
                + a1 * (d.pv * b0 + d.vv * b1 + d.va * b2)
                + a2 * (d.pa * b0 + d.va * b1 + d.aa * b2)
        };
        let [p, v, a] = *gain;
        Self {
            pp: self.pp + form(p, p),
            pv: self.pv + form(p, v),
            pa: self.pa + form(p, a),
            vv: self.vv + form(v, v),
            va: self.va + form(v, a),
            aa: self.aa + form(a, a),
        }
    }
}

impl State {
    fn ahead(&self, d: f64, q: f64) -> Self {
        Self { east: ahead(self.east, d), north: ahead(self.north, d), cov: self.cov.ahead(d, q) }
    }

    fn measured(&self, x_m: f64, y_m: f64, tuning: &PlaneTuning) -> Self {
        let (off_east, off_north) = (x_m - self.east[0], y_m - self.north[0]);
        let noise = tuning.sigma_m * tuning.sigma_m;
        let far = (off_east * off_east + off_north * off_north) / (self.cov.pp + noise);
        let noise = if tuning.gate && far > GATE { noise * far / GATE } else { noise };
        let spread = self.cov.pp + noise;
        let gain = [self.cov.pp / spread, self.cov.pv / spread, self.cov.pa / spread];
        let moved = |[p, v, a]: Axis, off: f64| [p + gain[0] * off, v + gain[1] * off, a + gain[2] * off];
        Self {
            east: moved(self.east, off_east),
            north: moved(self.north, off_north),
            cov: self.cov.measured(gain, noise),
        }
    }

    /// This state, told what came after it.
    fn smoothed(&self, later: &Self, d: f64, q: f64) -> Self {
        let predicted = self.ahead(d, q);
        // C = P Fᵀ P⁻ with P⁻ the inverse of the predicted covariance: its transpose is P⁻ (F P), column by column.
        let [m0, m1, m2] = self.cov.moved(d);
        let column = |k: usize| predicted.cov.solve([m0[k], m1[k], m2[k]]);
        let gain = [column(0), column(1), column(2)];
        let told = |axis: Axis, later: Axis, predicted: Axis| {
            let off = [later[0] - predicted[0], later[1] - predicted[1], later[2] - predicted[2]];
            let mut out = axis;
            for (value, row) in out.iter_mut().zip(&gain) {
                *value += row[0] * off[0] + row[1] * off[1] + row[2] * off[2];
            }
            out
        };
        Self {
            east: told(self.east, later.east, predicted.east),
            north: told(self.north, later.north, predicted.north),
            cov: self.cov.smoothed(&gain, later.cov, predicted.cov),
        }
    }
}

/// Smooths one part; its height stays unknown here.
pub(super) fn smooth(samples: &Samples, tuning: &PlaneTuning) -> Part {
    let states = states(samples, tuning);
    let mut s_m = Vec::with_capacity(states.len());
    let (mut total_m, mut last) = (0.0_f64, None::<&State>);
    for state in &states {
        if let Some(last) = last {
            total_m += (state.east[0] - last.east[0]).hypot(state.north[0] - last.north[0]);
        }
        s_m.push(total_m);
        last = Some(state);
    }
    let speed_mps: Vec<f64> = states.iter().map(|state| state.east[1].hypot(state.north[1])).collect();
    let along = |state: &State, speed: f64| {
        (state.east[2] * state.east[1] + state.north[2] * state.north[1]) / speed.max(SLOWEST_MPS)
    };
    Part {
        origin: samples.origin,
        t_s: samples.t_s.clone(),
        x_m: states.iter().map(|state| state.east[0]).collect(),
        y_m: states.iter().map(|state| state.north[0]).collect(),
        s_m,
        accel_mps2: states.iter().zip(&speed_mps).map(|(state, speed)| along(state, *speed)).collect(),
        sd_speed_mps: states.iter().map(|state| state.cov.vv.max(0.0).sqrt()).collect(),
        speed_mps,
        height: None,
        distance: Length::from_m(total_m),
    }
}

fn states(samples: &Samples, tuning: &PlaneTuning) -> Vec<State> {
    let mut states: Vec<State> = Vec::with_capacity(samples.t_s.len());
    let mut last_s = 0.0;
    for ((t_s, x_m), y_m) in samples.t_s.iter().zip(&samples.x_m).zip(&samples.y_m) {
        let before = match states.last() {
            Some(state) => state.ahead(t_s - last_s, tuning.jerk_m2s5),
            None => State {
                east: [*x_m, 0.0, 0.0],
                north: [*y_m, 0.0, 0.0],
                cov: Cov { pp: BEFORE[0], pv: 0.0, pa: 0.0, vv: BEFORE[1], va: 0.0, aa: BEFORE[2] },
            },
        };
        states.push(before.measured(*x_m, *y_m, tuning));
        last_s = *t_s;
    }
    let mut later: Option<(State, f64)> = None;
    for (state, t_s) in states.iter_mut().zip(&samples.t_s).rev() {
        if let Some((told, later_s)) = later {
            *state = state.smoothed(&told, later_s - t_s, tuning.jerk_m2s5);
        }
        later = Some((*state, *t_s));
    }
    states
}
