//! The smoothers against the same question asked all at once: one dense system of normal equations for a whole ride,
//! every state an unknown, solved without any recursion.

use proptest::prelude::*;
use ride::profile::{HeightTuning, PlaneTuning, Samples, Tuning, grade, of_samples};
use ride::track::Class;

type Rows = Vec<Vec<f64>>;

/// The inverse by elimination with the largest pivot, each unknown scaled to its own size first.
fn inverse(matrix: &Rows) -> Rows {
    let n = matrix.len();
    let scale: Vec<f64> = (0..n).map(|k| matrix[k][k].sqrt()).collect();
    let mut work: Rows = (0..n)
        .map(|r| {
            let left = (0..n).map(|c| matrix[r][c] / (scale[r] * scale[c]));
            left.chain((0..n).map(|c| if r == c { 1.0 } else { 0.0 })).collect()
        })
        .collect();
    for k in 0..n {
        let pivot = (k..n).max_by(|a, b| work[*a][k].abs().total_cmp(&work[*b][k].abs())).expect("rows left");
        work.swap(k, pivot);
        let by = work[k][k];
        work[k].iter_mut().for_each(|cell| *cell /= by);
        let line = work[k].clone();
        for (_, row) in work.iter_mut().enumerate().filter(|(r, _)| *r != k) {
            let by = row[k];
            row.iter_mut().zip(&line).for_each(|(cell, above)| *cell -= by * above);
        }
    }
    (0..n).map(|r| (0..n).map(|c| work[r][n + c] / (scale[r] * scale[c])).collect()).collect()
}

/// Normal equations of all states of a ride, each of so many numbers.
struct Whole {
    size: usize,
    information: Rows,
    pull: Vec<f64>,
}

impl Whole {
    fn new(states: usize, size: usize) -> Self {
        let n = states * size;
        Self { size, information: vec![vec![0.0; n]; n], pull: vec![0.0; n] }
    }

    /// Some numbers, each a sum of unknowns, are known with a covariance.
    fn know(&mut self, rows: &[Vec<(usize, f64)>], values: &[f64], covariance: &Rows) {
        let weight = inverse(covariance);
        for (a, one) in rows.iter().enumerate() {
            for (b, other) in rows.iter().enumerate() {
                for (i, left) in one {
                    for (j, right) in other {
                        self.information[*i][*j] += left * weight[a][b] * right;
                    }
                    self.pull[*i] += left * weight[a][b] * values[b];
                }
            }
        }
    }

    /// The first state before anything is measured.
    fn begin(&mut self, at: &[f64], variances: &[f64]) {
        for (k, (at, variance)) in at.iter().zip(variances).enumerate() {
            self.know(&[vec![(k, 1.0)]], &[*at], &vec![vec![*variance]]);
        }
    }

    /// State `k` follows from the one before by `step`, but for noise.
    fn follow(&mut self, k: usize, step: &Rows, noise: &Rows) {
        let (before, here) = ((k - 1) * self.size, k * self.size);
        let rows: Vec<Vec<(usize, f64)>> = step
            .iter()
            .enumerate()
            .map(|(r, row)| {
                let from = row.iter().enumerate().map(|(c, by)| (before + c, -by));
                from.chain([(here + r, 1.0)]).collect()
            })
            .collect();
        self.know(&rows, &vec![0.0; self.size], noise);
    }

    fn measure(&mut self, k: usize, value: f64, variance: f64) {
        self.know(&[vec![(k * self.size, 1.0)]], &[value], &vec![vec![variance]]);
    }

    /// All unknowns, and their covariance.
    fn solved(&self) -> (Vec<f64>, Rows) {
        let covariance = inverse(&self.information);
        let found = covariance.iter().map(|row| row.iter().zip(&self.pull).map(|(c, p)| c * p).sum()).collect();
        (found, covariance)
    }
}

/// One axis of a ride of which the first `known` positions count, with their variances.
fn axis(t_s: &[f64], at_m: &[f64], variances: &[f64], known: usize, q: f64) -> (Vec<f64>, Rows) {
    let states = t_s.len().min(known + 1);
    let mut whole = Whole::new(states, 3);
    whole.begin(&[at_m[0], 0.0, 0.0], &[1e4, 900.0, 100.0]);
    for k in 1..states {
        let d = t_s[k] - t_s[k - 1];
        let step = vec![vec![1.0, d, d * d / 2.0], vec![0.0, 1.0, d], vec![0.0, 0.0, 1.0]];
        let [one, two, three, four, five] = [1, 2, 3, 4, 5].map(|power| q * d.powi(power));
        let noise = vec![
            vec![five / 20.0, four / 8.0, three / 6.0],
            vec![four / 8.0, three / 3.0, two / 2.0],
            vec![three / 6.0, two / 2.0, one],
        ];
        whole.follow(k, &step, &noise);
    }
    for k in 0..known {
        whole.measure(k, at_m[k], variances[k]);
    }
    whole.solved()
}

/// Variances of the positions, wild ones larger: each judged by what those before it foresee.
fn variances(samples: &Samples, tuning: &PlaneTuning) -> Vec<f64> {
    let usual = tuning.sigma_m * tuning.sigma_m;
    let mut all: Vec<f64> = Vec::new();
    for k in 0..samples.t_s.len() {
        let seen = |at_m: &[f64]| {
            let (found, covariance) = axis(&samples.t_s, at_m, &all, k, tuning.jerk_m2s5);
            (at_m[k] - found[3 * k], covariance[3 * k][3 * k])
        };
        let ((east, variance), (north, _)) = (seen(&samples.x_m), seen(&samples.y_m));
        let far = (east * east + north * north) / (variance + usual);
        // One in a thousand lies further by chance: 2 ln 1000.
        let most = 13.8155;
        all.push(if tuning.gate && far > most { usual * far / most } else { usual });
    }
    all
}

fn near(one: f64, other: f64, tolerance: f64) -> bool {
    (one - other).abs() <= tolerance * (1.0 + other.abs())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_plane_smoother_is_the_best_of_the_whole_ride(
        steps in prop::collection::vec((0.5..9.0_f64, -12.0..12.0_f64, -12.0..12.0_f64), 3..8),
        wild in prop::option::of((0_usize..8, 60.0..300.0_f64)), sigma_m in 1.0..6.0_f64, jerk_m2s5 in 0.05..2.0_f64,
    ) {
        let mut samples = Samples { origin: None, t_s: vec![], x_m: vec![], y_m: vec![], ele_m: vec![None; steps.len()] };
        let (mut t, mut x, mut y) = (4.0, -30.0, 12.0);
        for (k, (dt, vx, vy)) in steps.iter().enumerate() {
            (t, x, y) = (t + dt, x + dt * vx, y + dt * vy);
            let off = wild.filter(|(at, _)| *at == k).map_or(0.0, |(_, off)| off);
            samples.t_s.push(t);
            samples.x_m.push(x + off);
            samples.y_m.push(y);
        }
        let plane = PlaneTuning { sigma_m, jerk_m2s5, gate: true };
        let all = variances(&samples, &plane);
        let count = samples.t_s.len();
        let (east, covariance) = axis(&samples.t_s, &samples.x_m, &all, count, jerk_m2s5);
        let (north, _) = axis(&samples.t_s, &samples.y_m, &all, count, jerk_m2s5);
        let part = &of_samples(Class::Timed, [samples], &Tuning { plane, ..Tuning::USUAL }).parts[0];
        let mut s_m = 0.0_f64;
        for k in 0..count {
            let [px, vx, ax] = [0, 1, 2].map(|n| east[3 * k + n]);
            let [py, vy, ay] = [0, 1, 2].map(|n| north[3 * k + n]);
            prop_assert!(near(part.x_m[k], px, 1e-5) && near(part.y_m[k], py, 1e-5), "{k}: {} for {px}", part.x_m[k]);
            let speed = vx.hypot(vy);
            prop_assert!(near(part.speed_mps[k], speed, 1e-5), "{k}: {} for {speed}", part.speed_mps[k]);
            let along = (ax * vx + ay * vy) / speed.max(0.3);
            prop_assert!(near(part.accel_mps2[k], along, 1e-4), "{k}: {} for {along}", part.accel_mps2[k]);
            let sd = covariance[3 * k + 1][3 * k + 1].sqrt();
            prop_assert!(near(part.sd_speed_mps[k], sd, 1e-5), "{k}: {} for {sd}", part.sd_speed_mps[k]);
            if k > 0 {
                s_m += (px - east[3 * k - 3]).hypot(py - north[3 * k - 3]);
            }
            prop_assert!(near(part.s_m[k], s_m, 1e-5));
        }
        prop_assert!(near(part.distance.m(), s_m, 1e-5));
    }

    #[test]
    fn the_height_smoother_is_the_best_of_the_whole_ride(
        steps in prop::collection::vec((0.5..60.0_f64, prop::option::weighted(0.8, -20.0..20.0_f64)), 2..12),
        sigma_m in 0.5..6.0_f64, grade_pm in 1e-5..1e-2_f64,
    ) {
        let (mut s_m, mut ele_m): (Vec<f64>, Vec<Option<f64>>) = (vec![], vec![]);
        let mut here = 3.0;
        for (step, ele) in &steps {
            here += step;
            s_m.push(here);
            ele_m.push(ele.map(|ele| 400.0 + ele));
        }
        let tuning = HeightTuning { sigma_m, grade_pm };
        let found = grade(&s_m, &ele_m, &tuning);
        let Some(first) = ele_m.iter().flatten().next() else {
            prop_assert!(found.is_none());
            return Ok(());
        };
        let found = found.expect("elevations");
        let mut whole = Whole::new(s_m.len(), 2);
        whole.begin(&[*first, 0.0], &[1e6, 1.0]);
        for k in 1..s_m.len() {
            let d = s_m[k] - s_m[k - 1];
            let noise = vec![
                vec![grade_pm * d * d * d / 3.0, grade_pm * d * d / 2.0],
                vec![grade_pm * d * d / 2.0, grade_pm * d],
            ];
            whole.follow(k, &vec![vec![1.0, d], vec![0.0, 1.0]], &noise);
        }
        for (k, ele) in ele_m.iter().enumerate().filter_map(|(k, ele)| ele.map(|ele| (k, ele))) {
            whole.measure(k, ele, sigma_m * sigma_m);
        }
        let (states, covariance) = whole.solved();
        for k in 0..s_m.len() {
            prop_assert!(near(found.ele_m[k], states[2 * k], 1e-5), "{k}: {} for {}", found.ele_m[k], states[2 * k]);
            prop_assert!(near(found.grade[k], states[2 * k + 1], 1e-5), "{k}: {} for {}", found.grade[k], states[2 * k + 1]);
            let sd = covariance[2 * k + 1][2 * k + 1].sqrt();
            prop_assert!(near(found.sd_grade[k], sd, 1e-5), "{k}: {} for {sd}", found.sd_grade[k]);
        }
    }
}
