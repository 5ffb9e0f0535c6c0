//! An invented bike and rides on it, for the tests of the replay.

use drive::engine::Curve;
use drive::gearing::{Gearbox, Pair, Ratio};
use proptest::prelude::*;
use ride::replay::{
    Body, Comparison, Ground, Load, MOVING_MPS, Machine, Motion, Question, Revs, Riding, Weights, compare,
};

/// An invented bike.
pub(crate) struct Bike {
    pub(crate) gearbox: Gearbox,
    pub(crate) curve: Curve,
}

impl Bike {
    pub(crate) fn new(gears: usize) -> Self {
        let ratio = |driver, driven| Ratio::of_teeth(driver, driven).expect("teeth");
        let all = [(14, 33), (16, 28), (18, 25), (20, 22), (22, 20), (24, 18)];
        let gears = all[..gears].iter().map(|(driver, driven)| ratio(*driver, *driven)).collect();
        let points = [[1500.0, 11.0], [3000.0, 18.0], [5000.0, 27.0], [7000.0, 35.0], [8200.0, 36.0], [9500.0, 22.0]];
        Self {
            gearbox: Gearbox::new(ratio(26, 73), gears).expect("falls"),
            curve: Curve::new(points.to_vec()).expect("rises"),
        }
    }

    pub(crate) fn machine(&self) -> Machine<'_> {
        Machine {
            gearbox: &self.gearbox,
            curve: &self.curve,
            eta: 0.92,
            rollout_m: 2.08,
            revs: Revs { slip_rpm: 2300.0, lo_rpm: 3600.0, hi_rpm: 7800.0, max_rpm: 9400.0, hard_rpm: 9900.0 },
        }
    }

    /// The same bike with one gear only.
    pub(crate) fn only(&self, gear: usize) -> Self {
        let gears = vec![self.gearbox.gears()[gear]];
        Self { gearbox: Gearbox::new(self.gearbox.primary(), gears).expect("one"), curve: self.curve.clone() }
    }
}

pub(crate) const BODY: Body = Body {
    load: Load { mass_kg: 205.0, cda_m2: 0.52 },
    wheels_kgm2: 1.1,
    rollout_m: 2.08,
    wheelbase_m: 1.48,
    cg_from_front_m: 0.76,
    cg_height_m: 0.92,
    aero_height_m: 1.0,
};
pub(crate) const GROUND: Ground = Ground { crr: 0.06, mu: 0.6, density_kgm3: 1.1 };
pub(crate) const RIDING: Riding = Riding { slip: 0.05, power_factor: 0.95, step_s: 1.0 };

pub(crate) fn pair(front: u16, rear: u16) -> Pair {
    Pair::of(front, rear).expect("teeth")
}

/// Speed, grade and acceleration of a ride that stops now and then.
pub(crate) fn ride() -> impl Strategy<Value = Vec<(f64, f64, f64)>> {
    let sample = (prop_oneof![1 => Just(0.0), 6 => 0.3..30.0_f64], -0.3..0.3_f64, -2.0..2.0_f64);
    prop::collection::vec(sample, 2..80).prop_filter("moves", |all| all.iter().any(|(v, ..)| *v >= MOVING_MPS))
}

/// Asks about a ride; the lists live only inside.
pub(crate) fn with<T>(
    bike: &Bike,
    ride: &[(f64, f64, f64)],
    pairs: &[Pair],
    ask: impl FnOnce(&Question<'_>) -> T,
) -> T {
    let t_s: Vec<f64> = (0..ride.len()).map(|k| f64::from(u32::try_from(k).expect("short"))).collect();
    let [speed_mps, grade, accel_mps2]: [Vec<f64>; 3] =
        [0, 1, 2].map(|k| ride.iter().map(|sample| [sample.0, sample.1, sample.2][k]).collect());
    ask(&Question {
        machine: bike.machine(),
        idle_rpm: 1400.0,
        body: BODY,
        ground: GROUND,
        riding: RIDING,
        motion: Motion { t_s: &t_s, speed_mps: &speed_mps, grade: &grade, accel_mps2: &accel_mps2 },
        pairs,
        weights: Weights::OURS,
    })
}

pub(crate) fn compared(bike: &Bike, ride: &[(f64, f64, f64)], pairs: &[Pair]) -> Comparison {
    with(bike, ride, pairs, |question| compare(question).expect("moves"))
}
