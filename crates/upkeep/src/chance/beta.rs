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
    // The expansion about the normal point is near from a few degrees of freedom on, and always below the answer.
    let low = z + z * (z * z + 1.0) / (4.0 * dof);
    let low = if f(low) < 0.0 { low } else { 0.0 };
    let mut high = 1.05 * low.max(1.0);
    while f(high) < 0.0 && high < 1e300 {
        high *= 2.0;
    }
    crossing(f, low, high)
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
}
