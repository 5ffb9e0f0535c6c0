//! One counter of a job: rides, hours or kilometres, days, with the days until it runs out.

use super::habit::{Habit, Shares};
use crate::chance::normal;

/// Rides ahead up to which a date is reckoned.
pub const MOST_RIDES: f64 = 20_000.0;
/// Rounding by which whole rides may fall short of an amount.
const ROUNDING: f64 = 1e-9;
/// Standard deviations that a long ride is taken to reach.
const LONG_RIDE: f64 = 1.645;

/// Hours or kilometres left, and what a ride adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// Left; above 0, at most [`MOST_RIDES`] rides' worth.
    pub left: f64,
    /// Mean per ride, above 0.
    pub per_ride: f64,
    /// Standard deviation per ride.
    pub sd: f64,
    /// Rides that the mean is known from, 1 or more.
    pub rides_known: f64,
}

/// What is left of one counter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Counter {
    /// Nothing: it has run out.
    Overdue,
    /// Whole rides, 1 or more.
    Rides(f64),
    /// Hours or kilometres.
    Amount(Amount),
    /// Days, above 0.
    Days(f64),
    /// Hours or kilometres without any ride to go by.
    NoRideYet,
}

/// Days until a counter runs out; `None` where that cannot be said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Date {
    /// With 10 % chance.
    pub low: Option<f64>,
    /// With even chance.
    pub median: Option<f64>,
    /// With 90 % chance.
    pub high: Option<f64>,
    /// Chance that it runs out within the days asked for.
    pub within: Option<f64>,
}

impl Counter {
    /// When it runs out, and the chance that it does `within` so many days.
    ///
    /// # Formula
    /// Rides: P(N(t) ≥ k). Amounts: k rides reach the rest R with G(k) = Φ((km − R)/(s√(k + k²/n))), and the mean of
    /// G over the rides ridden by t is the chance; G is taken up to k = ⌈20 R/m⌉ + 200.
    ///
    /// # Source
    /// Derived here (`riding-habit`); 5 % from a simulated habit with five known rides.
    #[must_use]
    pub fn date(&self, habit: &Habit, within: f64) -> Date {
        let sure = |days: f64, chance: f64| Date {
            low: Some(days),
            median: Some(days),
            high: Some(days),
            within: Some(chance),
        };
        match *self {
            Self::Overdue => sure(0.0, 1.0),
            Self::Days(left) => sure(left, if left <= within { 1.0 } else { 0.0 }),
            Self::NoRideYet => Date { low: None, median: None, high: None, within: None },
            Self::Rides(left) => spread(within, |days| habit.chance_of(left, days)),
            Self::Amount(amount) if amount.sd == 0.0 => {
                let rides = ((amount.left - ROUNDING) / amount.per_ride).ceil().max(1.0);
                spread(within, |days| habit.chance_of(rides, days))
            }
            Self::Amount(amount) => {
                let shares = Shares::new(amount.most_rides(), |rides| amount.reached_by(rides));
                spread(within, |days| habit.mean_over_rides(days, &shares))
            }
        }
    }
}

impl Amount {
    /// Chance that so many rides use up what is left.
    fn reached_by(&self, rides: f64) -> f64 {
        let sd = self.sd * (rides + rides * rides / self.rides_known).sqrt();
        normal::below((rides * self.per_ride - self.left) / sd)
    }

    fn most_rides(&self) -> u32 {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most MOST_RIDES times 20")]
        let most = (20.0 * (self.left / self.per_ride).min(MOST_RIDES)).ceil() as u32;
        most + 200
    }
}

/// Whether a counter may run out within the next ride.
#[must_use]
pub fn reaches_next_ride(counter: &Counter) -> bool {
    match counter {
        Counter::Overdue => true,
        Counter::Rides(left) => *left <= 1.0,
        Counter::Amount(amount) => amount.per_ride + LONG_RIDE * amount.sd >= amount.left,
        Counter::Days(_) | Counter::NoRideYet => false,
    }
}

fn spread(within: f64, chance: impl Fn(f64) -> f64) -> Date {
    let days = |share: f64| Habit::days_to(share, &chance);
    Date { low: days(0.1), median: days(0.5), high: days(0.9), within: Some(chance(within)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_rides_and_an_amount_without_spread_agree() {
        let habit = Habit::from_window(1.0, 10.0, 12, 90.0);
        let amount = Amount { left: 12.0, per_ride: 3.0, sd: 0.0, rides_known: 5.0 };
        assert_eq!(Counter::Amount(amount).date(&habit, 30.0), Counter::Rides(4.0).date(&habit, 30.0));
    }

    #[test]
    fn a_small_spread_hardly_moves_a_date_between_two_rides() {
        let habit = Habit::from_window(1.0, 10.0, 12, 90.0);
        let date = |sd: f64| {
            Counter::Amount(Amount { left: 10.0, per_ride: 3.0, sd, rides_known: 50.0 }).date(&habit, 30.0).median
        };
        let (sharp, blurred) = (date(0.0).unwrap(), date(0.01).unwrap());
        assert!((sharp / blurred - 1.0).abs() < 1e-6);
    }

    /// The chance by the sum over how many rides there are, each count's from the one before it.
    fn summed(amount: &Amount, shape: f64, window: f64, days: f64) -> f64 {
        let ridden = days / (window + days);
        let (mut count, mut chance, mut sum) = (0.0, (1.0 - ridden).powf(shape), 0.0);
        while count < 2000.0 {
            count += 1.0;
            chance *= (shape + count - 1.0) / count * ridden;
            let sd = amount.sd * (count + count * count / amount.rides_known).sqrt();
            sum += chance * normal::below((count * amount.per_ride - amount.left) / sd);
        }
        sum
    }

    #[test]
    fn an_amount_runs_out_as_the_sum_over_all_counts_of_rides_says() {
        let habit = Habit::from_window(1.0, 10.0, 12, 90.0);
        for left in [0.5, 3.0, 11.0, 60.0] {
            for (sd, rides_known) in [(0.1, 40.0), (1.2, 3.0), (4.0, 1.0)] {
                let amount = Amount { left, per_ride: 2.5, sd, rides_known };
                for days in [1.0, 20.0, 100.0] {
                    let date = Counter::Amount(amount).date(&habit, days);
                    let want = summed(&amount, 13.0, 100.0, days);
                    assert!(
                        date.within.is_some_and(|within| (within - want).abs() < 1e-9),
                        "{amount:?} {days}: {want}"
                    );
                }
                let date = Counter::Amount(amount).date(&habit, 1.0);
                for (days, chance) in [(date.low, 0.1), (date.median, 0.5), (date.high, 0.9)] {
                    // A chance that is there before the first ride has no day.
                    let found = days.map(|days| summed(&amount, 13.0, 100.0, days));
                    assert!(found.is_none_or(|found| (found - chance).abs() < 1e-7), "{amount:?}: {found:?} {chance}");
                    assert!(days.is_some() || sd > 2.0, "{amount:?}");
                }
            }
        }
    }

    #[test]
    fn without_spread_whole_rides_are_counted_up_and_a_hair_more_asks_for_one_more() {
        let habit = Habit::from_window(1.0, 10.0, 12, 90.0);
        let date =
            |left: f64| Counter::Amount(Amount { left, per_ride: 3.0, sd: 0.0, rides_known: 5.0 }).date(&habit, 30.0);
        for (left, rides) in [(1e-10, 1.0), (3.0, 1.0), (3.0 + 1e-10, 1.0), (3.0 + 1e-6, 2.0), (9.0, 3.0), (9.1, 4.0)] {
            assert_eq!(date(left), Counter::Rides(rides).date(&habit, 30.0), "{left}");
        }
    }

    #[test]
    fn what_is_sure_is_said_as_sure() {
        let habit = Habit::from_window(1.0, 10.0, 12, 90.0);
        let sure = |days, chance| Date { low: Some(days), median: Some(days), high: Some(days), within: Some(chance) };
        assert_eq!(Counter::Overdue.date(&habit, 0.0), sure(0.0, 1.0));
        assert_eq!(Counter::Days(30.0).date(&habit, 30.0), sure(30.0, 1.0));
        assert_eq!(Counter::Days(30.0).date(&habit, 29.9), sure(30.0, 0.0));
        let unsaid = Date { low: None, median: None, high: None, within: None };
        assert_eq!(Counter::NoRideYet.date(&habit, 30.0), unsaid);
    }

    #[test]
    fn a_counter_reaches_the_next_ride_up_to_its_very_end() {
        let amount = |left: f64| Counter::Amount(Amount { left, per_ride: 2.0, sd: 2.0, rides_known: 5.0 });
        for (counter, reaches) in [
            (Counter::Overdue, true),
            (Counter::Rides(1.0), true),
            (Counter::Rides(2.0), false),
            (amount(5.29), true),
            (amount(5.2901), false),
            (amount(1.0), true),
            (Counter::Days(1e-9), false),
            (Counter::NoRideYet, false),
        ] {
            assert_eq!(reaches_next_ride(&counter), reaches, "{counter:?}");
        }
    }
}
