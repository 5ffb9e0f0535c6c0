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

    #[test]
    fn a_log_speaks_from_three_readings_over_fifteen_hours_on() {
        let log = |hours: &[f64]| Log { hours: hours.to_vec(), ..Log::default() };
        for (hours, speaks) in [
            (&[][..], false),
            (&[20.0], false),
            (&[0.0, 30.0], false),
            (&[5.0, 8.0, 20.0], true),
            (&[5.0, 8.0, 19.999], false),
            (&[5.0, 5.0, 8.0, 30.0], true),
        ] {
            assert_eq!(log(hours).speaks(), speaks, "{hours:?}");
        }
    }

    #[test]
    fn the_robust_rate_is_the_middle_of_the_slopes_between_all_pairs_of_different_hours() {
        let log = |points: &[(f64, f64)]| Log {
            hours: points.iter().map(|point| point.0).collect(),
            elongation_pct: points.iter().map(|point| point.1).collect(),
            ..Log::default()
        };
        let points = [(1.0, 0.1), (4.0, 0.2), (4.0, 0.5), (9.0, 0.3), (15.0, 0.9)];
        let mut slopes = Vec::new();
        for (at, one) in points.iter().enumerate() {
            slopes.extend(
                points[at + 1..]
                    .iter()
                    .filter(|other| other.0 > one.0)
                    .map(|other| (other.1 - one.1) / (other.0 - one.0)),
            );
        }
        slopes.sort_by(f64::total_cmp);
        assert_eq!(slopes.len(), 9);
        assert!(log(&points).robust_rate().is_some_and(|rate| (rate - slopes[4]).abs() < 1e-15));
        assert!(log(&points[..4]).robust_rate().is_some());
        assert_eq!(log(&points[..3]).robust_rate(), None);
        assert_eq!(log(&[(2.0, 0.1), (2.0, 0.2), (2.0, 0.3), (2.0, 0.4)]).robust_rate(), None);
    }

    #[test]
    fn belief_after_some_readings_is_the_one_of_all_of_them_at_once() {
        let process = Process { start: (0.05, 0.06), rate: (0.013, 0.006), scatter: 0.02 };
        let log = Log {
            hours: vec![3.0, 3.0, 10.0, 24.0],
            elongation_pct: vec![0.12, 0.05, 0.2, 0.5],
            u_pct: vec![0.06, 0.05, 0.08, 0.04],
            u_common_pct: 0.03,
        };
        // Covariances of what is read, and of these with elongation and rate at the last reading.
        let cov = |a: f64, b: f64| 0.0036 + 3.6e-5 * a * b + 4e-4 * a.min(b);
        for known in 1..=4 {
            let (hours, last) = (&log.hours[..known], log.hours[known - 1]);
            let mean = |t: f64| 0.05 + 0.013 * t;
            let all: Vec<Vec<f64>> = (0..known)
                .map(|i| {
                    let own = |j: usize| if i == j { log.u_pct[i].powi(2) } else { 0.0 };
                    (0..known).map(|j| cov(hours[i], hours[j]) + 9e-4 + own(j)).collect()
                })
                .collect();
            let solve = |right: Vec<f64>| {
                let mut rows: Vec<Vec<f64>> =
                    all.iter().zip(right).map(|(row, r)| [row.clone(), vec![r]].concat()).collect();
                for k in 0..known {
                    let lead = rows[k].clone();
                    for (_, row) in rows.iter_mut().enumerate().filter(|(i, _)| *i != k) {
                        let factor = row[k] / lead[k];
                        row.iter_mut().zip(&lead).for_each(|(entry, above)| *entry -= factor * above);
                    }
                }
                (0..known).map(|k| rows[k][known] / rows[k][k]).collect::<Vec<f64>>()
            };
            let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
            let with_now: Vec<f64> = hours.iter().map(|t| cov(*t, last)).collect();
            let with_rate: Vec<f64> = hours.iter().map(|t| 3.6e-5 * t).collect();
            let off: Vec<f64> = (0..known).map(|i| log.elongation_pct[i] - mean(hours[i])).collect();
            let (now, rate) = (solve(with_now.clone()), solve(with_rate.clone()));
            let some = Log {
                hours: hours.to_vec(),
                elongation_pct: log.elongation_pct[..known].to_vec(),
                u_pct: log.u_pct[..known].to_vec(),
                ..log
            };
            let found = outlook(&process, &some);
            for (found, want) in [
                (found.wear.now, mean(last) + dot(&now, &off)),
                (found.wear.rate, 0.013 + dot(&rate, &off)),
                (found.wear.now_var, cov(last, last) - dot(&now, &with_now)),
                (found.wear.rate_var, 3.6e-5 - dot(&rate, &with_rate)),
                (found.wear.cov, 3.6e-5 * last - dot(&now, &with_rate)),
            ] {
                assert!((found - want).abs() < 1e-12, "{known}: {found} {want}");
            }
            assert_eq!((found.wear.scatter, found.surprises.len()), (0.02, known));
            let first = (0.12 - mean(3.0)) / all[0][0].sqrt();
            assert!((found.surprises[0] - first).abs() < 1e-12);
        }
        let new = outlook(&process, &Log::default()).wear;
        assert_eq!((new.now, new.rate, new.cov), (0.05, 0.013, 0.0));
    }

    #[test]
    fn no_hours_are_foretold_beyond_ten_thousand_and_a_steady_chain_never_gets_there() {
        let steady = Wear { now: 0.0, rate: 1e-4, now_var: 1e-9, cov: 0.0, rate_var: 0.0, scatter: 0.0 };
        assert_eq!(steady.hours_to(1.0, 0.5), Some(10_000.0));
        assert_eq!(steady.hours_to(1.000_001, 0.5), None);
        assert!(steady.hours_to(0.9, 0.9).is_some() && Wear { rate: 0.0, ..steady }.hours_to(0.9, 0.9).is_none());
        assert_eq!(Wear { rate: -1e-3, ..steady }.hours_to(0.9, 0.5), None);
        assert_eq!(Wear { rate: -1e-3, scatter: 0.001, ..steady }.hours_to(0.9, 0.7), None);
    }
}
