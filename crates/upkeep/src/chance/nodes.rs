//! Gauss nodes: the places and weights at which a smooth function need be known for its mean.

use std::sync::LazyLock;

/// One place and its share of the mean; shares of a rule sum to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Node {
    /// Where.
    pub(crate) at: f64,
    /// Share of the mean.
    pub(crate) weight: f64,
}

/// 64 nodes for an even weight on −1 … 1.
pub(crate) static LEGENDRE_64: LazyLock<Vec<Node>> =
    LazyLock::new(|| gauss(64, 1.0, |k| k / (4.0 * k * k - 1.0).sqrt()));

/// 24 nodes for a standard normal weight.
pub(crate) static HERMITE_24: LazyLock<Vec<Node>> = LazyLock::new(|| gauss(24, 10.0, f64::sqrt));

/// Nodes of a rule of `n` points from its recurrence x pₖ = bₖ₊₁ pₖ₊₁ + bₖ pₖ₋₁ (orthonormal, even weight).
///
/// # Formula
/// Nodes are the roots of pₙ, halved down by counting sign changes of p₀ … pₙ (a Sturm sequence);
/// weight = 1/Σ pₖ² below n (Christoffel).
fn gauss(n: u32, reach: f64, b: fn(f64) -> f64) -> Vec<Node> {
    let steps: Vec<f64> = (1..=n).map(|k| b(f64::from(k))).collect();
    (0..n)
        .map(|index| {
            let (mut low, mut high) = (-reach, reach);
            loop {
                let mid = 0.5 * (low + high);
                if mid <= low || mid >= high {
                    break;
                }
                if walk(&steps, mid).0 > index {
                    high = mid;
                } else {
                    low = mid;
                }
            }
            let at = 0.5 * (low + high);
            Node { at, weight: 1.0 / walk(&steps, at).1 }
        })
        .collect()
}

/// How many roots of pₙ lie below x, and the sum of squares of p₀ … pₙ₋₁.
fn walk(steps: &[f64], x: f64) -> (u32, f64) {
    let (mut before, mut here, mut b_before) = (0.0, 1.0, 0.0);
    let (mut changes, mut squares) = (0, 0.0);
    for &b in steps {
        squares += here * here;
        let next = (x * here - b_before * before) / b;
        // All roots lie below x when no sign changes; each change is one root above.
        changes += u32::from((next < 0.0) != (here < 0.0));
        (before, here, b_before) = (here, next, b);
    }
    #[expect(clippy::cast_possible_truncation, reason = "a rule has a handful of points")]
    let n = steps.len() as u32;
    (n - changes, squares)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_of_n_points_is_exact_up_to_degree_two_n_less_one() {
        for degree in (0..=126).step_by(2) {
            let mean: f64 = LEGENDRE_64.iter().map(|node| node.weight * node.at.powi(degree)).sum();
            assert!((mean - 1.0 / f64::from(degree + 1)).abs() < 1e-14, "{degree}");
        }
        let mut want = 1.0;
        for degree in (0..=46).step_by(2) {
            let mean: f64 = HERMITE_24.iter().map(|node| node.weight * node.at.powi(degree)).sum();
            assert!((mean / want - 1.0).abs() < 1e-11, "{degree}");
            want *= f64::from(degree + 1);
        }
    }

    #[test]
    fn nodes_rise_and_lie_the_same_on_both_sides() {
        for (rule, count) in [(&*LEGENDRE_64, 64), (&*HERMITE_24, 24)] {
            assert_eq!(rule.len(), count);
            assert!(rule.windows(2).all(|two| two[0].at < two[1].at));
            for (one, other) in rule.iter().zip(rule.iter().rev()) {
                assert!((one.at + other.at).abs() < 1e-13 && (one.weight - other.weight).abs() < 1e-14);
            }
        }
    }
}
