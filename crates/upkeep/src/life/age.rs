//! The best age for a planned change of one part, where a failure costs more than a change.

use drive::solve::crossing;

use super::weibull::Weibull;
use crate::chance::{gamma_share, mean_life_factor};

/// Scales of life beyond which a planned change no longer pays.
const FARTHEST_SCALES: f64 = 5.0;

/// What a planned change and a failure cost, all told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedChange {
    /// Planned.
    pub planned: f64,
    /// After a failure.
    pub failed: f64,
}

/// When to change, and what it costs per hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgePolicy {
    /// Age of the planned change; `None` = run to the limit.
    pub at: Option<f64>,
    /// Cost per hour of that policy.
    pub rate: f64,
    /// Cost per hour of running to the limit.
    pub run_to_limit: f64,
}

/// The age that costs least per hour.
///
/// # Formula
/// C(T) = (Cp R(T) + Cf F(T))/∫₀ᵀR; least where h(T)∫₀ᵀR − F(T) = Cp/(Cf − Cp);
/// ∫₀ᵀR = η Γ(1+1/b) P(1/b, (T/η)ᵇ). Shape ≤ 1, failure no dearer, or an age beyond 5 η: run to the limit.
///
/// # Source
/// Barlow and Proschan's age replacement (`age-replacement`), a published example in the check rows.
#[must_use]
pub fn replace_at(lives: &Weibull, change: PlannedChange) -> AgePolicy {
    let (b, factor) = (lives.shape, mean_life_factor(lives.shape));
    let run_to_limit = change.failed / (lives.scale * factor);
    let forever = AgePolicy { at: None, rate: run_to_limit, run_to_limit };
    if b <= 1.0 || change.failed <= change.planned {
        return forever;
    }
    // x = ln(T/η); hazard times hours lived, less the share failed, rises from 0.
    let lived = |x: f64| factor * gamma_share(1.0 / b, (b * x).exp());
    let failed = |x: f64| -(-(b * x).exp()).exp_m1();
    let goal = change.planned / (change.failed - change.planned);
    let spare = |x: f64| b * ((b - 1.0) * x).exp() * lived(x) - failed(x) - goal;
    if spare(FARTHEST_SCALES.ln()) < 0.0 {
        return forever;
    }
    let x = crossing(spare, -700.0 / b, FARTHEST_SCALES.ln());
    let rate = (change.planned * (1.0 - failed(x)) + change.failed * failed(x)) / (lives.scale * lived(x));
    AgePolicy { at: Some(lives.scale * x.exp()), rate, run_to_limit }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_other_age_costs_less() {
        let lives = Weibull { shape: 2.5, scale: 1000.0 };
        let change = PlannedChange { planned: 100.0, failed: 500.0 };
        let policy = replace_at(&lives, change);
        let age = policy.at.unwrap();
        let cost = |age: f64| {
            let steps = 20_000;
            let width = age / f64::from(steps);
            let lived: f64 =
                (0..steps).map(|k| (-((f64::from(k) + 0.5) * width / 1000.0).powf(2.5)).exp() * width).sum();
            let kept = (-(age / 1000.0).powf(2.5)).exp();
            (100.0 * kept + 500.0 * (1.0 - kept)) / lived
        };
        assert!((cost(age) / policy.rate - 1.0).abs() < 1e-8);
        assert!(cost(age * 0.99) > policy.rate && cost(age * 1.01) > policy.rate);
    }
}
