//! Wear per hour of each ground, from readings that mix them.

use super::belief::Belief;

/// What is assumed before the first reading.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundPrior {
    /// Elongation of a new chain: mean and standard deviation, per cent.
    pub start: (f64, f64),
    /// Wear per hour on hard ground, per cent.
    pub rate: f64,
    /// How much faster each ground wears.
    pub multipliers: Vec<f64>,
    /// Spread of each ground's rate, as a share of it.
    pub spread: f64,
    /// Wander, per cent per root equivalent hour.
    pub scatter: f64,
}

/// One reading of a chain.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundReading {
    /// Hours on each ground since fitting, none falling from reading to reading.
    pub hours: Vec<f64>,
    /// Elongation read, per cent.
    pub elongation_pct: f64,
    /// Its standard uncertainty.
    pub u_pct: f64,
}

/// Mean and standard deviation of each ground's rate, per cent per hour.
///
/// # Formula
/// y = x₀ + Σ hours·rate + wander + error, rates ~ N(rate·m, (spread·rate·m)²), the wander going with Σ hours·m.
///
/// # Source
/// Derived here (`wear-process`).
#[must_use]
pub fn ground_rates(prior: &GroundPrior, readings: &[GroundReading]) -> Vec<(f64, f64)> {
    let mut unknowns = vec![prior.start];
    unknowns.extend(prior.multipliers.iter().map(|m| (prior.rate * m, prior.spread * prior.rate * m)));
    let mut belief = Belief::independent(&unknowns);
    let mut before = 0.0;
    for reading in readings {
        let equivalent: f64 = reading.hours.iter().zip(&prior.multipliers).map(|(hours, m)| hours * m).sum();
        belief.wander(prior.scatter * prior.scatter * (equivalent - before));
        before = equivalent;
        let weights: Vec<f64> = std::iter::once(1.0).chain(reading.hours.iter().copied()).collect();
        belief.observe(&weights, reading.elongation_pct, reading.u_pct * reading.u_pct);
    }
    (1..unknowns.len()).map(|k| (belief.mean(k), belief.cov(k, k).sqrt())).collect()
}
