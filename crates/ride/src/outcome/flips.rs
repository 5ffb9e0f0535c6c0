//! Exact chances and intervals: every choice of signs and every subset is counted.

/// Sums of flips this close count as equal: decimals are not exact.
const TIE: f64 = 1e-9;

/// An interval, both ends belonging to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    pub(super) fn leaves_out_zero(self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }
}

/// How many subset means lie outside the interval on each side; `None` if not even one.
pub(super) fn outside(interval: f64, flips: u32) -> Option<u32> {
    let share = ((1.0 - interval) / 2.0 * f64::from(flips) + TIE).floor();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 2^15 by the clamp")]
    let whole = share.clamp(0.0, f64::from(flips / 2 - 1)) as u32;
    (whole > 0).then_some(whole)
}

pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / count(values.len())
}

fn count(items: usize) -> f64 {
    u32::try_from(items).map_or(f64::INFINITY, f64::from)
}

/// The share of all choices of signs whose sum is at least as far from zero as the values' own.
pub(super) fn chance(values: &[f64]) -> f64 {
    let own: f64 = values.iter().sum();
    let size: f64 = values.iter().map(|value| value.abs()).sum();
    let far = own.abs() - TIE * size;
    // Turning every sign keeps the distance from zero, so the first sign may stand.
    let mut sums = vec![values.first().copied().unwrap_or(0.0)];
    for value in values.iter().skip(1) {
        let turned: Vec<f64> = sums.iter().map(|sum| sum - value).collect();
        sums.iter_mut().for_each(|sum| *sum += value);
        sums.extend(turned);
    }
    count(sums.iter().filter(|sum| sum.abs() >= far).count()) / count(sums.len())
}

/// From the k-th smallest to the k-th largest mean of all subsets, the empty one left out; k is 1 or more.
///
/// # Source
/// `sign-flips`.
pub(super) fn interval_of(values: &[f64], k: u32) -> Interval {
    let mut sums = vec![(0.0, 0.0)];
    for value in values {
        let with: Vec<(f64, f64)> = sums.iter().map(|(sum, size)| (sum + value, size + 1.0)).collect();
        sums.extend(with);
    }
    let mut means: Vec<f64> = sums.iter().skip(1).map(|(sum, size)| sum / size).collect();
    let k = usize::try_from(k).unwrap_or(1).clamp(1, means.len());
    let (low, high) = (k - 1, means.len() - k);
    let low = *means.select_nth_unstable_by(low, f64::total_cmp).1;
    Interval { low, high: *means.select_nth_unstable_by(high, f64::total_cmp).1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chance_counts_every_choice_of_signs() {
        // of ±1 ±2 ±3 only the sums 6 and −6 are as far out as 6; of ±1 ±2 ±(−3) all eight reach 0
        assert!((chance(&[1.0, 2.0, 3.0]) - 0.25).abs() < 1e-12);
        assert!((chance(&[1.0, 2.0, -3.0]) - 1.0).abs() < 1e-12);
        assert!((chance(&[0.1, 0.2, 0.3 - 0.6]) - 1.0).abs() < 1e-12, "decimals are not exact");
    }

    #[test]
    fn the_interval_runs_between_subset_means() {
        // means of the subsets of 0 and 6: 0, 3, 6
        assert_eq!(interval_of(&[0.0, 6.0], 1), Interval { low: 0.0, high: 6.0 });
        assert_eq!(interval_of(&[0.0, 6.0, 3.0], 2), Interval { low: 1.5, high: 4.5 });
    }
}
