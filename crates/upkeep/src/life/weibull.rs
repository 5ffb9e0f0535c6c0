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
    let (mut low, mut high) = (1e-3, 1.0);
    while slope(high) < 0.0 {
        high *= 2.0;
    }
    while slope(low) > 0.0 {
        low /= 2.0;
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
    while slope(high) > 0.0 && high < 1e6 {
        high *= 2.0;
    }
    while slope(low) < 0.0 && low > 1e-12 {
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
}
