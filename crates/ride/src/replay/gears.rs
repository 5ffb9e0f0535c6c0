//! The gears of a leg: the sequence of least cost, by dynamic programming.
//!
//! ```text
//! n = v/(1−s) · 60/U · i_g       wheel thrust at max(n, n_slip): the clutch slips below
//! n_t = n_lo + (n_hi − n_lo) u   preferred speed, u = share of the largest power that is asked for
//! c = w_pref ln²(n/n_t) + w_slip (1 − n/n_slip)⁺ + w_band ((n_lo−n)/n_lo)⁺² + w_band ((n−n_hi)/(n_max−n_hi))⁺²
//!   + w_thrust short/max(F, 200 N) + w_over (n/n_max − 1)⁺ + w_hard (n/n_hard − 1)⁺
//! least Σ c dt + w_shift Σ |g − g'|      first gear of a leg free
//! ```
//! The least over all gears before is found by one sweep up and one down. Ties keep the gear, else take the higher.

use super::machine::{Geared, MOST_GEARS, Machine, Riding, Weights};

/// Bits of one gear in a packed word of back pointers.
const BITS: usize = 3;

/// What a leg asks at each sample, whatever the pair: filled once, used by every pair.
#[derive(Debug, Default)]
pub(super) struct Asked {
    /// Turns of the engine per minute for a total ratio of 1.
    pub(super) wheel_rpm: Vec<f64>,
    /// Its logarithm over that of the preferred engine speed.
    log: Vec<f64>,
    /// Thrust used, N; below 0 nothing is asked of the engine.
    pub(super) used_n: Vec<f64>,
}

/// Room for one leg, kept between legs so that nothing is allocated per sample.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    back: Vec<u32>,
    /// The gear (from 0) of each sample.
    pub(super) path: Vec<u8>,
}

/// The model with everything that does not change from sample to sample worked out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Model<'a> {
    machine: Machine<'a>,
    riding: Riding,
    weights: Weights,
    peak_w: f64,
    /// Least torque from the clutch's engine speed to the curve's last point, and that point.
    floor_nm: f64,
    last_rpm: f64,
}

impl<'a> Model<'a> {
    pub(super) fn new(machine: Machine<'a>, riding: Riding, weights: Weights) -> Self {
        let peak_w = machine.curve.peak_power_w() * riding.power_factor * machine.eta;
        let floor_nm = machine.curve.floor_nm(machine.revs.slip_rpm);
        Self { machine, riding, weights, peak_w, floor_nm, last_rpm: machine.curve.last_rpm() }
    }

    pub(super) fn geared(&self, pair: drive::gearing::Pair) -> Geared {
        Geared::new(&self.machine, &self.riding, pair)
    }

    /// Fills what a leg asks.
    pub(super) fn ask(&self, speed_mps: &[f64], used_n: &[f64], asked: &mut Asked) {
        let revs = &self.machine.revs;
        asked.wheel_rpm.clear();
        asked.wheel_rpm.extend(speed_mps.iter().map(|v| v / (1.0 - self.riding.slip) * 60.0 / self.machine.rollout_m));
        asked.used_n.clear();
        asked.used_n.extend_from_slice(used_n);
        asked.log.clear();
        asked.log.extend(asked.wheel_rpm.iter().zip(speed_mps).zip(used_n).map(|((wheel_rpm, speed), used)| {
            let load = if *used > 0.0 { (used * speed / self.peak_w).min(1.0) } else { 0.0 };
            (wheel_rpm / (revs.lo_rpm + (revs.hi_rpm - revs.lo_rpm) * load)).ln()
        }));
    }

    /// Thrust that is missing in a gear at a sample, N.
    pub(super) fn short_n(&self, geared: &Geared, gear: usize, wheel_rpm: f64, used_n: f64) -> f64 {
        // Most seconds ask less than a gear gives anywhere up to the curve's last point: it need not be looked up.
        let enough = used_n <= self.floor_nm * geared.pull[gear] && wheel_rpm * geared.totals[gear] <= self.last_rpm;
        if enough { 0.0 } else { above_0(used_n - self.available_n(geared, gear, wheel_rpm)) }
    }

    /// Thrust that a gear gives at a sample, N.
    pub(super) fn available_n(&self, geared: &Geared, gear: usize, wheel_rpm: f64) -> f64 {
        let rpm = (wheel_rpm * geared.totals[gear]).max(self.machine.revs.slip_rpm);
        self.machine.curve.torque_nm(rpm) * geared.pull[gear]
    }

    /// Finds the gears of a leg; the path stands in `scratch`, the cost is returned.
    pub(super) fn solve(&self, asked: &Asked, geared: &Geared, scratch: &mut Scratch) -> f64 {
        // Each compiled with its count of gears known.
        #[expect(clippy::type_complexity, reason = "named here and nowhere else")]
        let by_count: [fn(&Self, &Asked, &Geared, &mut Scratch) -> f64; MOST_GEARS] = [
            Self::solve_for::<1>,
            Self::solve_for::<2>,
            Self::solve_for::<3>,
            Self::solve_for::<4>,
            Self::solve_for::<5>,
            Self::solve_for::<6>,
            Self::solve_for::<7>,
            Self::solve_for::<8>,
        ];
        by_count[geared.count - 1](self, asked, geared, scratch)
    }

    /// Compiled twice, the second time for processors with wider registers, which is taken where there is one. The numbers
    /// are the same: nothing is added in another order or rounded once where it was rounded twice.
    fn solve_for<const G: usize>(&self, asked: &Asked, geared: &Geared, scratch: &mut Scratch) -> f64 {
        pulp::Arch::new().dispatch(Leg::<G> { model: self, asked, geared, scratch })
    }

    #[inline(always)]
    fn solve_leg<const G: usize>(&self, asked: &Asked, geared: &Geared, scratch: &mut Scratch) -> f64 {
        let node = Node::<G>::new(self, geared);
        let step_s = self.riding.step_s;
        scratch.back.clear();
        let mut least: Option<[f64; G]> = None;
        for ((wheel_rpm, log), used_n) in asked.wheel_rpm.iter().zip(&asked.log).zip(&asked.used_n) {
            let cost = node.cost(*wheel_rpm, *log, *used_n).map(|cost| cost * step_s);
            least = Some(match least {
                None => {
                    scratch.back.push(0);
                    cost
                }
                Some(before) => {
                    let (reached, back) = reach(&before, self.weights.shift);
                    scratch.back.push(back);
                    std::array::from_fn(|g| reached[g] + cost[g])
                }
            });
        }
        let (cost, last) = least.map_or((0.0, 0), |least| {
            (1..G).fold((least[0], 0), |best, g| if least[g] <= best.0 { (least[g], g) } else { best })
        });
        trace(&scratch.back, last, &mut scratch.path);
        cost
    }
}

/// A leg to be solved, inlined whole into what knows the registers.
struct Leg<'a, 'c, const G: usize> {
    model: &'c Model<'a>,
    asked: &'c Asked,
    geared: &'c Geared,
    scratch: &'c mut Scratch,
}

impl<const G: usize> pulp::NullaryFnOnce for Leg<'_, '_, G> {
    type Output = f64;

    #[inline(always)]
    fn call(self) -> f64 {
        self.model.solve_leg::<G>(self.asked, self.geared, self.scratch)
    }
}

/// Reads the path back from its last gear.
fn trace(back: &[u32], last: usize, path: &mut Vec<u8>) {
    path.clear();
    path.resize(back.len(), 0);
    let mut gear = last;
    for (word, out) in back.iter().zip(path.iter_mut()).rev() {
        *out = u8::try_from(gear).unwrap_or(u8::MAX);
        gear = (word >> (BITS * gear)) as usize & 7;
    }
}

/// The least cost of being in each gear next, and from which gear, three bits a gear.
#[inline(always)]
fn reach<const G: usize>(before: &[f64; G], shift: f64) -> ([f64; G], u32) {
    let (mut low, mut low_from) = (*before, [0_u32; G]);
    let (mut from, mut best) = (0_u32, before[0]);
    for g in 1..G {
        let up = best + shift;
        let stays = before[g] <= up;
        from = if stays { number(g) } else { from };
        best = if stays { before[g] } else { up };
        (low[g], low_from[g]) = (best, from);
    }
    let mut back = 0;
    let (mut from, mut best) = (number(G - 1), before[G - 1]);
    for g in (0..G).rev() {
        if g + 1 < G {
            let down = best + shift;
            let stays = before[g] <= down;
            from = if stays { number(g) } else { from };
            best = if stays { before[g] } else { down };
        }
        let higher = best <= low[g];
        back |= (if higher { from } else { low_from[g] }) << (BITS * g);
        low[g] = if higher { best } else { low[g] };
    }
    (low, back)
}

#[inline(always)]
#[expect(clippy::cast_possible_truncation, reason = "a gear, below 8")]
const fn number(gear: usize) -> u32 {
    gear as u32
}

/// The larger of a number and 0, as one instruction (no NaN comes here).
#[inline(always)]
const fn above_0(x: f64) -> f64 {
    if x > 0.0 { x } else { 0.0 }
}

/// The cost of one second in each of `G` gears, divisions done once.
struct Node<'a, const G: usize> {
    model: &'a Model<'a>,
    geared: &'a Geared,
    totals: [f64; G],
    logs: [f64; G],
    /// Thrust that each gear gives at least, up to the curve's last point.
    floor_n: [f64; G],
    last_rpm: f64,
    per_slip: f64,
    per_lo: f64,
    per_hi: f64,
    per_max: f64,
    per_hard: f64,
}

impl<'a, const G: usize> Node<'a, G> {
    fn new(model: &'a Model<'a>, geared: &'a Geared) -> Self {
        let revs = &model.machine.revs;
        Self {
            floor_n: std::array::from_fn(|g| geared.pull[g] * model.floor_nm),
            last_rpm: model.last_rpm,
            model,
            geared,
            totals: std::array::from_fn(|g| geared.totals[g]),
            logs: std::array::from_fn(|g| geared.logs[g]),
            per_slip: 1.0 / revs.slip_rpm,
            per_lo: 1.0 / revs.lo_rpm,
            per_hi: 1.0 / (revs.max_rpm - revs.hi_rpm),
            per_max: 1.0 / revs.max_rpm,
            per_hard: 1.0 / revs.hard_rpm,
        }
    }

    #[inline(always)]
    fn cost(&self, wheel_rpm: f64, log: f64, used_n: f64) -> [f64; G] {
        let (revs, weights) = (&self.model.machine.revs, &self.model.weights);
        let mut cost: [f64; G] = std::array::from_fn(|g| {
            let rpm = wheel_rpm * self.totals[g];
            let from_preferred = log + self.logs[g];
            let slip = above_0(1.0 - rpm * self.per_slip);
            let lo = above_0((revs.lo_rpm - rpm) * self.per_lo);
            let hi = above_0((rpm - revs.hi_rpm) * self.per_hi);
            let over = above_0(rpm * self.per_max - 1.0);
            let hard = above_0(rpm * self.per_hard - 1.0);
            weights.preference * from_preferred * from_preferred
                + weights.slip * slip
                + weights.band * (lo * lo + hi * hi)
                + weights.over * over
                + weights.hard * hard
        });
        if used_n > 0.0 {
            let per_demand = weights.thrust / used_n.max(weights.least_demand_n);
            for (g, cost) in cost.iter_mut().enumerate() {
                // Most seconds ask less than a gear gives anywhere: the curve need not be looked up.
                if used_n <= self.floor_n[g] && wheel_rpm * self.totals[g] <= self.last_rpm {
                    continue;
                }
                *cost += per_demand * above_0(used_n - self.model.available_n(self.geared, g, wheel_rpm));
            }
        }
        cost
    }
}

#[cfg(test)]
mod tests {
    use drive::engine::Curve;
    use drive::gearing::{Gearbox, Pair, Ratio};

    use super::super::machine::Revs;
    use super::*;

    /// The rows and laws are held with the registers this machine has; this holds the other way against it.
    #[test]
    fn with_narrow_registers_every_number_is_the_same_to_the_last_bit() {
        let ratio = |driver, driven| Ratio::of_teeth(driver, driven).expect("teeth");
        let gears = [(14, 33), (16, 28), (18, 25), (20, 22), (22, 20), (24, 18)].map(|(a, b)| ratio(a, b)).to_vec();
        let gearbox = Gearbox::new(ratio(26, 73), gears).expect("falls");
        let curve = Curve::new(vec![[1500.0, 11.0], [5000.0, 27.0], [8200.0, 36.0], [9500.0, 22.0]]).expect("rises");
        let revs = Revs { slip_rpm: 2300.0, lo_rpm: 3600.0, hi_rpm: 7800.0, max_rpm: 9400.0, hard_rpm: 9900.0 };
        let machine = Machine { gearbox: &gearbox, curve: &curve, eta: 0.92, rollout_m: 2.08, revs };
        let riding = Riding { slip: 0.1, power_factor: 0.9, step_s: 0.2 };
        let model = Model::new(machine, riding, Weights::OURS);
        let geared = model.geared(Pair::of(13, 50).expect("teeth"));
        let along = |k: u32| f64::from(k) * 0.01;
        let speed: Vec<f64> =
            (0..5000).map(|k| 14.0 + 12.0 * along(k).sin() + 3.0 * (7.3 * along(k)).sin().abs()).collect();
        let used: Vec<f64> = (0..5000).map(|k| 500.0 + 900.0 * (3.1 * along(k)).sin()).collect();
        let mut asked = Asked::default();
        model.ask(&speed, &used, &mut asked);
        let (mut wide, mut narrow) = (Scratch::default(), Scratch::default());
        let cost = model.solve(&asked, &geared, &mut wide);
        let plain = model.solve_leg::<6>(&asked, &geared, &mut narrow);
        assert_eq!(cost.to_bits(), plain.to_bits());
        assert_eq!(wide.path, narrow.path);
        assert!((0..6).all(|gear| wide.path.contains(&gear)), "every gear is used");
    }
}
