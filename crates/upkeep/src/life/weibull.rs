//! Two-parameter Weibull lives by greatest likelihood, with running lives counted in.

use drive::solve::crossing;

use super::lives::Lives;
use crate::chance::{mean_life_factor, normal};

/// Shape and scale of lives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    /// Below 1 early failures, above 1 wear-out.
    pub shape: f64,
    /// Hours by which 63 % have ended.
    pub scale: f64,
}

impl Weibull {
    /// Hours by which a share of lives has ended.
    ///
    /// # Formula
    /// t = scale (−ln(1 − share))^(1/shape)
    #[must_use]
    pub fn life(&self, share: f64) -> f64 {
        self.scale * (-(-share).ln_1p()).powf(1.0 / self.shape)
    }

    /// Mean life.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.scale * mean_life_factor(self.shape)
    }

    /// Logarithm of the likelihood of lives.
    #[must_use]
    pub fn log_likelihood(&self, lives: &Lives) -> f64 {
        let ln = |hours: f64| (hours / self.scale).ln();
        let ended: f64 =
            lives.ended.iter().map(|&hours| (self.shape / self.scale).ln() + (self.shape - 1.0) * ln(hours)).sum();
        ended - lives.all().map(|hours| (self.shape * ln(hours)).exp()).sum::<f64>()
    }
}

/// Why lives cannot be fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoFit {
    /// Fewer than two lives have ended: assume a shape instead.
    TooFew,
    /// All ended at the same age and none ran longer: the shape has no bound.
    NoSpread,
}

/// Low and high end of an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
}

/// A fit with its intervals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeibullFit {
    /// The fit.
    pub fitted: Weibull,
    /// Logarithm of its likelihood.
    pub log_likelihood: f64,
    /// Of the shape, log-normal.
    pub shape: Bounds,
    /// Of the scale, log-normal.
    pub scale: Bounds,
    /// Of the life asked for, by likelihood ratio.
    pub life: Bounds,
    /// Of the life asked for, log-normal.
    pub life_wald: Bounds,
}

/// Fits lives; `share` is the share ended by the life whose interval is wanted.
///
/// # Formula
/// Σ tᵇ ln t/Σ tᵇ − 1/b − mean ln t = 0 (ended lives in the mean, all in the sums), η = (Σ tᵇ/r)^(1/b).
/// Log-normal bounds from the observed information in (ln b, ln η); likelihood ratio: twice the fall of the greatest
/// likelihood with that life held = χ²(1).
///
/// # Source
/// NIST/SEMATECH e-Handbook 8.4.1.3 (`nist-weibull`) and three libraries in the check rows.
///
/// # Errors
/// Fewer than two ended lives, or none that differ.
pub fn fit(lives: &Lives, share: f64, confidence: f64) -> Result<WeibullFit, NoFit> {
    let fitted = greatest(lives)?;
    let log_likelihood = fitted.log_likelihood(lives);
    let k = normal::quantile(0.5 + confidence / 2.0);
    let cov = covariance(&fitted, lives);
    // ln life = ln η + q/b, so its slopes in (ln b, ln η) are (−q/b, 1).
    let q = (-(-share).ln_1p()).ln();
    let slope = -q / fitted.shape;
    let life_var = slope * slope * cov[0] + 2.0 * slope * cov[1] + cov[2];
    let around = |value: f64, variance: f64| {
        let factor = (k * variance.sqrt()).exp();
        Bounds { low: value / factor, high: value * factor }
    };
    let life = fitted.life(share);
    let fall = |ln_life: f64| 2.0 * (log_likelihood - profile(lives, q, ln_life)) - k * k;
    Ok(WeibullFit {
        fitted,
        log_likelihood,
        shape: around(fitted.shape, cov[0]),
        scale: around(fitted.scale, cov[2]),
        life: Bounds { low: reach(fall, life.ln(), -0.3).exp(), high: reach(fall, life.ln(), 0.3).exp() },
        life_wald: around(life, life_var),
    })
}

/// The Weibull of the greatest likelihood.
fn greatest(lives: &Lives) -> Result<Weibull, NoFit> {
    let ended = lives.ended.len() as f64;
    if lives.ended.len() < 2 {
        return Err(NoFit::TooFew);
    }
    let first = lives.ended[0];
    let longest = lives.longest();
    if longest <= first && lives.ended.iter().all(|&hours| hours == first) {
        return Err(NoFit::NoSpread);
    }
    // In units of the longest life no power overflows.
    let logs: Vec<f64> = lives.all().map(|hours| (hours / longest).ln()).collect();
    let mean_ended = lives.ended.iter().map(|hours| (hours / longest).ln()).sum::<f64>() / ended;
    let powers = |b: f64| {
        logs.iter().fold((0.0, 0.0), |(sum, weighed), ln| (sum + (b * ln).exp(), weighed + (b * ln).exp() * ln))
    };
    let slope = |b: f64| {
        let (sum, weighed) = powers(b);
        weighed / sum - 1.0 / b - mean_ended
    };
    // No two lives are further apart than e^1500 times, so that down there 1/b outweighs the rest.
    let (low, mut high) = (1e-4, 1.0);
    while slope(high) < 0.0 {
        high *= 2.0;
    }
    let shape = crossing(slope, low, high);
    Ok(Weibull { shape, scale: longest * (powers(shape).0 / ended).powf(1.0 / shape) })
}

/// Covariance of (ln shape, ln scale): their variances first and last, covariance between.
fn covariance(fitted: &Weibull, lives: &Lives) -> [f64; 3] {
    let b = fitted.shape;
    let ln = |hours: f64| b * (hours / fitted.scale).ln();
    let (mut shape, mut both, mut scale) = (0.0, 0.0, 0.0);
    for l in lives.all().map(ln) {
        let z = l.exp();
        shape += z * l + z * l * l;
        both -= z * (1.0 + l);
        scale += z;
    }
    for l in lives.ended.iter().map(|&hours| ln(hours)) {
        shape -= l;
        both += 1.0;
    }
    (both, scale) = (b * both, b * b * scale);
    let det = shape * scale - both * both;
    [scale / det, -both / det, shape / det]
}

/// Greatest log-likelihood with the life of the share held at exp(`ln_life`), q = ln(−ln(1 − share)).
///
/// # Formula
/// With η = life·exp(−q/b) it is r ln b + (b−1)Σ ln t − r(b ln life − q) − Σ exp(b(ln t − ln life) + q), concave in b.
fn profile(lives: &Lives, q: f64, ln_life: f64) -> f64 {
    let ended = lives.ended.len() as f64;
    let apart: Vec<f64> = lives.all().map(|hours| hours.ln() - ln_life).collect();
    let sum_ended: f64 = lives.ended.iter().map(|hours| hours.ln() - ln_life).sum();
    let slope = |b: f64| ended / b + sum_ended - apart.iter().map(|l| l * (b * l + q).exp()).sum::<f64>();
    let (mut low, mut high) = (1.0, 1.0);
    while slope(high) > 0.0 {
        high *= 2.0;
    }
    while slope(low) < 0.0 {
        low /= 2.0;
    }
    let b = crossing(slope, low, high);
    let scale = (ln_life - q / b).exp();
    Weibull { shape: b, scale }.log_likelihood(lives)
}

/// Steps away from `from` until `fall` is no longer negative, then narrows it down.
fn reach(fall: impl Fn(f64) -> f64 + Copy, from: f64, step: f64) -> f64 {
    let (mut near, mut step) = (from, step);
    loop {
        let far = near + step;
        if fall(far) >= 0.0 || step.abs() > 1e3 {
            return crossing(fall, near, far);
        }
        near = far;
        step *= 1.5;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fit_lies_on_top_of_the_likelihood() {
        let lives = Lives { ended: vec![48.0, 61.5, 72.0, 80.5], running: vec![30.0, 55.0] };
        let fit = fit(&lives, 0.1, 0.9).unwrap();
        for (shape, scale) in [(1.001, 1.0), (0.999, 1.0), (1.0, 1.001), (1.0, 0.999)] {
            let other = Weibull { shape: fit.fitted.shape * shape, scale: fit.fitted.scale * scale };
            assert!(other.log_likelihood(&lives) < fit.log_likelihood);
        }
        assert!(fit.life.low < fit.fitted.life(0.1) && fit.fitted.life(0.1) < fit.life.high);
    }

    #[test]
    fn lives_that_all_ended_alike_have_no_shape() {
        let alike = Lives { ended: vec![50.0; 3], running: vec![50.0] };
        assert_eq!(fit(&alike, 0.1, 0.9), Err(NoFit::NoSpread));
        let outlived = Lives { running: vec![51.0], ..alike };
        assert!(fit(&outlived, 0.1, 0.9).is_ok());
    }

    fn all_lives() -> [Lives; 4] {
        [
            Lives { ended: vec![48.0, 61.5, 72.0, 80.5], running: vec![30.0, 55.0] },
            Lives { ended: vec![5.0, 40.0], running: vec![] },
            Lives { ended: vec![0.2, 3.0, 0.9, 11.0, 0.05], running: vec![7.0, 20.0, 0.01] },
            Lives { ended: vec![99.0, 100.0, 101.0], running: vec![98.0, 30.0] },
        ]
    }

    /// The logarithm of the likelihood as it is defined: densities of what ended, chances to outlive of what runs.
    fn by_definition(shape: f64, scale: f64, lives: &Lives) -> f64 {
        let outlived = |hours: f64| -(hours / scale).powf(shape);
        let density = |hours: f64| shape.ln() - shape * scale.ln() + (shape - 1.0) * hours.ln() + outlived(hours);
        lives.ended.iter().map(|&hours| density(hours)).sum::<f64>()
            + lives.running.iter().map(|&hours| outlived(hours)).sum::<f64>()
    }

    /// The greatest value of a function with one top, by thirds.
    fn top(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
        for _ in 0..200 {
            let third = (high - low) / 3.0;
            if f(low + third) < f(high - third) {
                low += third;
            } else {
                high -= third;
            }
        }
        f(f64::midpoint(low, high))
    }

    #[test]
    fn the_likelihood_is_the_one_of_the_definition_and_greatest_at_the_fit() {
        for lives in all_lives() {
            let fit = fit(&lives, 0.1, 0.9).unwrap();
            let Weibull { shape, scale } = fit.fitted;
            assert!((fit.log_likelihood - by_definition(shape, scale, &lives)).abs() < 1e-9);
            let best = top(
                |ln_b| top(|ln_scale| by_definition(f64::exp(ln_b), f64::exp(ln_scale), &lives), -4.0, 6.0),
                shape.ln() - 0.5,
                shape.ln() + 0.5,
            );
            assert!((best - fit.log_likelihood).abs() < 1e-9, "{best} {}", fit.log_likelihood);
        }
    }

    #[test]
    fn the_log_normal_bounds_are_those_of_the_likelihoods_own_curvature() {
        for lives in all_lives() {
            let fit = fit(&lives, 0.25, 0.8).unwrap();
            let at =
                |x: f64, y: f64| by_definition(fit.fitted.shape * f64::exp(x), fit.fitted.scale * f64::exp(y), &lives);
            let h = 1e-4;
            let xx = (at(h, 0.0) - 2.0 * at(0.0, 0.0) + at(-h, 0.0)) / (h * h);
            let yy = (at(0.0, h) - 2.0 * at(0.0, 0.0) + at(0.0, -h)) / (h * h);
            let xy = (at(h, h) - at(h, -h) - at(-h, h) + at(-h, -h)) / (4.0 * h * h);
            let det = xx * yy - xy * xy;
            let (var_x, var_y, cov) = (-yy / det, -xx / det, xy / det);
            let k = normal::quantile(0.9);
            let close = |found: f64, want: f64| (found / want - 1.0).abs() < 1e-3;
            assert!(close((fit.shape.high / fit.fitted.shape).ln(), k * var_x.sqrt()));
            assert!(close((fit.scale.high / fit.fitted.scale).ln(), k * var_y.sqrt()));
            // ln life = ln scale + ln(−ln(1 − share))/shape.
            let slope = -(-(0.75_f64.ln())).ln() / fit.fitted.shape;
            let var = slope * slope * var_x + 2.0 * slope * cov + var_y;
            assert!(close((fit.life_wald.high / fit.fitted.life(0.25)).ln(), k * var.sqrt()));
            for (bounds, middle) in
                [(fit.shape, fit.fitted.shape), (fit.scale, fit.fitted.scale), (fit.life_wald, fit.fitted.life(0.25))]
            {
                assert!((bounds.low * bounds.high / (middle * middle) - 1.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn at_both_ends_of_a_life_the_likelihood_has_fallen_by_as_much_as_was_asked() {
        for lives in all_lives() {
            for (share, confidence) in [(0.1, 0.9), (0.632, 0.5), (0.01, 0.99), (0.9, 0.95)] {
                let fit = fit(&lives, share, confidence).unwrap();
                let k = normal::quantile(0.5 + confidence / 2.0);
                assert!(fit.life.low < fit.fitted.life(share) && fit.fitted.life(share) < fit.life.high);
                for life in [fit.life.low, fit.life.high] {
                    let held = |ln_b: f64| {
                        let b = ln_b.exp();
                        by_definition(b, life / (-f64::ln(1.0 - share)).powf(1.0 / b), &lives)
                    };
                    let fall = 2.0
                        * (fit.log_likelihood - top(held, fit.fitted.shape.ln() - 6.0, fit.fitted.shape.ln() + 3.0));
                    assert!((fall / (k * k) - 1.0).abs() < 1e-5, "{share} {confidence} {life}: {fall} {}", k * k);
                }
            }
        }
    }

    #[test]
    fn two_must_have_ended_and_not_all_alike() {
        let lives =
            |ended: &[f64], running: &[f64]| fit(&Lives { ended: ended.to_vec(), running: running.to_vec() }, 0.1, 0.9);
        assert_eq!(lives(&[], &[3.0, 4.0, 5.0]), Err(NoFit::TooFew));
        assert_eq!(lives(&[3.0], &[4.0, 5.0]), Err(NoFit::TooFew));
        assert_eq!(lives(&[3.0, 3.0], &[]), Err(NoFit::NoSpread));
        assert_eq!(lives(&[3.0, 3.0], &[1.0, 2.0, 3.0]), Err(NoFit::NoSpread));
        assert!(
            lives(&[3.0, 3.0], &[3.1]).is_ok() && lives(&[3.0, 2.9], &[]).is_ok() && lives(&[2.9, 3.0], &[]).is_ok()
        );
    }

    #[test]
    fn a_life_of_a_share_has_that_share_ended() {
        let lives = Weibull { shape: 2.3, scale: 70.0 };
        for share in [0.01, 0.1, 0.5, 0.632_120_558_828_557_7, 0.99] {
            let ended = 1.0 - (-(lives.life(share) / 70.0).powf(2.3)).exp();
            assert!((ended - share).abs() < 1e-14, "{share}");
        }
        let mean: f64 = (0..40_000).map(|k| lives.life((f64::from(k) + 0.5) / 40_000.0) / 40_000.0).sum();
        assert!((lives.mean() / mean - 1.0).abs() < 1e-4);
    }
}
