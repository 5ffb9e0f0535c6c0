//! Least squares in a few unknowns: Gauss-Newton steps, shortened (Levenberg) where one would not bring the sum down.

use super::matrix::{Matrix, Vector, against, inverse, normal, times};

/// Steps after which a fit that still moves is given up.
const STEPS: usize = 200;
/// A step below this, mm, is none.
const STILL_MM: f64 = 1e-9;
/// A sum larger by this share is no larger: near the least one rounding hides what a step brings, the slopes do not.
const ROUNDING: f64 = 1e-10;
/// Half the step of the wider of two difference quotients, mm: what the two leave and rounding are both near 1e-9.
const QUOTIENT_MM: f64 = 1e-2;

/// A place where the sum of squares is least.
#[derive(Debug, Clone)]
pub(super) struct Least {
    /// The unknowns there.
    pub(super) at: Vector,
    /// What each equation still lacks there.
    pub(super) rest: Vec<f64>,
    /// How each equation's value goes with each unknown.
    pub(super) slopes: Vec<Vector>,
}

impl Least {
    /// The sum of squares.
    pub(super) fn sum(&self) -> f64 {
        square(&self.rest)
    }
}

fn square(values: &[f64]) -> f64 {
    values.iter().map(|value| value * value).sum()
}

/// The least sum of squares of `wanted - model`, from a start; `None` where the model has no value at the start or
/// the steps never come to rest.
pub(super) fn least(
    model: &impl Fn(&Vector) -> Option<Vec<f64>>,
    wanted: &[f64],
    start: Vector,
    count: usize,
) -> Option<Least> {
    let rest = |at: &Vector| -> Option<Vec<f64>> {
        Some(model(at)?.iter().zip(wanted).map(|(value, wanted)| wanted - value).collect())
    };
    let mut found = Least { at: start, rest: rest(&start)?, slopes: slopes(model, &start, count)? };
    let mut damping = 1e-3;
    for _ in 0..STEPS {
        let information = normal(&found.slopes);
        let pull = against(&found.slopes, &found.rest);
        let step = times(&inverse(&damped(&information, damping, count), count)?, &pull);
        let mut next = found.at;
        for (place, move_mm) in next.iter_mut().zip(&step) {
            *place += move_mm;
        }
        let better = rest(&next).filter(|rest| square(rest) <= found.sum() * (1.0 + ROUNDING));
        if let Some(rest) = better
            && let Some(slopes) = slopes(model, &next, count)
        {
            found = Least { at: next, rest, slopes };
            damping = (damping * 0.1).max(1e-15);
            if step.iter().all(|move_mm| move_mm.abs() < STILL_MM) {
                return Some(found);
            }
        } else {
            // At rest already: no step, however short, brings the sum down any more.
            if step.iter().all(|move_mm| move_mm.abs() < STILL_MM) {
                return Some(found);
            }
            damping *= 10.0;
        }
    }
    None
}

/// Each unknown's own information a little stronger, and none without any.
fn damped(information: &Matrix, damping: f64, count: usize) -> Matrix {
    let mut damped = *information;
    let most = (0..count).map(|n| information[n][n]).fold(0.0, f64::max);
    for (n, line) in damped.iter_mut().enumerate().take(count) {
        line[n] += damping * line[n].max(1e-9 * most);
    }
    damped
}

/// How each value of the model goes with each unknown: two central difference quotients, extrapolated to no step.
pub(super) fn slopes(model: &impl Fn(&Vector) -> Option<Vec<f64>>, at: &Vector, count: usize) -> Option<Vec<Vector>> {
    let mut slopes: Vec<Vector> = Vec::new();
    for n in 0..count {
        let moved = |by: f64| {
            let mut place = *at;
            place[n] += by;
            model(&place)
        };
        let quotients = |half: f64| -> Option<Vec<f64>> {
            let (more, less) = (moved(half)?, moved(-half)?);
            Some(more.iter().zip(&less).map(|(more, less)| (more - less) / (2.0 * half)).collect())
        };
        let (wide, narrow) = (quotients(QUOTIENT_MM)?, quotients(QUOTIENT_MM / 2.0)?);
        slopes.resize(wide.len(), Vector::default());
        for (row, (wide, narrow)) in slopes.iter_mut().zip(wide.iter().zip(&narrow)) {
            row[n] = (4.0 * narrow - wide) / 3.0;
        }
    }
    Some(slopes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curved_model_is_fitted_where_its_slopes_stand_square_to_what_is_left() {
        let places = [0.0, 1.0, 2.0, 3.0, 4.0];
        let wanted = [5.1, 3.0, 1.9, 1.1, 0.8];
        let model = |at: &Vector| Some(places.iter().map(|x| at[0] * (-at[1] * x).exp()).collect::<Vec<_>>());
        let found = least(&model, &wanted, [1.0, 0.1, 0.0, 0.0], 2).expect("comes to rest");
        let pull = against(&found.slopes, &found.rest);
        assert!(pull.iter().all(|pull| pull.abs() < 1e-7), "{pull:?}");
        assert!(found.sum() < 0.05);
    }

    #[test]
    fn a_step_where_the_model_has_no_value_is_not_taken() {
        let model = |at: &Vector| (at[0] > 0.0).then(|| vec![at[0].sqrt(), 2.0 * at[0].sqrt()]);
        let found = least(&model, &[0.1, 0.2], [9.0, 0.0, 0.0, 0.0], 1).expect("comes to rest");
        assert!((found.at[0] - 0.01).abs() < 1e-7, "{:?}", found.at);
        assert!(least(&model, &[0.1, 0.2], [-1.0, 0.0, 0.0, 0.0], 1).is_none());
    }

    #[test]
    fn a_step_that_overshoots_is_shortened_until_one_brings_the_sum_down() {
        // From 2 a full step on arctan lands at -3.5 and each further one goes wider: only shortened ones come to 0.
        let model = |at: &Vector| Some(vec![at[0].atan()]);
        let found = least(&model, &[0.0], [2.0, 0.0, 0.0, 0.0], 1).expect("comes to rest");
        assert!(found.at[0].abs() < 1e-9, "{:?}", found.at);
    }

    #[test]
    fn a_step_too_long_in_every_unknown_at_once_is_shortened_too() {
        let model = |at: &Vector| Some(at.iter().map(|one| one.atan()).collect());
        let found = least(&model, &[0.0; 4], [2.0, -2.0, 3.0, 2.5], 4).expect("comes to rest");
        assert!(found.at.iter().all(|one| one.abs() < 1e-9), "{:?}", found.at);
    }
}
