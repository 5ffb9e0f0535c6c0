//! Digits for a person: rounding happens here and on sheets, nowhere before.

/// A number with fixed decimals, a true minus sign, and no minus before a zero.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    let is_zero = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if value < 0.0 && !is_zero { format!("−{text}") } else { text }
}

/// A number with its sign always shown, for differences; `±0` for none.
pub(crate) fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    let is_zero = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    match (is_zero, text.starts_with('−')) {
        (true, _) => format!("±{text}"),
        (false, true) => text,
        (false, false) => format!("+{text}"),
    }
}

/// A number as short as it can be without losing what a person could read off: at most six significant digits.
pub(crate) fn short(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return fixed(value, 0);
    }
    let size = value.abs();
    let mut decimals = 5_usize;
    let mut step = 10.0;
    while decimals > 0 && size >= step {
        step *= 10.0;
        decimals -= 1;
    }
    let text = fixed(value, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minus_is_a_minus_and_zero_has_none() {
        assert_eq!(fixed(-3.25, 1), "−3.2");
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(signed(0.04, 1), "±0.0");
        assert_eq!(signed(2.0, 1), "+2.0");
        assert_eq!(signed(-2.0, 1), "−2.0");
    }

    #[test]
    fn a_short_number_keeps_six_digits_at_most() {
        assert_eq!(short(685.170_414_2), "685.17");
        assert_eq!(short(0.000_25), "0.00025");
        assert_eq!(short(118.0), "118");
        assert_eq!(short(1_234_567.8), "1234568");
        assert_eq!(short(0.0), "0");
    }
}
