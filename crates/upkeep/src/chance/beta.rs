//! Incomplete beta function and the Student quantile.

use drive::solve::crossing;

use super::gamma::floor_of;
use super::normal;

/// Share of a beta distribution (`a`, `b`) below `x`: the regularised incomplete beta function; `y` = 1 − `x` is
/// given apart, so that neither end loses its digits.
///
/// # Formula
/// Continued fraction (modified Lentz), on the side of the mean where it converges fast.
///
/// # Source
/// NIST Digital Library of Mathematical Functions 8.17.22 and the reflection 8.17.4.
#[must_use]
pub(crate) fn incomplete_beta(a: f64, b: f64, x: f64, y: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if y <= 0.0 {
        return 1.0;
    }
    let ln_front = libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b) + a * x.ln() + b * y.ln();
    if x < (a + 1.0) / (a + b + 2.0) {
        ln_front.exp() * fraction(a, b, x) / a
    } else {
        1.0 - ln_front.exp() * fraction(b, a, y) / b
    }
}

fn fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let mut c = 1.0;
    let mut d = floor_of(1.0 - (a + b) * x / (a + 1.0), TINY).recip();
    let mut h = d;
    for m in 1..200_000_u32 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = floor_of(1.0 + even * d, TINY).recip();
        c = floor_of(1.0 + even / c, TINY);
        h *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = floor_of(1.0 + odd * d, TINY).recip();
        c = floor_of(1.0 + odd / c, TINY);
        let step = d * c;
        h *= step;
        if (step - 1.0).abs() < 1e-16 {
            break;
        }
    }
    h
}

/// The point below which Student's t with `dof` degrees of freedom (need not be whole, at least 1) lies with
/// probability `p` above ½.
///
/// # Formula
/// Root of I_{t²/(ν+t²)}(½, ν/2) = 2p − 1; beyond ν = 10⁶ the expansion about the normal point, exact to rounding there.
///
/// # Source
/// Abramowitz and Stegun 26.7.1 and 26.7.5.
#[must_use]
pub(crate) fn student_quantile(p: f64, dof: f64) -> f64 {
    let z = normal::quantile(p);
    if dof > 1e6 {
        let z2 = z * z;
        return z + z * (z2 + 1.0) / (4.0 * dof) + z * ((5.0 * z2 + 16.0) * z2 + 3.0) / (96.0 * dof * dof);
    }
    let wide = 2.0 * (1.0 - p);
    let f = |t: f64| {
        let t2 = t * t;
        wide - incomplete_beta(0.5 * dof, 0.5, dof / (dof + t2), t2 / (dof + t2))
    };
    // The normal point is always below the answer.
    let mut high = z.max(1.0);
    while f(high) < 0.0 {
        high *= 2.0;
    }
    crossing(f, z, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn one_degree_of_freedom_is_the_cauchy_distribution() {
        let want = (PI * 0.475).tan();
        assert!((student_quantile(0.975, 1.0) / want - 1.0).abs() < 1e-12);
    }

    #[test]
    fn two_degrees_of_freedom_have_a_closed_form() {
        let p: f64 = 0.975;
        let want = (2.0 * p - 1.0) * (2.0 / (4.0 * p * (1.0 - p))).sqrt();
        assert!((student_quantile(p, 2.0) / want - 1.0).abs() < 1e-12);
    }

    #[test]
    fn many_degrees_of_freedom_pass_smoothly_to_the_normal() {
        let (below, above) = (student_quantile(0.975, 0.999_999e6), student_quantile(0.975, 1.000_001e6));
        assert!((below - above).abs() < 1e-9 && above > normal::quantile(0.975));
    }

    #[test]
    fn a_whole_second_shape_is_the_binomial_tail() {
        let x: f64 = 0.3;
        let want = x.powi(5) + 5.0 * x.powi(4) * (1.0 - x);
        assert!((incomplete_beta(4.0, 2.0, x, 1.0 - x) - want).abs() < 1e-15);
    }

    /// The share below x of a beta distribution, by the trapezium rule in s, x = 1/(1 + exp(−π sinh s)).
    fn summed(a: f64, b: f64, x: f64) -> f64 {
        let (mut below, mut all) = (0.0, 0.0);
        for k in -60_000..=60_000 {
            let s = f64::from(k) * 1e-4;
            let t = PI * s.sinh();
            // x^a (1 − x)^b dt, which is x^(a−1) (1 − x)^(b−1) dx.
            let part = (-a * (-t).exp().ln_1p() - b * t.exp().ln_1p()).exp() * s.cosh();
            let edge = (x / (1.0 - x)).ln();
            all += part;
            if t < edge {
                below += part;
            }
        }
        below / all
    }

    #[test]
    fn the_share_below_is_the_area_under_the_curve() {
        for (a, b) in [(0.5, 0.5), (0.5, 7.3), (2.5, 0.7), (3.2, 4.1), (12.0, 30.5)] {
            for x in [0.02, 0.2, 0.4, 0.55, 0.8, 0.97] {
                let (found, want) = (incomplete_beta(a, b, x, 1.0 - x), summed(a, b, x));
                assert!((found - want).abs() < 3e-4, "{a} {b} {x}: {found} {want}");
            }
        }
    }

    /// The share below x for whole shapes: at least `a` of a + b − 1 throws succeed, each with chance x.
    fn thrown(a: u32, b: u32, x: f64) -> f64 {
        let throws = a + b - 1;
        let mut sum = 0.0;
        for hits in a..=throws {
            let ways: f64 = (1..=hits).map(|k| f64::from(throws - hits + k) / f64::from(k)).product();
            sum += ways * x.powi(i32::try_from(hits).unwrap()) * (1.0 - x).powi(i32::try_from(throws - hits).unwrap());
        }
        sum
    }

    #[test]
    fn whole_shapes_are_throws_to_the_last_digits_of_small_shares_too() {
        for (a, b) in [(1, 1), (1, 9), (4, 2), (9, 1), (40, 3), (3, 40), (25, 25), (60, 20)] {
            for x in [0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99] {
                let found = incomplete_beta(f64::from(a), f64::from(b), x, 1.0 - x);
                let want = thrown(a, b, x);
                assert!((found - want).abs() <= 1e-12 * want, "{a} {b} {x}: {found:e} {want:e}");
            }
        }
    }

    #[test]
    fn the_halves_of_the_line_are_the_arcsine_and_the_ends_are_the_ends() {
        for x in [1e-12_f64, 0.003, 0.25, 0.5, 0.75, 0.997] {
            let want = 2.0 / PI * x.sqrt().asin();
            assert!((incomplete_beta(0.5, 0.5, x, 1.0 - x) / want - 1.0).abs() < 1e-13, "{x}");
        }
        assert_eq!([incomplete_beta(2.0, 3.0, 0.0, 1.0), incomplete_beta(2.0, 3.0, 1.0, 0.0)], [0.0, 1.0]);
        assert_eq!([incomplete_beta(2.0, 3.0, -0.1, 1.1), incomplete_beta(2.0, 3.0, 1.1, -0.1)], [0.0, 1.0]);
    }

    #[test]
    fn large_shapes_agree_from_both_ends_and_with_the_step_from_one_shape_to_the_next() {
        for (a, b) in [(300.0, 900.0), (5e4, 2e4), (1e5, 3.5), (0.5, 2e5)] {
            for by in [-2.0, -0.4, 0.0, 0.3, 1.7] {
                let mean: f64 = a / (a + b);
                let x: f64 = (mean + by * (mean * (1.0 - mean) / (a + b)).sqrt()).max(1e-9);
                let y = 1.0 - x;
                let share = incomplete_beta(a, b, x, y);
                assert!((share + incomplete_beta(b, a, y, x) - 1.0).abs() < 3e-9, "{a} {b} {by}");
                // I(a, b) − I(a + 1, b) = x^a y^b / (a B(a, b)).
                let step =
                    (a * x.ln() + b * y.ln() + libm::lgamma(a + b) - libm::lgamma(a + 1.0) - libm::lgamma(b)).exp();
                assert!((share - incomplete_beta(a + 1.0, b, x, y) - step).abs() < 3e-9, "{a} {b} {by}");
            }
        }
    }

    #[test]
    fn four_degrees_of_freedom_have_a_closed_form_and_none_lie_near_the_middle() {
        for p in [0.6, 0.9, 0.975, 0.999, 1.0 - 1e-9] {
            // Shaw's form of the quantile at four degrees of freedom.
            let alpha: f64 = 4.0 * p * (1.0 - p);
            let q = (alpha.sqrt().acos() / 3.0).cos() / alpha.sqrt();
            let want = 2.0 * (q - 1.0).sqrt();
            assert!((student_quantile(p, 4.0) / want - 1.0).abs() < 1e-8, "{p}");
        }
        assert_eq!(student_quantile(0.5, 3.0), 0.0);
    }

    #[test]
    fn the_quantile_has_its_chance_and_falls_to_the_normal_one_as_the_expansion_says() {
        for dof in [1.0, 1.5, 3.7, 12.0, 300.0, 4e4, 9.9e5, 1.1e6, 1e9] {
            for p in [0.51, 0.75, 0.95, 0.975, 0.9999] {
                let t = student_quantile(p, dof);
                // Far up the shape costs digits in the logarithm of its own gamma function.
                let (x, y) = (dof / (dof + t * t), t * t / (dof + t * t));
                let tail = 0.5 * incomplete_beta(0.5 * dof, 0.5, x, y);
                assert!(dof > 1e6 || (tail / (1.0 - p) - 1.0).abs() < 1e-11 + 1e-15 * dof, "{p} {dof}: {tail}");
                let z = normal::quantile(p);
                assert!(t > z);
                if dof > 1e4 {
                    let first = z * (z * z + 1.0) / (4.0 * dof);
                    let second = z * ((5.0 * z * z + 16.0) * z * z + 3.0) / (96.0 * dof * dof);
                    let within = if dof > 1e6 { 4e-15 } else { 1e-9 };
                    assert!((t - z - first - second).abs() < within, "{p} {dof}");
                }
            }
        }
    }
}
