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

#[cfg(test)]
mod tests {
    use super::*;

    /// The same belief by solving for all unknowns at once: the start, each ground's rate, and where the wear wandered to
    /// at each reading. Precision matrix and right-hand side, then Gauss.
    fn at_once(prior: &GroundPrior, readings: &[GroundReading]) -> Vec<(f64, f64)> {
        let (grounds, reads) = (prior.multipliers.len(), readings.len());
        let n = 1 + grounds + reads;
        let (mut precision, mut right) = (vec![vec![0.0; n]; n], vec![0.0; n]);
        let mut say = |weights: &[(usize, f64)], value: f64, variance: f64| {
            for &(i, a) in weights {
                right[i] += a * value / variance;
                for &(j, b) in weights {
                    precision[i][j] += a * b / variance;
                }
            }
        };
        say(&[(0, 1.0)], prior.start.0, prior.start.1.powi(2));
        for (k, m) in prior.multipliers.iter().enumerate() {
            say(&[(1 + k, 1.0)], prior.rate * m, (prior.spread * prior.rate * m).powi(2));
        }
        let mut before = 0.0;
        for (at, reading) in readings.iter().enumerate() {
            let equivalent: f64 = reading.hours.iter().zip(&prior.multipliers).map(|(hours, m)| hours * m).sum();
            let here = 1 + grounds + at;
            let mut wandered = vec![(here, 1.0)];
            if at > 0 {
                wandered.push((here - 1, -1.0));
            }
            say(&wandered, 0.0, prior.scatter.powi(2) * (equivalent - before));
            before = equivalent;
            let mut seen = vec![(0, 1.0), (here, 1.0)];
            seen.extend(reading.hours.iter().enumerate().map(|(k, hours)| (1 + k, *hours)));
            say(&seen, reading.elongation_pct, reading.u_pct.powi(2));
        }
        let solve = |right: &[f64]| {
            let mut rows: Vec<Vec<f64>> =
                precision.iter().zip(right).map(|(row, r)| [row.clone(), vec![*r]].concat()).collect();
            for k in 0..n {
                let lead = rows[k].clone();
                for (_, row) in rows.iter_mut().enumerate().filter(|(i, _)| *i != k) {
                    let factor = row[k] / lead[k];
                    row.iter_mut().zip(&lead).for_each(|(entry, above)| *entry -= factor * above);
                }
            }
            (0..n).map(|k| rows[k][n] / rows[k][k]).collect::<Vec<f64>>()
        };
        let mean = solve(&right);
        let unit = |k: usize| (0..n).map(|i| if i == k { 1.0 } else { 0.0 }).collect::<Vec<f64>>();
        (1..=grounds).map(|k| (mean[k], solve(&unit(k))[k].sqrt())).collect()
    }

    #[test]
    fn each_grounds_rate_is_the_one_of_all_readings_at_once() {
        let prior = GroundPrior {
            start: (0.05, 0.04),
            rate: 0.012,
            multipliers: vec![1.0, 1.8, 3.0],
            spread: 0.5,
            scatter: 0.02,
        };
        let reading = |hours: [f64; 3], elongation_pct: f64, u_pct: f64| GroundReading {
            hours: hours.to_vec(),
            elongation_pct,
            u_pct,
        };
        let readings = [
            reading([4.0, 1.0, 0.0], 0.2, 0.06),
            reading([4.0, 6.0, 0.5], 0.31, 0.05),
            reading([9.0, 6.0, 4.0], 0.66, 0.08),
        ];
        for known in 0..=3 {
            let (found, want) = (ground_rates(&prior, &readings[..known]), at_once(&prior, &readings[..known]));
            assert_eq!(found.len(), 3);
            for ((mean, sd), (want_mean, want_sd)) in found.iter().zip(&want) {
                assert!(
                    (mean / want_mean - 1.0).abs() < 1e-9 && (sd / want_sd - 1.0).abs() < 1e-9,
                    "{known}: {found:?} {want:?}"
                );
            }
        }
    }
}
