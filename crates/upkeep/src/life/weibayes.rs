//! Few or no ended lives: the shape is assumed, only the scale comes from the hours.

use super::lives::Lives;
use super::weibull::Weibull;
use crate::chance::chi_square_quantile;

/// Scale of lives of an assumed shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibayes {
    /// Likeliest; `None` while no life has ended.
    pub likeliest: Option<Weibull>,
    /// Lower bound, one-sided.
    pub low: Weibull,
}

/// The scale from all hours, at least one life.
///
/// # Formula
/// η = (Σ tᵇ/r)^(1/b); lower bound (2 Σ tᵇ/χ²_confidence(2r+2))^(1/b)
///
/// # Source
/// Derived here: tᵇ is exponential (`weibull-lives`).
#[must_use]
pub fn weibayes(lives: &Lives, shape: f64, confidence: f64) -> Weibayes {
    let ended = lives.ended.len() as f64;
    // In units of the longest life no power overflows.
    let longest = lives.longest();
    let sum: f64 = lives.all().map(|hours| (hours / longest).powf(shape)).sum();
    let of = |events: f64| Weibull { shape, scale: longest * (sum / events).powf(1.0 / shape) };
    Weibayes {
        likeliest: (ended > 0.0).then(|| of(ended)),
        low: of(chi_square_quantile(confidence, 2.0 * ended + 2.0) / 2.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::gamma_share;

    #[test]
    fn the_likeliest_scale_is_a_power_mean_and_the_bound_has_the_confidence_asked_for() {
        let lives = Lives { ended: vec![48.0, 61.5], running: vec![30.0, 75.0, 12.0] };
        let powers = |shape: f64| [48.0, 61.5, 30.0, 75.0, 12.0_f64].map(|hours| hours.powf(shape)).iter().sum::<f64>();
        for shape in [0.7, 1.0, 2.5, 6.0] {
            for confidence in [0.5, 0.9, 0.99] {
                let found = weibayes(&lives, shape, confidence);
                let likeliest = found.likeliest.expect("two have ended");
                assert!((likeliest.scale / (powers(shape) / 2.0).powf(1.0 / shape) - 1.0).abs() < 1e-12);
                assert!(likeliest.shape == shape && found.low.shape == shape);
                // In units of the bound the hours lived are a gamma number of three events, below them with the confidence.
                let lived = powers(shape) / found.low.scale.powf(shape);
                assert!((gamma_share(3.0, lived) - confidence).abs() < 1e-10, "{shape} {confidence}");
            }
        }
    }

    #[test]
    fn without_an_ended_life_there_is_a_bound_alone() {
        let found = weibayes(&Lives { ended: vec![], running: vec![40.0, 50.0] }, 2.0, 0.9);
        assert_eq!(found.likeliest, None);
        // No event in so many hours: exp(−Σ tᵇ/ηᵇ) = 1 − confidence.
        let want = ((40.0_f64.powi(2) + 50.0_f64.powi(2)) / -(0.1_f64.ln())).sqrt();
        assert!((found.low.scale / want - 1.0).abs() < 1e-9);
    }
}
