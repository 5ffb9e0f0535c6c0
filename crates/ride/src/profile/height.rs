//! The height smoother: elevations along the distance → elevation and grade.
//!
//! It runs over distance, not time, so that standing still cannot make a slope. It holds elevation z and grade g;
//! the grade wanders with density q per metre:
//!
//! ```text
//! F = [1 d; 0 1]    Q = q [d³/3 d²/2; d²/2 d]    R = σ²
//! ```
//!
//! A missing elevation is a step without a measurement. With no knowledge before the first point this is the cubic
//! smoothing spline with weights 1/σ² and smoothing 1/q.

/// How much the elevations are believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightTuning {
    /// Standard deviation of a recorded elevation, in metres: 2 barometric, 5 by satellite.
    pub sigma_m: f64,
    /// How briskly the grade may change, per metre.
    pub grade_pm: f64,
}

impl HeightTuning {
    /// σ 2 m, 10⁻⁴ per metre.
    pub const USUAL: Self = Self { sigma_m: 2.0, grade_pm: 1e-4 };
}

/// Smoothed elevations: lists as long as the distances they belong to.
#[derive(Debug, Clone, PartialEq)]
pub struct Height {
    /// Elevation.
    pub ele_m: Vec<f64>,
    /// Grade, rise over level distance.
    pub grade: Vec<f64>,
    /// Standard deviation of the grade.
    pub sd_grade: Vec<f64>,
}

/// Variances before the first elevation: 1000 m, grade 1.
///
/// # Source
/// `ours`.
const BEFORE: (f64, f64) = (1e6, 1.0);

/// The steepest grade that is shown.
///
/// # Source
/// `ours`.
const STEEPEST: f64 = 0.7;

/// A step in elevation higher than this, within the distance below, is a jump of the recorder.
///
/// # Source
/// `ours`: steps of 60 m between neighbours were seen in a recording.
const JUMP_M: f64 = 30.0;
/// See [`JUMP_M`].
///
/// # Source
/// `ours`.
const JUMP_WITHIN_M: f64 = 50.0;

/// A stretch of this length with an elevation at every point is needed to tell a grade.
///
/// # Source
/// `ours`.
const STRETCH_M: f64 = 200.0;

impl Height {
    /// The same with the grade held within ±0.7, and how often it was beyond.
    pub(super) fn clamped(mut self) -> (Self, usize) {
        let mut beyond = 0;
        for grade in &mut self.grade {
            if grade.abs() > STEEPEST {
                beyond += 1;
                *grade = grade.clamp(-STEEPEST, STEEPEST);
            }
        }
        (self, beyond)
    }
}

/// Elevation, grade, and their covariance zz, zg, gg.
#[derive(Debug, Clone, Copy)]
struct State {
    z: f64,
    g: f64,
    zz: f64,
    zg: f64,
    gg: f64,
}

impl State {
    fn ahead(&self, d: f64, q: f64) -> Self {
        let zg = self.zg + d * self.gg;
        Self {
            z: self.z + d * self.g,
            g: self.g,
            zz: self.zz + d * self.zg + d * zg + q * d * d * d / 3.0,
            zg: zg + q * d * d / 2.0,
            gg: self.gg + q * d,
        }
    }

    fn measured(&self, ele_m: f64, noise: f64) -> Self {
        let spread = self.zz + noise;
        let (kz, kg, off, left) = (self.zz / spread, self.zg / spread, ele_m - self.z, noise / spread);
        Self {
            z: self.z + kz * off,
            g: self.g + kg * off,
            zz: left * left * self.zz + noise * kz * kz,
            zg: left * (self.zg - kg * self.zz) + noise * kz * kg,
            gg: self.gg - 2.0 * kg * self.zg + kg * kg * spread,
        }
    }

    fn smoothed(&self, later: &Self, d: f64, q: f64) -> Self {
        let next = self.ahead(d, q);
        // C = P Fᵀ P⁻: rows of (zz + d zg, zg) and (zg + d gg, gg) times the inverse of the predicted covariance.
        let det = (next.zz * next.gg - next.zg * next.zg).max(f64::MIN_POSITIVE);
        let row = |a: f64, b: f64| ((a * next.gg - b * next.zg) / det, (b * next.zz - a * next.zg) / det);
        let (z0, z1) = row(self.zz + d * self.zg, self.zg);
        let (g0, g1) = row(self.zg + d * self.gg, self.gg);
        let (off_z, off_g) = (later.z - next.z, later.g - next.g);
        let (zz, zg, gg) = (later.zz - next.zz, later.zg - next.zg, later.gg - next.gg);
        let form = |a0: f64, a1: f64, b0: f64, b1: f64| a0 * (zz * b0 + zg * b1) + a1 * (zg * b0 + gg * b1);
        Self {
            z: self.z + z0 * off_z + z1 * off_g,
            g: self.g + g0 * off_z + g1 * off_g,
            zz: self.zz + form(z0, z1, z0, z1),
            zg: self.zg + form(z0, z1, g0, g1),
            gg: self.gg + form(g0, g1, g0, g1),
        }
    }
}

/// Smooths elevations along a distance that does not fall; `None` if not one elevation is there.
///
/// # Shape
/// Both lists of one length; so are the answer's. The grade is not clamped.
#[must_use]
pub fn grade(s_m: &[f64], ele_m: &[Option<f64>], tuning: &HeightTuning) -> Option<Height> {
    let first = ele_m.iter().flatten().next()?;
    let (noise, q) = (tuning.sigma_m * tuning.sigma_m, tuning.grade_pm);
    let mut states: Vec<State> = Vec::with_capacity(s_m.len());
    let mut last_m = 0.0;
    for (here_m, ele_m) in s_m.iter().zip(ele_m) {
        let before = match states.last() {
            Some(state) => state.ahead(here_m - last_m, q),
            None => State { z: *first, g: 0.0, zz: BEFORE.0, zg: 0.0, gg: BEFORE.1 },
        };
        states.push(ele_m.map_or(before, |ele_m| before.measured(ele_m, noise)));
        last_m = *here_m;
    }
    let mut later: Option<(State, f64)> = None;
    for (state, here_m) in states.iter_mut().zip(s_m).rev() {
        if let Some((told, later_m)) = later {
            *state = state.smoothed(&told, later_m - here_m, q);
        }
        later = Some((*state, *here_m));
    }
    Some(Height {
        ele_m: states.iter().map(|state| state.z).collect(),
        grade: states.iter().map(|state| state.g).collect(),
        sd_grade: states.iter().map(|state| state.gg.max(0.0).sqrt()).collect(),
    })
}

/// Takes elevations as missing that jump against the last good one, and counts them.
pub(super) fn without_jumps(s_m: &[f64], mut ele_m: Vec<Option<f64>>) -> (Vec<Option<f64>>, usize) {
    let (mut last, mut jumps) = (None::<(f64, f64)>, 0);
    for (here_m, ele) in s_m.iter().zip(&mut ele_m) {
        let Some(z) = *ele else { continue };
        match last {
            Some((at_m, good)) if (z - good).abs() > JUMP_M && here_m - at_m < JUMP_WITHIN_M => {
                *ele = None;
                jumps += 1;
            }
            _ => last = Some((*here_m, z)),
        }
    }
    (ele_m, jumps)
}

/// Whether the elevations can tell a grade: at least two and half of the points have one, and some stretch has one
/// at every point.
pub(super) fn known(s_m: &[f64], ele_m: &[Option<f64>]) -> bool {
    let there = ele_m.iter().flatten().count();
    if there < 2 || 2 * there < ele_m.len() {
        return false;
    }
    let mut begin_m = None;
    s_m.iter().zip(ele_m).any(|(here_m, ele)| {
        begin_m = ele.map(|_| begin_m.unwrap_or(*here_m));
        begin_m.is_some_and(|begin_m| here_m - begin_m >= STRETCH_M)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_jump_is_higher_than_thirty_metres_within_fifty_and_is_told_against_the_last_good_one() {
        let told = |s_m: &[f64], ele_m: &[f64]| {
            let (left, jumps) = without_jumps(s_m, ele_m.iter().copied().map(Some).collect());
            (left.iter().map(Option::is_some).collect::<Vec<bool>>(), jumps)
        };
        assert_eq!(told(&[0.0, 10.0], &[5.0, 35.0]), (vec![true, true], 0));
        assert_eq!(told(&[0.0, 10.0], &[5.0, 35.001]), (vec![true, false], 1));
        assert_eq!(told(&[0.0, 10.0], &[35.001, 5.0]), (vec![true, false], 1));
        assert_eq!(told(&[0.0, 50.0], &[5.0, 90.0]), (vec![true, true], 0));
        assert_eq!(told(&[100.0, 149.999], &[5.0, 90.0]), (vec![true, false], 1));
        assert_eq!(told(&[0.0, 10.0, 20.0, 30.0], &[5.0, 90.0, 91.0, 6.0]), (vec![true, false, false, true], 2));
        let gap = without_jumps(&[0.0, 10.0, 20.0], vec![Some(5.0), None, Some(90.0)]);
        assert_eq!(gap, (vec![Some(5.0), None, None], 1));
    }

    #[test]
    fn a_grade_is_told_from_half_the_points_and_one_unbroken_stretch() {
        let tells = |s_m: &[f64], there: &[bool]| {
            known(s_m, &there.iter().map(|there| there.then_some(5.0)).collect::<Vec<_>>())
        };
        assert!(tells(&[10.0, 210.0], &[true, true]));
        assert!(!tells(&[10.0, 209.999], &[true, true]), "too short a stretch");
        assert!(!tells(&[0.0], &[true]) && !tells(&[], &[]), "one elevation tells no grade");
        assert!(tells(&[0.0, 200.0, 300.0, 400.0], &[true, true, false, false]));
        assert!(!tells(&[0.0, 200.0, 300.0, 400.0, 500.0], &[true, true, false, false, false]), "less than half");
        assert!(!tells(&[0.0, 100.0, 200.0, 300.0], &[true, false, true, true]), "broken");
    }

    #[test]
    fn a_grade_beyond_the_steepest_is_shown_as_that_and_counted() {
        let grade = vec![0.7, -0.7, 0.700_001, -0.9, 0.1];
        let (height, beyond) = Height { ele_m: vec![0.0; 5], grade, sd_grade: vec![0.0; 5] }.clamped();
        assert_eq!((height.grade, beyond), (vec![0.7, -0.7, 0.7, -0.7, 0.1], 2));
    }
}
