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

#[cfg(test)]
mod tests {
    use measure::Length;

    use super::*;

    /// A part of uneven samples whose speed is a cubic of time and whose other lists run straight.
    fn part(t_s: &[f64]) -> Part {
        let of = |value: fn(f64) -> f64| t_s.iter().map(|t| value(*t)).collect::<Vec<f64>>();
        Part {
            origin: None,
            t_s: t_s.to_vec(),
            x_m: of(|t| 3.0 * t - 5.0),
            y_m: of(|t| 40.0 - 2.0 * t),
            s_m: of(|t| 13.0_f64.sqrt() * t),
            speed_mps: of(|t| 30.0 + 2.0 * t - 0.3 * t * t + 0.01 * t * t * t),
            accel_mps2: of(|t| 2.0 - 0.6 * t + 0.03 * t * t),
            sd_speed_mps: of(|t| 0.1 + 0.01 * t),
            height: Some(Height { ele_m: of(|t| 7.0 * t), grade: of(|t| 0.02 * t), sd_grade: of(|t| 0.5 - 0.01 * t) }),
            distance: Length::from_m(99.0),
        }
    }

    #[test]
    fn a_cubic_speed_comes_back_between_samples_and_so_does_what_runs_straight() {
        let part = part(&[2.0, 3.0, 4.5, 9.0, 9.5, 17.0]);
        let grid = resampled(&part, 0.3);
        assert_eq!(grid.t_s.len(), 51);
        let height = grid.height.as_ref().expect("kept");
        for (k, t) in grid.t_s.iter().enumerate() {
            let count = f64::from(u16::try_from(k).expect("few"));
            assert!((t - (2.0 + 0.3 * count)).abs() < 1e-12);
            assert!((grid.speed_mps[k] - (30.0 + 2.0 * t - 0.3 * t * t + 0.01 * t * t * t)).abs() < 1e-9, "{t}");
            for (found, want) in [
                (grid.x_m[k], 3.0 * t - 5.0),
                (grid.y_m[k], 40.0 - 2.0 * t),
                (grid.s_m[k], 13.0_f64.sqrt() * t),
                (grid.sd_speed_mps[k], 0.1 + 0.01 * t),
                (height.ele_m[k], 7.0 * t),
                (height.grade[k], 0.02 * t),
                (height.sd_grade[k], 0.5 - 0.01 * t),
            ] {
                assert!((found - want).abs() < 1e-9, "{t}: {found} for {want}");
            }
        }
        // An acceleration that is no straight line is taken as one from sample to sample.
        let [before, after] = [part.accel_mps2[2], part.accel_mps2[3]];
        assert!((grid.accel_mps2[10] - (before + (after - before) * 0.5 / 4.5)).abs() < 1e-12);
        assert_eq!(grid.distance, part.distance);
    }

    #[test]
    fn a_speed_never_swings_below_standstill() {
        let braking = Part { speed_mps: vec![4.0, 0.0], accel_mps2: vec![-9.0, 0.0], ..part(&[0.0, 2.0]) };
        let grid = resampled(&braking, 0.25);
        assert!(grid.speed_mps.contains(&0.0) && grid.speed_mps.iter().all(|speed| *speed >= 0.0));
    }

    #[test]
    fn the_last_point_belongs_where_only_rounding_puts_it_past_the_end() {
        assert_eq!(times(5.0, 0.9, 0.3).len(), 4);
        assert_eq!(times(5.0, 0.9 - 0.9 * ROUNDING_S, 0.3).len(), 4);
        assert_eq!(times(5.0, 0.9 - 1.1 * ROUNDING_S, 0.3).len(), 3);
        assert_eq!(times(5.0, 0.0, 0.3), [5.0]);
    }

    #[test]
    fn how_many_points_a_part_has_is_known_to_within_one() {
        for (t_s, step_s) in
            [(vec![0.0, 10.0], 3.0), (vec![4.0, 5.0, 31.0], 0.7), (vec![-3.0, 3.0], 1.0), (vec![8.0], 1.0)]
        {
            let part = part(&t_s);
            let real = |count: usize| f64::from(u16::try_from(count).expect("few"));
            assert!(
                (points(&part, step_s) - real(times(t_s[0], t_s[t_s.len() - 1] - t_s[0], step_s).len())).abs() < 1e-9
            );
        }
        assert!(points(&part(&[]), 1.0).abs() < 1e-12);
        assert_eq!(resampled(&part(&[8.0]), 1.0), part(&[8.0]));
    }
}
