//! Hours left to the limit from a log of readings, or from the prior where there is none.
//!
//! Wear is a line with a wander: x(τ) = x₀ + μτ + s·B(τ), start and rate normal, readings with their own uncertainty
//! and, if said, one error common to all. Run-in is not fitted; it is absorbed in the start.

use ride::quantile::quantile;

use super::belief::{Belief, Surprise};
use crate::chance::normal;

/// Hours beyond which no wear is foretold.
pub(super) const FARTHEST_H: f64 = 10_000.0;
/// Readings and hours between first and last from which a log speaks for itself.
const LOG_READINGS: usize = 3;
const LOG_HOURS: f64 = 15.0;

/// What is believed about chains of this kind before the first reading; elongations in per cent, hours equivalent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Process {
    /// Elongation of a new chain: mean and standard deviation.
    pub start: (f64, f64),
    /// Wear per hour: mean and standard deviation.
    pub rate: (f64, f64),
    /// Wander, per cent per root hour.
    pub scatter: f64,
}

/// Readings in order of time.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Log {
    /// Equivalent hours since fitting, not falling.
    pub hours: Vec<f64>,
    /// Elongation read, one for each.
    pub elongation_pct: Vec<f64>,
    /// Standard uncertainty of each.
    pub u_pct: Vec<f64>,
    /// Uncertainty common to all of them.
    pub u_common_pct: f64,
}

impl Log {
    /// Whether the log is long enough to speak for itself: three readings over 15 hours.
    #[must_use]
    pub fn speaks(&self) -> bool {
        let span = self.hours.last().zip(self.hours.first()).map_or(0.0, |(last, first)| last - first);
        self.hours.len() >= LOG_READINGS && span >= LOG_HOURS
    }

    /// Median of the slopes between all pairs of readings; from four readings at two or more hours.
    ///
    /// # Source
    /// Theil 1950, Sen 1968 (`theil-sen`).
    #[must_use]
    pub fn robust_rate(&self) -> Option<f64> {
        let n = self.hours.len();
        if n < 4 {
            return None;
        }
        let mut slopes = Vec::with_capacity(n * (n - 1) / 2);
        for i in 0..n {
            for j in i + 1..n {
                let hours = self.hours[j] - self.hours[i];
                if hours > 0.0 {
                    slopes.push((self.elongation_pct[j] - self.elongation_pct[i]) / hours);
                }
            }
        }
        quantile(&mut slopes, 0.5)
    }
}

/// Elongation now and its rate, jointly normal, with the wander to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wear {
    /// Mean elongation now, per cent.
    pub now: f64,
    /// Mean rate, per cent per hour.
    pub rate: f64,
    /// Variance of the elongation.
    pub now_var: f64,
    /// Covariance of the two.
    pub cov: f64,
    /// Variance of the rate.
    pub rate_var: f64,
    /// Wander, per cent per root hour.
    pub scatter: f64,
}

impl Wear {
    /// Mean elongation after so many more hours.
    #[must_use]
    pub fn mean_after(&self, hours: f64) -> f64 {
        self.now + self.rate * hours
    }

    /// Variance of the elongation after so many more hours.
    #[must_use]
    pub fn var_after(&self, hours: f64) -> f64 {
        self.now_var + 2.0 * hours * self.cov + hours * hours * self.rate_var + self.scatter * self.scatter * hours
    }

    /// The same belief so many hours later, nothing read in between.
    #[must_use]
    pub fn later(&self, hours: f64) -> Self {
        Self {
            now: self.mean_after(hours),
            now_var: self.var_after(hours),
            cov: self.cov + hours * self.rate_var,
            ..*self
        }
    }

    /// Chance of lying over the limit after so many more hours.
    #[must_use]
    pub fn chance_over(&self, limit: f64, hours: f64) -> f64 {
        normal::above((limit - self.mean_after(hours)) / self.var_after(hours).sqrt())
    }

    /// The least hours after which the chance of lying over the limit is `chance`; 0 if it is now; `None` if it never
    /// comes within 10 000 hours.
    ///
    /// # Formula
    /// With D = now + rate·t − limit, V = var_after(t) and z = Φ⁻¹(chance): D = z√V, squared a quadratic in t, of
    /// which the least positive root with D on the side of z counts.
    #[must_use]
    pub fn hours_to(&self, limit: f64, chance: f64) -> Option<f64> {
        if self.chance_over(limit, 0.0) >= chance {
            return Some(0.0);
        }
        let (z, d) = (normal::quantile(chance), self.now - limit);
        let reached = |&t: &f64| t > 0.0 && t <= FARTHEST_H;
        if z == 0.0 {
            return Some(-d / self.rate).filter(reached);
        }
        let (z2, wander) = (z * z, 2.0 * self.cov + self.scatter * self.scatter);
        let a = self.rate * self.rate - z2 * self.rate_var;
        let b = 2.0 * self.rate * d - z2 * wander;
        let c = d * d - z2 * self.now_var;
        let on_side = |t: &f64| reached(t) && (d + self.rate * t) * z >= 0.0;
        roots(a, b, c).into_iter().flatten().filter(on_side).min_by(f64::total_cmp)
    }
}

/// Real roots of a t² + b t + c.
fn roots(a: f64, b: f64, c: f64) -> [Option<f64>; 2] {
    let discriminant = b * b - 4.0 * a * c;
    if discriminant < 0.0 {
        return [None, None];
    }
    let q = -0.5 * (b + discriminant.sqrt().copysign(b));
    let finite = |root: f64| root.is_finite().then_some(root);
    [finite(q / a), finite(c / q)]
}

/// What a log says under a process.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// Elongation at the last reading and the rate.
    pub wear: Wear,
    /// Each reading against what the earlier ones let expect, in standard deviations.
    pub surprises: Vec<f64>,
}

/// Belief about elongation and rate at the last reading (at 0 h without one).
///
/// # Formula
/// Unknowns: elongation now, rate, common error; from reading to reading the elongation drifts by the rate and wanders;
/// reading = elongation + common error + own error.
///
/// # Source
/// Derived here: exact Gaussian conditioning, reading by reading; second methods named in the check rows.
#[must_use]
pub fn outlook(process: &Process, log: &Log) -> Outlook {
    let mut belief = Belief::independent(&[process.start, process.rate, (0.0, log.u_common_pct)]);
    let (mut before, mut surprises) = (0.0, Vec::with_capacity(log.hours.len()));
    for ((&hours, &read), &u) in log.hours.iter().zip(&log.elongation_pct).zip(&log.u_pct) {
        belief.drift(hours - before);
        belief.wander(process.scatter * process.scatter * (hours - before));
        before = hours;
        surprises.push(Surprise::z(belief.observe(&[1.0, 0.0, 1.0], read, u * u)));
    }
    let wear = Wear {
        now: belief.mean(0),
        rate: belief.mean(1),
        now_var: belief.cov(0, 0),
        cov: belief.cov(0, 1),
        rate_var: belief.cov(1, 1),
        scatter: process.scatter,
    };
    Outlook { wear, surprises }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEAR: Wear = Wear { now: 0.7, rate: 0.015, now_var: 0.001, cov: 1e-5, rate_var: 1e-5, scatter: 0.015 };

    #[test]
    fn the_hours_to_a_chance_have_that_chance() {
        for chance in [0.01, 0.05, 0.3, 0.5, 0.8, 0.95] {
            let hours = WEAR.hours_to(1.0, chance).expect("comes");
            assert!((WEAR.chance_over(1.0, hours) - chance).abs() < 1e-10, "{chance}");
        }
    }

    #[test]
    fn a_rate_that_may_be_none_has_no_upper_bound() {
        let unsure = Wear { rate: 0.005, rate_var: 0.005 * 0.005, cov: 0.0, ..WEAR };
        assert_eq!(unsure.hours_to(1.0, 0.95), None);
        assert!(unsure.hours_to(1.0, 0.5).is_some());
    }

    #[test]
    fn a_chain_over_the_limit_has_nothing_left() {
        assert_eq!(Wear { now: 1.3, ..WEAR }.hours_to(1.0, 0.95), Some(0.0));
    }
}
