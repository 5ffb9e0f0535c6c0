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
    let mut high = dof;
    while f(high) < 0.0 {
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

    #[test]
    fn half_a_shape_is_the_error_function() {
        for x in [1e-9, 0.01, 0.4, 1.4, 1.6, 4.0, 30.0] {
            let want = libm::erf(f64::sqrt(x));
            assert!((gamma_share(0.5, x) / want - 1.0).abs() < 1e-13, "{x}");
        }
        assert_eq!([gamma_share(0.5, 0.0), gamma_share(2.0, -1.0)], [0.0, 0.0]);
    }

    #[test]
    fn one_shape_more_takes_away_what_the_recurrence_says_small_shares_too() {
        for a in [0.2_f64, 0.9, 1.0, 2.5, 7.0, 60.3, 4000.0] {
            for by in [0.05, 0.5, 0.9, 0.999, 1.001, 1.1, 1.4] {
                let x = a * by;
                let step = (a * x.ln() - x - libm::lgamma(a + 1.0)).exp();
                let (one, next) = (gamma_share(a, x), gamma_share(a + 1.0, x));
                assert!((one - next - step).abs() <= 1e-11 * one.max(1e-300), "{a} {x}: {one:e} {next:e} {step:e}");
            }
        }
    }

    #[test]
    fn chi_square_has_its_chance_and_of_one_is_the_square_of_a_normal() {
        for p in [1e-9, 0.05, 0.5, 0.9, 0.999_999] {
            let want = super::super::normal::quantile(0.5 + p / 2.0).powi(2);
            assert!((chi_square_quantile(p, 1.0) / want - 1.0).abs() < 1e-6, "{p}");
            for dof in [2.0, 3.0, 10.0, 33.0, 400.0] {
                let found = chi_square_quantile(p, dof);
                assert!((gamma_share(dof / 2.0, found / 2.0) / p - 1.0).abs() < 1e-9, "{p} {dof}");
            }
        }
    }

    #[test]
    fn a_mean_life_is_the_area_under_the_lives_left() {
        for shape in [0.8, 1.0, 1.7, 3.5] {
            let sum: f64 = (0..400_000).map(|k| (-((f64::from(k) + 0.5) * 1e-4).powf(shape)).exp() * 1e-4).sum();
            assert!((mean_life_factor(shape) - sum).abs() < 1e-4, "{shape}: {sum}");
        }
    }

    #[test]
    fn a_denominator_of_nothing_is_the_least_there_is() {
        let found = [0.0, -1e-301, 1e-301, 1e-300, 1e-299, -2.0].map(|value| floor_of(value, 1e-300));
        assert_eq!(found, [1e-300, 1e-300, 1e-300, 1e-300, 1e-299, -2.0]);
    }
}
