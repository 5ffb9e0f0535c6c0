//! How long a step takes: a range around the library's minutes until the log knows better.

use std::iter::Sum;
use std::ops::Add;

/// Share of the library's minutes at best.
///
/// # Source
/// practice.
const LOW: f64 = 0.8;
/// Share of the library's minutes with trouble.
///
/// # Source
/// practice.
const HIGH: f64 = 2.0;
/// So many logged times are needed before the log decides.
const ENOUGH: usize = 3;

/// Minutes with their range.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Minutes {
    /// At best.
    pub low_min: f64,
    /// As planned, or the median of the log.
    pub mid_min: f64,
    /// With trouble, or the longest seen.
    pub high_min: f64,
}

impl Minutes {
    /// The range around the library's minutes.
    #[must_use]
    pub(super) fn estimated(minutes: u32) -> Self {
        let mid_min = f64::from(minutes);
        Self { low_min: mid_min * LOW, mid_min, high_min: mid_min * HIGH }
    }

    /// Least, median and most of logged times; `None` while there are fewer than three.
    #[must_use]
    pub fn seen(minutes: &[f64]) -> Option<Self> {
        let mut sorted = minutes.to_vec();
        sorted.sort_by(f64::total_cmp);
        if sorted.len() < ENOUGH {
            return None;
        }
        let (upper, lower) = (sorted.len() / 2, (sorted.len() - 1) / 2);
        Some(Self {
            low_min: *sorted.first()?,
            mid_min: f64::midpoint(*sorted.get(lower)?, *sorted.get(upper)?),
            high_min: *sorted.last()?,
        })
    }
}

impl Add for Minutes {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            low_min: self.low_min + other.low_min,
            mid_min: self.mid_min + other.mid_min,
            high_min: self.high_min + other.high_min,
        }
    }
}

impl Sum for Minutes {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}

/// Minutes that one step took before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Logged<'k> {
    /// The step as it is written: `do:OPERATION`, `open:STATE`, `close:STATE`.
    pub step: &'k str,
    /// What it took each time.
    pub minutes: &'k [f64],
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_log_decides_from_the_third_time_on() {
        assert_eq!(Minutes::seen(&[5.0, 9.0]), None);
        let seen = Minutes::seen(&[9.0, 5.0, 6.0, 7.0]).expect("four times");
        assert!((seen.low_min - 5.0).abs() < 1e-12 && (seen.mid_min - 6.5).abs() < 1e-12);
        assert!((seen.high_min - 9.0).abs() < 1e-12);
    }

    #[test]
    fn an_estimate_runs_from_four_fifths_to_double() {
        let range = Minutes::estimated(10);
        assert!((range.low_min - 8.0).abs() < 1e-12 && (range.high_min - 20.0).abs() < 1e-12);
    }
}
