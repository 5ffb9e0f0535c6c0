//! A part on an even grid of time: speed by the cubic through speeds and accelerations, the rest straight between.

use super::{Height, Part};

/// A grid point this little beyond the end still belongs: rounding put it there.
const ROUNDING_S: f64 = 1e-9;

/// Where a grid time lies between two samples.
#[derive(Debug, Clone, Copy)]
struct Spot {
    /// Index of the sample before.
    before: usize,
    /// Fraction of the way to the next, 0 to 1.
    part: f64,
    /// Length of the interval in seconds.
    length_s: f64,
}

/// The part on a grid of `step_s` from its first sample; a part of one sample stays as it is.
pub(super) fn resampled(part: &Part, step_s: f64) -> Part {
    let (Some(first), Some(last), true) = (part.t_s.first(), part.t_s.last(), part.t_s.len() > 1) else {
        return part.clone();
    };
    let t_s = times(*first, last - first, step_s);
    let spots = spots(&part.t_s, &t_s);
    let straight = |values: &[f64]| spots.iter().map(|spot| between(values, *spot)).collect::<Vec<_>>();
    Part {
        origin: part.origin,
        x_m: straight(&part.x_m),
        y_m: straight(&part.y_m),
        s_m: straight(&part.s_m),
        speed_mps: spots.iter().map(|spot| speed(part, *spot)).collect(),
        accel_mps2: straight(&part.accel_mps2),
        sd_speed_mps: straight(&part.sd_speed_mps),
        height: part.height.as_ref().map(|height| Height {
            ele_m: straight(&height.ele_m),
            grade: straight(&height.grade),
            sd_grade: straight(&height.sd_grade),
        }),
        distance: part.distance,
        t_s,
    }
}

/// How many grid points a part would have, to within one.
pub(super) fn points(part: &Part, step_s: f64) -> f64 {
    match (part.t_s.first(), part.t_s.last()) {
        (Some(first), Some(last)) => ((last - first) / step_s).floor() + 1.0,
        _ => 0.0,
    }
}

fn times(first: f64, length_s: f64, step_s: f64) -> Vec<f64> {
    let mut times = Vec::new();
    let mut count = 0.0_f64;
    while count * step_s < length_s + ROUNDING_S {
        times.push(first + count * step_s);
        count += 1.0;
    }
    times
}

/// The spot of each grid time; both lists rise, so one walk finds them all.
fn spots(t_s: &[f64], grid_s: &[f64]) -> Vec<Spot> {
    let mut before = 0;
    let spot = |now: &f64| {
        while t_s.get(before + 2).is_some() && t_s.get(before + 1).is_some_and(|next| next <= now) {
            before += 1;
        }
        let begin = t_s.get(before).copied().unwrap_or(0.0);
        let length_s = t_s.get(before + 1).map_or(1.0, |next| next - begin);
        Spot { before, part: ((now - begin) / length_s).clamp(0.0, 1.0), length_s }
    };
    grid_s.iter().map(spot).collect()
}

fn pair(values: &[f64], spot: Spot) -> (f64, f64) {
    let at = |index: usize| values.get(index).copied().unwrap_or(0.0);
    (at(spot.before), at(spot.before + 1))
}

fn between(values: &[f64], spot: Spot) -> f64 {
    let (a, b) = pair(values, spot);
    a + (b - a) * spot.part
}

/// Cubic Hermite on speed and acceleration, not below standstill.
///
/// # Formula
/// `v = (1+2u)(1−u)² v₀ + u(1−u)² h a₀ + u²(3−2u) v₁ + u²(u−1) h a₁` with u the fraction of the interval h.
fn speed(part: &Part, spot: Spot) -> f64 {
    let ((v0, v1), (a0, a1)) = (pair(&part.speed_mps, spot), pair(&part.accel_mps2, spot));
    let (u, h) = (spot.part, spot.length_s);
    let w = 1.0 - u;
    ((1.0 + 2.0 * u) * w * w * v0 + u * w * w * h * a0 + u * u * (3.0 - 2.0 * u) * v1 - u * u * w * h * a1).max(0.0)
}
