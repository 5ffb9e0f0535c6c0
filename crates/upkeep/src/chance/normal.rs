//! The standard normal distribution: area below, area above, and the point below which a given area lies.

use std::f64::consts::{FRAC_1_SQRT_2, LN_2, PI};

/// Area below `x`.
///
/// # Formula
/// Φ(x) = erfc(−x/√2)/2, accurate in both tails.
#[must_use]
pub(crate) fn below(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// Area above `x`.
#[must_use]
pub(crate) fn above(x: f64) -> f64 {
    below(-x)
}

/// Height of the curve at `x`.
#[must_use]
pub(crate) fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / (2.0 * PI).sqrt()
}

/// ln Φ(x) for x ≤ 0; far out by the asymptotic series, where Φ itself would underflow.
///
/// # Source
/// Abramowitz and Stegun 26.2.12 (series of the tail).
fn ln_below(x: f64) -> f64 {
    if x > -30.0 {
        return below(x).ln();
    }
    let s = 1.0 / (x * x);
    let series = -s * (1.0 - s * (3.0 - s * (15.0 - 105.0 * s)));
    -0.5 * x * x - (-x).ln() - 0.5 * (2.0 * PI).ln() + series.ln_1p()
}

/// The point below which the area `p` lies, `p` between 0 and 1 (neither reached).
///
/// # Formula
/// Newton on ln Φ(x) = ln p from x₀ = −√(−2 ln 2p): since Φ(x) ≤ exp(−x²/2)/2 the start lies left of the root,
/// and since ln Φ is concave every step stays left of it, so the steps rise to the root and end. For p > ½ by symmetry.
#[must_use]
pub(crate) fn quantile(p: f64) -> f64 {
    if p > 0.5 {
        return -quantile(1.0 - p);
    }
    let ln_p = p.max(f64::MIN_POSITIVE).ln();
    let mut x = -(-2.0 * (ln_p + LN_2)).max(0.0).sqrt();
    for _ in 0..60 {
        let ln = ln_below(x);
        let slope = (-0.5 * x * x - 0.5 * (2.0 * PI).ln() - ln).exp();
        let step = (ln_p - ln) / slope;
        x += step;
        if step.abs() <= 1e-15 * x.abs().max(1e-3) {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quantile_undoes_the_area() {
        for p in [1e-300, 1e-20, 1e-6, 0.025, 0.3, 0.5, 0.7, 0.975, 1.0 - 1e-9] {
            let back = below(quantile(p));
            assert!((back / p - 1.0).abs() < 1e-11, "{p}: {back}");
        }
        assert!((quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-14);
    }

    #[test]
    fn the_far_tail_joins_the_near_one() {
        let (near, far) = (ln_below(-30.0 + 1e-9), ln_below(-30.0 - 1e-9));
        assert!((near - far).abs() < 1e-6 && far < near);
    }

    #[test]
    fn the_logarithm_of_a_tail_is_that_of_its_area_as_long_as_there_is_one() {
        for x in [-37.0, -34.0, -31.0, -30.0, -29.0, -5.0, -0.1, 0.0] {
            let want = below(x).ln();
            assert!((ln_below(x) - want).abs() < 1e-11 * want.abs(), "{x}");
        }
        // Where the area is none any more: between the last two sums of the series, which lie on either side.
        let (x, s) = (-60.0_f64, 1.0 / 3600.0);
        let sums = [1.0 - s + 3.0 * s * s - 15.0 * s * s * s, 1.0 - s + 3.0 * s * s];
        let ends = sums.map(|sum| -0.5 * x * x - (-x).ln() - 0.5 * (2.0 * PI).ln() + f64::ln(sum));
        assert!((ends[0]..ends[1]).contains(&ln_below(x)));
    }

    #[test]
    fn every_point_comes_back_from_its_area_on_both_sides() {
        for step in -370..=0 {
            let x = 0.1 * f64::from(step);
            assert!((quantile(below(x)) - x).abs() < 1e-12 * x.abs().max(0.1), "{x}");
            if step > -60 {
                // 1 less a small area keeps fewer of its digits.
                assert!((quantile(above(x)) + x).abs() < 1e-16 / density(x) * 4.0 + 1e-12, "{x}");
            }
        }
        assert_eq!(quantile(0.5), 0.0);
        assert!(quantile(0.0).is_finite() && quantile(0.0) < -37.0);
    }

    #[test]
    fn the_curve_is_how_fast_the_area_grows() {
        for step in -60..=60 {
            let (x, h) = (0.1 * f64::from(step), 1e-4);
            let slope = (below(x + h) - below(x - h)) / (2.0 * h);
            assert!((density(x) - slope).abs() < 1e-8, "{x}");
            assert!((below(x) + above(x) - 1.0).abs() < 1e-15);
        }
    }
}
