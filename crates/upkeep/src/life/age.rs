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

    /// Hours lived up to an age, in scales, by walking along the lives left.
    fn lived(shape: f64, age: f64) -> f64 {
        let step = age / 20_000.0;
        (0..20_000).map(|k| (-(step * (f64::from(k) + 0.5)).powf(shape)).exp() * step).sum()
    }

    #[test]
    fn at_the_age_an_hour_more_costs_as_much_as_an_hour_does_and_beyond_five_scales_none_is_named() {
        for shape in [1.02, 1.3, 2.0, 3.5, 8.0] {
            for failed in [1.01, 1.2, 1.6, 2.0, 5.0, 30.0] {
                let change = PlannedChange { planned: 40.0, failed: 40.0 * failed };
                let policy = replace_at(&Weibull { shape, scale: 100.0 }, change);
                // What a failure costs more, against what is paid per hour: they balance at the best age.
                let rate = |age: f64| {
                    let left = (-age.powf(shape)).exp();
                    (change.planned * left + change.failed * (1.0 - left)) / lived(shape, age)
                };
                let more =
                    |age: f64| shape * age.powf(shape - 1.0) * (change.failed - change.planned) / rate(age) - 1.0;
                match policy.at {
                    None => assert!(more(5.0) < 1e-4 && policy.rate == policy.run_to_limit, "{shape} {failed}"),
                    Some(at) => {
                        assert!(at <= 500.0 && more(at / 100.0).abs() < 1e-4, "{shape} {failed}: {}", more(at / 100.0));
                        assert!((policy.rate * 100.0 / rate(at / 100.0) - 1.0).abs() < 1e-5);
                    }
                }
                let limit = change.failed / (100.0 * lived(shape, 60.0_f64.powf(1.0 / shape)));
                assert!((policy.run_to_limit / limit - 1.0).abs() < 1e-4, "{shape}");
            }
        }
    }

    #[test]
    fn what_does_not_age_or_fails_no_dearer_runs_to_its_limit() {
        let at = |shape: f64, failed: f64| {
            replace_at(&Weibull { shape, scale: 100.0 }, PlannedChange { planned: 40.0, failed }).at
        };
        assert_eq!([at(1.0, 4000.0), at(0.7, 4000.0), at(3.0, 40.0), at(3.0, 39.0)], [None; 4]);
        assert!(at(3.0, 400.0).is_some());
    }
}
