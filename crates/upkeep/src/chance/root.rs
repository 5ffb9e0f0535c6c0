//! One root finder: safe between two signs, fast where the function is smooth.

/// Where `f` passes zero between `low` and `high`, which must lie on opposite sides (or one on zero).
///
/// # Formula
/// Chandrupatla's method: inverse quadratic steps where they can be trusted, else halving.
///
/// # Source
/// Chandrupatla 1997, "a new hybrid quadratic/bisection algorithm"; the trust test is his.
pub fn crossing(f: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut a, mut b) = (high, low);
    let (mut fa, mut fb) = (f(a), f(b));
    let mut t = 0.5;
    for _ in 0..400 {
        let x = a + t * (b - a);
        let fx = f(x);
        let (c, fc);
        if (fx < 0.0) == (fa < 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let (best, f_best) = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
        let slack = (2.0 * f64::EPSILON * best.abs() + f64::MIN_POSITIVE) / (b - a).abs();
        // Where the function or a bound is no number there is no crossing to narrow; whoever asked refuses the answer.
        if f_best == 0.0 || slack >= 0.5 || slack.is_nan() {
            return best;
        }
        t = trusted_step(&[(a, fa), (b, fb), (c, fc)]).unwrap_or(0.5).clamp(slack, 1.0 - slack);
    }
    a
}

/// The inverse quadratic step as a share of b − a, where the three points allow it.
fn trusted_step(&[(a, fa), (b, fb), (c, fc)]: &[(f64, f64); 3]) -> Option<f64> {
    let xi = (a - b) / (c - b);
    let phi = (fa - fb) / (fc - fb);
    let trusted = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
    trusted.then(|| fa / (fb - fa) * (fc / (fb - fc)) + (c - a) / (b - a) * fa / (fc - fa) * (fb / (fc - fb)))
}

/// The first of `stops` (rising) before which `f` has reached `goal`, narrowed to the point; `None` if it never has.
///
/// # Holds when
/// `f` reaches the goal for good between two stops; a rise and fall between neighbours is not seen.
pub fn first_reaching(f: impl Fn(f64) -> f64, goal: f64, stops: impl Iterator<Item = f64>) -> Option<f64> {
    let mut low = 0.0;
    for high in stops {
        if f(high) >= goal {
            return Some(crossing(|t| f(t) - goal, low, high));
        }
        low = high;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_is_found_whichever_side_is_named_first() {
        for (low, high) in [(0.0, 2.0), (2.0, 0.0)] {
            assert!((crossing(|x| x * x - 2.0, low, high) - 2.0_f64.sqrt()).abs() < 1e-15);
        }
        assert!((crossing(|x| x.powi(9), -1.0, 1.5)).abs() < 1e-20);
        assert!((crossing(|x| (x - 1e-9).signum(), 0.0, 1e6) - 1e-9).abs() < 1e-24);
    }

    #[test]
    fn without_bounds_or_values_it_ends_without_a_number() {
        assert!(!crossing(|x| x, f64::INFINITY, f64::INFINITY).is_finite());
        assert!(!crossing(|x| x, f64::NAN, 1.0).is_finite() || crossing(|x| x, f64::NAN, 1.0).abs() <= 1.0);
        let _ends = crossing(|_| f64::NAN, 0.0, 1.0);
    }
}
