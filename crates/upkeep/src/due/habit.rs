//! How often somebody rides: a pace that is itself only known from a window of days.

use crate::chance::incomplete_beta;

/// What no longer tells beside a sum.
const ROUNDING: f64 = 1e-17;

/// A share for each number of rides, worked out once: 0 at none, never falling, and holding its last value for good.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shares(Vec<f64>);

impl Shares {
    /// From the share of so many rides, 1 up to `most` (1 or more); where it has reached 1 it is not asked further.
    #[must_use]
    pub(super) fn new(most: u32, share: impl Fn(f64) -> f64) -> Self {
        let mut shares = Vec::new();
        for rides in 1..=most.max(1) {
            let one = share(f64::from(rides));
            shares.push(one);
            if one >= 1.0 {
                break;
            }
        }
        Self(shares)
    }

    fn most(&self) -> f64 {
        self.0.len() as f64
    }

    fn last(&self) -> f64 {
        self.0.last().copied().unwrap_or_default()
    }

    /// Those of up to so many rides (whole).
    fn up_to(&self, rides: f64) -> &[f64] {
        &self.0[..place(rides).min(self.0.len())]
    }

    /// Those of more rides than that.
    fn after(&self, rides: f64) -> &[f64] {
        &self.0[place(rides).min(self.0.len())..]
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole count of rides; saturates")]
const fn place(rides: f64) -> usize {
    rides as usize
}

/// Belief about rides per day: gamma with `shape` rides in `days`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habit {
    shape: f64,
    days: f64,
}

impl Habit {
    /// From what is assumed before the first ride, and rides in a window of days.
    ///
    /// # Formula
    /// pace ~ Gamma(prior rides + rides, prior days + window)
    #[must_use]
    pub fn from_window(prior_rides: f64, prior_days: f64, rides: u32, window_days: f64) -> Self {
        Self { shape: prior_rides + f64::from(rides), days: prior_days + window_days }
    }

    /// Mean rides per day.
    #[must_use]
    pub fn rides_per_day(&self) -> f64 {
        self.shape / self.days
    }

    /// Chance that at least `rides` more (whole, 1 or more) are ridden within `days`.
    ///
    /// # Formula
    /// The count is negative binomial: P(N ≥ k) = I_{t/(b+t)}(k, a).
    #[must_use]
    pub(super) fn chance_of(&self, rides: f64, days: f64) -> f64 {
        let (x, y) = self.shares(days);
        incomplete_beta(rides, self.shape, x, y)
    }

    /// Mean of a share that grows with the rides ridden, over the rides within `days`.
    ///
    /// # Formula
    /// Σ P(N = j) share(j), walked from the mean count both ways until the terms no longer tell: downwards both
    /// chance and share fall, so all that is left is at most the last term times the steps left.
    #[must_use]
    pub(super) fn mean_over_rides(&self, days: f64, shares: &Shares) -> f64 {
        let (x, y) = self.shares(days);
        let a = self.shape;
        let most = shares.most();
        let usual = (a * x / y).floor().clamp(1.0, most);
        let ln_peak =
            libm::lgamma(a + usual) - libm::lgamma(usual + 1.0) - libm::lgamma(a) + a * y.ln() + usual * x.ln();
        let peak = ln_peak.exp();
        let mut sum = shares.last() * self.chance_of(most + 1.0, days);
        let (mut term, mut j) = (peak, usual);
        for share in shares.up_to(usual).iter().rev() {
            let part = term * share;
            sum += part;
            if part * j <= ROUNDING * sum {
                break;
            }
            term *= j / ((a + j - 1.0) * x);
            j -= 1.0;
        }
        (term, j) = (peak * (a + usual) / (usual + 1.0) * x, usual + 1.0);
        for share in shares.after(usual) {
            if term <= ROUNDING * peak {
                break;
            }
            sum += term * share;
            term *= (a + j) / (j + 1.0) * x;
            j += 1.0;
        }
        sum
    }

    /// The days within which something comes with `chance`; `None` beyond 100 000 days. `within` does not fall.
    pub(super) fn days_to(chance: f64, within: impl Fn(f64) -> f64) -> Option<f64> {
        const FIRST: f64 = 1e-9;
        const LAST: f64 = 1e5;
        if within(LAST) < chance {
            return None;
        }
        if within(FIRST) >= chance {
            return Some(FIRST);
        }
        Some(drive::solve::crossing(|days| within(days) - chance, FIRST, LAST))
    }

    fn shares(&self, days: f64) -> (f64, f64) {
        let whole = self.days + days;
        (days / whole, self.days / whole)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_share_is_the_chance_of_that_many_rides() {
        let habit = Habit::from_window(1.0, 10.0, 12, 90.0);
        for (rides, days) in [(1.0, 3.0), (7.0, 60.0), (40.0, 200.0), (3.0, 2000.0)] {
            let stepped = habit.mean_over_rides(days, &Shares::new(200, |j| f64::from(u8::from(j >= rides))));
            assert!((stepped - habit.chance_of(rides, days)).abs() < 1e-12, "{rides} {days}");
        }
    }

    #[test]
    fn what_every_ride_adds_alike_adds_up_to_the_mean_count_of_rides_however_few_the_days() {
        let habit = Habit::from_window(1.0, 10.0, 30, 90.0);
        let each = Shares::new(400, |rides| rides / 400.0);
        for days in [1e-9, 1e-4, 0.1, 1.0, 10.0, 100.0] {
            let (mean, rides) = (400.0 * habit.mean_over_rides(days, &each), habit.rides_per_day() * days);
            assert!((mean / rides - 1.0).abs() < 1e-9, "{days} days: {mean} for {rides}");
        }
    }

    #[test]
    fn a_step_of_any_height_is_its_chance_however_many_the_rides() {
        let habit = Habit::from_window(1.0, 10.0, 4000, 990.0);
        for (rides, days) in [
            (1.0, 1e-6),
            (2.0, 1.0),
            (45.0, 10.0),
            (3900.0, 1000.0),
            (4100.0, 1000.0),
            (39_000.0, 10_000.0),
            (41_000.0, 10_000.0),
        ] {
            let want = habit.chance_of(rides, days);
            for height in [1.0, 0.5] {
                let shares = Shares::new(45_000, |j| if j >= rides { height } else { 0.0 });
                let found = habit.mean_over_rides(days, &shares) / height;
                assert!((found - want).abs() < 1e-9 * want + 1e-14, "{rides} {days} {height}: {found} {want}");
            }
        }
    }

    #[test]
    fn the_days_of_a_chance_lie_between_at_once_and_never() {
        let days = |share: f64| Habit::days_to(share, |days| days / 1e5);
        assert_eq!(days(1.0), Some(1e5));
        assert_eq!(days(1.0 + 1e-9), None);
        assert!(days(0.3).is_some_and(|days| (days - 3e4).abs() < 1e-6));
        assert_eq!(Habit::days_to(0.5, |_| 0.5), Some(1e-9));
        let after_a_blink = Habit::days_to(0.5, |days| if days > 2e-9 { 1.0 } else { 0.0 });
        assert!(after_a_blink.is_some_and(|days| (days - 2e-9).abs() < 1e-15));
    }
}
