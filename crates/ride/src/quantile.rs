//! Quantiles of samples.

/// The quantile `q` (0 to 1) of a list, which is reordered; `None` of nothing.
///
/// # Formula
/// Linear between the two nearest ranks, rank = q (n − 1): the usual sample quantile, type 7.
#[must_use]
pub fn quantile(values: &mut [f64], q: f64) -> Option<f64> {
    let at = real(values.len().checked_sub(1)?) * q;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index of the list")]
    let below = at.floor() as usize;
    let (_, &mut low, above) = values.select_nth_unstable_by(below, f64::total_cmp);
    let high = above.iter().copied().min_by(f64::total_cmp).unwrap_or(low);
    Some(low + (high - low) * (at - at.floor()))
}

/// A count as a number.
#[expect(clippy::cast_precision_loss, reason = "samples of a ride, far below 2^52")]
pub(crate) const fn real(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_two_ranks_it_is_linear() {
        assert_eq!(quantile(&mut [4.0, 1.0, 2.0], 0.5), Some(2.0));
        assert_eq!(quantile(&mut [4.0, 1.0, 2.0, 3.0], 0.5), Some(2.5));
        assert_eq!(quantile(&mut [4.0, 1.0, 2.0], 0.75), Some(3.0));
        assert_eq!((quantile(&mut [4.0, 1.0], 1.0), quantile(&mut [], 0.5)), (Some(4.0), None));
    }
}
