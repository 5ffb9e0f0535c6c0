//! Root and maximum of a function of one number, inside a bracket.
//!
//! Root: Chandrupatla's method, which keeps the bracket and takes a quadratic step where it is safe.
//! Maximum: golden section.

/// A root of `f` between `low` and `high`, where it has unlike signs; `None` if it has not.
pub(super) fn root(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    let (mut b, mut a) = (low, high);
    let (mut fb, mut fa) = (f(b), f(a));
    if fb == 0.0 {
        return Some(b);
    }
    if fa == 0.0 {
        return Some(a);
    }
    if fa.is_nan() || fb.is_nan() || (fa > 0.0) == (fb > 0.0) {
        return None;
    }
    let mut share = 0.5;
    for _ in 0..200 {
        let x = a + share * (b - a);
        let fx = f(x);
        let (c, fc) = if (fx > 0.0) == (fa > 0.0) {
            let before = (a, fa);
            (a, fa) = (x, fx);
            before
        } else {
            let before = (b, fb);
            (b, fb) = (a, fa);
            (a, fa) = (x, fx);
            before
        };
        let (best, f_best) = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
        let near = 2.0 * f64::EPSILON * best.abs() + f64::MIN_POSITIVE;
        let least = near / (b - a).abs();
        if least > 0.5 || f_best == 0.0 {
            return Some(best);
        }
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        let quadratic = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
        share = if quadratic {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        share = share.clamp(least, 1.0 - least);
    }
    Some(a)
}

/// The place between `low` and `high` where `f`, with one top between them, is greatest.
pub(super) fn top(f: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut low, mut high) = (low, high);
    let (mut left, mut right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut f_left, mut f_right) = (f(left), f(right));
    // 2e-8 of the place is where the height, flat at a top, no longer changes in double precision.
    while high - low > 2e-8 * (low.abs() + high.abs()) + 1e-12 {
        if f_left >= f_right {
            (high, right, f_right) = (right, left, f_left);
            left = high - GOLDEN * (high - low);
            f_left = f(left);
        } else {
            (low, left, f_left) = (left, right, f_right);
            right = low + GOLDEN * (high - low);
            f_right = f(right);
        }
    }
    if f_left >= f_right { (left, f_left) } else { (right, f_right) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_is_found_to_the_last_digits() {
        let found = root(|x| x * x - 2.0, 0.0, 2.0).expect("a root");
        assert!((found - 2.0_f64.sqrt()).abs() < 1e-15);
        let steep = root(|x| x.powi(9) - 1e-9, 0.0, 1.0).expect("a root");
        assert!((steep - 0.1).abs() < 1e-12);
    }

    #[test]
    fn no_change_of_sign_is_no_root() {
        assert!(root(|x| x * x + 1.0, -1.0, 1.0).is_none());
        assert!(root(|_| f64::NAN, -1.0, 1.0).is_none());
    }

    #[test]
    fn a_top_is_found_inside_and_at_an_end() {
        assert!((top(|x| -(x - 0.3).powi(2), -1.0, 1.0).0 - 0.3).abs() < 1e-7);
        assert!((top(|x| x, -1.0, 1.0).0 - 1.0).abs() < 1e-7);
    }
}
