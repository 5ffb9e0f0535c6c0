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
