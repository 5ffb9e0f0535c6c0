//! Incomplete gamma function, chi-square quantile, and the mean of a Weibull life in scales.

use drive::solve::crossing;

/// Share of a gamma distribution of shape `a` below `x`: the regularised lower incomplete gamma function P(a, x).
///
/// # Formula
/// Series for x < a + 1, continued fraction of the complement (modified Lentz) otherwise.
///
/// # Source
/// NIST Digital Library of Mathematical Functions 8.11.4 and 8.9.2.
#[must_use]
pub(crate) fn gamma_share(a: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let front = (a * x.ln() - x - libm::lgamma(a)).exp();
    if x < a + 1.0 { front * series(a, x) } else { 1.0 - front * fraction(a, x) }
}

fn series(a: f64, x: f64) -> f64 {
    let (mut term, mut sum, mut n) = (1.0 / a, 1.0 / a, a);
    while term.abs() > 1e-17 * sum.abs() {
        n += 1.0;
        term *= x / n;
        sum += term;
    }
    sum
}

fn fraction(a: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut h = d;
    for i in 1..100_000_u32 {
        let i = f64::from(i);
        let an = -i * (i - a);
        b += 2.0;
        d = floor_of(an * d + b, TINY).recip();
        c = floor_of(b + an / c, TINY);
        let step = d * c;
        h *= step;
        if (step - 1.0).abs() < 1e-16 {
            break;
        }
    }
    h
}

/// Keeps a denominator of a continued fraction away from zero.
pub(super) fn floor_of(value: f64, tiny: f64) -> f64 {
    if value.abs() < tiny { tiny } else { value }
}

/// The point below which a chi-square with `dof` degrees of freedom lies with probability `p`.
#[must_use]
pub(crate) fn chi_square_quantile(p: f64, dof: f64) -> f64 {
    let f = |x: f64| gamma_share(0.5 * dof, 0.5 * x) - p;
    let mut high = dof + 10.0;
    while f(high) < 0.0 && high < 1e12 {
        high *= 2.0;
    }
    crossing(f, 0.0, high)
}

/// Mean life in scales of a Weibull distribution of that shape: Γ(1 + 1/shape).
#[must_use]
pub(crate) fn mean_life_factor(shape: f64) -> f64 {
    libm::tgamma(1.0 + 1.0 / shape)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_shape_is_the_poisson_tail() {
        for (a, x) in [(1.0, 0.3), (3.0, 2.0), (3.0, 9.0), (40.0, 33.0)] {
            let (mut term, mut sum, mut k) = (f64::exp(-x), 0.0, 0.0);
            while k < a {
                sum += term;
                k += 1.0;
                term *= x / k;
            }
            assert!((gamma_share(a, x) - (1.0 - sum)).abs() < 1e-14);
        }
    }

    #[test]
    fn chi_square_of_two_is_an_exponential() {
        for p in [0.5, 0.9, 0.999] {
            assert!((chi_square_quantile(p, 2.0) + 2.0 * (1.0_f64 - p).ln()).abs() < 1e-11);
        }
    }
}
