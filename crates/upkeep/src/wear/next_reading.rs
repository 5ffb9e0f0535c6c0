//! Which one measurement now is worth its minutes: expected loss, or chance of a wrong verdict, with and without it.

use super::forecast::Wear;
use crate::chance::{both_below, normal};

/// Chance from which a verdict counts as decided.
const DECIDED: f64 = 0.95;

/// What deciding wrongly costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Replaced although it would have lasted.
    pub early: f64,
    /// Kept although it goes over the limit.
    pub late: f64,
}

impl Losses {
    /// Every wrong verdict alike.
    pub const WRONG: Self = Self { early: 1.0, late: 1.0 };
}

/// A quantity with a limit: normal at the end of the coming hours, and what a reading now would see of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// Mean and variance at the end.
    pub end: (f64, f64),
    /// Mean and variance now.
    pub now: (f64, f64),
    /// Covariance of now and the end.
    pub cov: f64,
    /// The limit at the end.
    pub limit: f64,
}

impl Quantity {
    /// A quantity that stays as it is.
    #[must_use]
    pub fn constant(mean: f64, sd: f64, limit: f64) -> Self {
        Self { end: (mean, sd * sd), now: (mean, sd * sd), cov: sd * sd, limit }
    }

    /// An elongation that goes on wearing: `since` hours after the last reading, to be right `until` hours later.
    #[must_use]
    pub fn wearing(wear: &Wear, since: f64, until: f64, limit: f64) -> Self {
        let now = wear.later(since);
        Self {
            end: (now.mean_after(until), now.var_after(until)),
            now: (now.now, now.now_var),
            cov: now.now_var + until * now.cov,
            limit,
        }
    }

    /// Chance of lying over the limit at the end.
    #[must_use]
    pub fn chance_over(&self) -> f64 {
        normal::above((self.limit - self.end.0) / self.end.1.sqrt())
    }

    /// Whether replacing now costs less than keeping, and what the better of the two is expected to cost.
    #[must_use]
    pub fn without_reading(&self, losses: Losses) -> (bool, f64) {
        let over = self.chance_over();
        let (keep, replace) = (losses.late * over, losses.early * (1.0 - over));
        (keep > replace, keep.min(replace))
    }

    /// What a reading of standard uncertainty `u` would bring.
    ///
    /// # Formula
    /// sd of the posterior mean τ = c/√(v₀+u²), posterior s² = v − τ²; replace above limit + s Φ⁻¹(early/(early+late));
    /// loss = late P(over, kept) + early P(under, replaced), two bivariate normal tails.
    #[must_use]
    pub fn after_reading(&self, u: f64, losses: Losses) -> AfterReading {
        let read_sd = (self.now.1 + u * u).sqrt();
        let (end_sd, mean_sd) = (self.end.1.sqrt(), self.cov / read_sd);
        let left_sd = (self.end.1 - mean_sd * mean_sd).max(0.0).sqrt();
        let z = (self.limit - self.end.0) / end_sd;
        let turn = left_sd * normal::quantile(losses.early / (losses.early + losses.late));
        let k = (self.limit - self.end.0 + turn) / mean_sd;
        let kept_under = both_below(z, k, mean_sd / end_sd);
        let decided_by = left_sd * normal::quantile(DECIDED);
        AfterReading {
            loss: losses.late * (normal::below(k) - kept_under).max(0.0)
                + losses.early * (normal::below(z) - kept_under).max(0.0),
            turns_at: self.now.0 + k * read_sd,
            chance_decided: normal::below((self.limit - decided_by - self.end.0) / mean_sd)
                + normal::above((self.limit + decided_by - self.end.0) / mean_sd),
        }
    }
}

/// What a reading would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterReading {
    /// Expected loss with the better verdict after it.
    pub loss: f64,
    /// Reading above which to replace.
    pub turns_at: f64,
    /// Chance that the limit is then decided one way or the other.
    pub chance_decided: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_perfect_reading_of_a_constant_leaves_no_loss_and_a_useless_one_all_of_it() {
        let quantity = Quantity::constant(0.7, 0.2, 1.0);
        let losses = Losses { early: 3000.0, late: 20_000.0 };
        assert!(quantity.after_reading(1e-9, losses).loss < 1e-3);
        let (_, without) = quantity.without_reading(losses);
        assert!((quantity.after_reading(1e9, losses).loss / without - 1.0).abs() < 1e-6);
    }
}
