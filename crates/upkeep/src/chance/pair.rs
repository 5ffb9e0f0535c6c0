//! Two standard normals together: the chance that both stay below their bounds.

use std::f64::consts::PI;

use super::nodes::LEGENDRE_64;
use super::normal::{above, below};

/// Chance that X < `h` and Y < `k` for standard normals with correlation `r`.
///
/// # Formula
/// Φ₂ = ½(Φ(h) + Φ(k)) − T(h, (k − rh)/(h√(1−r²))) − T(k, (h − rk)/(k√(1−r²))) − (½ where h and k lie on
/// opposite sides, or on 0 with a negative partner), T being Owen's function.
///
/// # Source
/// Owen 1956, eq. 2.1; checked in the rows against another package's bivariate normal.
#[must_use]
pub(crate) fn both_below(h: f64, k: f64, r: f64) -> f64 {
    let root = (1.0 - r * r).max(0.0).sqrt();
    if root < 1e-12 {
        return if r > 0.0 { below(h.min(k)) } else { (below(h) + below(k) - 1.0).max(0.0) };
    }
    if h == 0.0 && k == 0.0 {
        return 0.25 + r.asin() / (2.0 * PI);
    }
    let apart = h * k < 0.0 || (h * k == 0.0 && h + k < 0.0);
    let value = 0.5 * (below(h) + below(k)) - owen(h, k - r * h, root) - owen(k, h - r * k, root);
    (value - if apart { 0.5 } else { 0.0 }).clamp(0.0, 1.0)
}

/// Owen's T(h, a) with a = rise/(h·root), so that h = 0 is a limit and no division by zero.
fn owen(h: f64, rise: f64, root: f64) -> f64 {
    let run = h * root;
    if run == 0.0 {
        // T(0, ±∞) = ±¼.
        return 0.25_f64.copysign(rise);
    }
    let a = rise / run;
    owen_positive(h.abs(), a.abs()).copysign(a)
}

fn owen_positive(h: f64, a: f64) -> f64 {
    if a <= 1.0 {
        return owen_integral(h, a);
    }
    // T(h, a) + T(ah, 1/a) is known in closed form; written with the tails so that nothing cancels.
    let (tail, far) = (above(h), above(a * h));
    0.5 * (tail + far) - tail * far - owen_integral(a * h, 1.0 / a)
}

/// T(h, a) = (1/2π) ∫₀ᵃ exp(−h²(1+x²)/2)/(1+x²) dx for 0 ≤ a ≤ 1, where the integrand is smooth.
fn owen_integral(h: f64, a: f64) -> f64 {
    let half = 0.5 * h * h;
    let mean: f64 = LEGENDRE_64
        .iter()
        .map(|node| {
            let x = 0.5 * a * (node.at + 1.0);
            let q = 1.0 + x * x;
            node.weight * (-half * q).exp() / q
        })
        .sum();
    a * mean / (2.0 * PI)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_the_centre_it_is_a_quarter_plus_the_arcsine() {
        for r in [-0.99_f64, -0.5, 0.0, 0.3, 0.999] {
            let want = 0.25 + r.asin() / (2.0 * PI);
            assert!((both_below(0.0, 0.0, r) - want).abs() < 1e-14, "{r}");
        }
    }

    #[test]
    fn without_correlation_it_is_the_product() {
        for (h, k) in [(0.3, -1.2), (-2.0, -3.0), (0.0, 1.0), (4.0, 0.0), (-0.0, -1.0)] {
            assert!((both_below(h, k, 0.0) - below(h) * below(k)).abs() < 1e-15, "{h} {k}");
        }
    }

    #[test]
    fn the_four_corners_fill_the_plane() {
        for (h, k, r) in [(0.4, 0.1, 0.7), (-1.0, 2.0, -0.3), (0.0, 0.8, 0.95), (-0.2, 0.0, -0.9)] {
            let sum = both_below(h, k, r) + both_below(h, -k, -r) + both_below(-h, k, -r) + both_below(-h, -k, r);
            assert!((sum - 1.0).abs() < 1e-14, "{h} {k} {r}: {sum}");
        }
    }

    /// The chance, summed over the first: the other stays below its bound given where the first is.
    fn summed(h: f64, k: f64, r: f64) -> f64 {
        let (steps, from) = (40_000, -9.0);
        let width = (h.min(9.0) - from) / f64::from(steps);
        let root = (1.0 - r * r).sqrt();
        let at = |step: i32| {
            let x = from + width * f64::from(step);
            super::super::normal::density(x) * below((k - r * x) / root)
        };
        // Simpson's rule.
        let inner: f64 = (1..steps).map(|step| if step % 2 == 0 { 2.0 * at(step) } else { 4.0 * at(step) }).sum();
        (at(0) + inner + at(steps)) * width / 3.0
    }

    #[test]
    fn the_chance_is_the_sum_over_where_the_first_one_is() {
        for h in [-3.1, -1.0, -0.2, 0.0, 0.7, 2.4] {
            for k in [-2.2, -0.9, 0.0, 0.4, 1.3, 3.3] {
                for r in [-0.97, -0.6, -0.1, 0.0, 0.35, 0.8, 0.98] {
                    let (found, want) = (both_below(h, k, r), summed(h, k, r));
                    assert!((found - want).abs() < 1e-13 + 1e-9 * want, "{h} {k} {r}: {found:e} {want:e}");
                }
            }
        }
    }

    #[test]
    fn one_that_follows_the_other_leaves_the_lower_bound_or_what_both_leave_each_other() {
        for (h, k) in [(0.4, 1.0), (1.0, 0.4), (-1.0, 2.0), (-0.5, 0.3), (0.0, 0.0), (0.0, 1.2)] {
            assert!((both_below(h, k, 1.0) - below(h.min(k))).abs() < 1e-15, "{h} {k}");
            let between: f64 = below(h) - above(k);
            assert!((both_below(h, k, -1.0) - between.max(0.0)).abs() < 1e-15, "{h} {k}");
            // Nearly so is nearly the same.
            assert!((both_below(h, k, 1.0 - 1e-13) - below(h.min(k))).abs() < 1e-6, "{h} {k}");
            assert!((both_below(h, k, 1e-13 - 1.0) - between.max(0.0)).abs() < 1e-6, "{h} {k}");
        }
    }

    #[test]
    fn a_bound_out_of_reach_leaves_the_other_one_alone() {
        for r in [-0.7, 0.0, 0.5] {
            assert!((both_below(0.3, 45.0, r) - below(0.3)).abs() < 1e-15);
            assert!(both_below(0.3, -45.0, r).abs() < 1e-15);
        }
    }
}
