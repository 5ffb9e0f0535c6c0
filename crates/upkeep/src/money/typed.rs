//! A price as a person types it: point or comma as the one decimal mark, no grouping, no symbol, nothing rounded.

use super::Currency;

/// Largest amount that every reader of JSON keeps exactly.
const MOST: i64 = (1 << 53) - 1;

/// Why a typed price is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TypedFault {
    /// Nothing was typed.
    Empty,
    /// There is no digit.
    NoDigit,
    /// More than one decimal mark.
    TwoMarks,
    /// A character that belongs to no number.
    Strange(char),
    /// More decimals than the currency has.
    TooManyDecimals,
    /// Beyond what can be kept exactly.
    TooLarge,
}

/// The amount in minor units.
///
/// # Errors
/// What keeps the text from being a price.
///
/// # Example
/// ```
/// use upkeep::money::{Currency, minor_units};
/// let euro = Currency::of("EUR").expect("a currency");
/// assert_eq!(minor_units(" 22,5 ", euro), Ok(2250));
/// ```
pub fn minor_units(text: &str, currency: Currency) -> Result<i64, TypedFault> {
    let text = text.trim();
    if text.is_empty() {
        return Err(TypedFault::Empty);
    }
    let digits = text.strip_prefix(['-', '\u{2212}']);
    let (negative, digits) = (digits.is_some(), digits.unwrap_or(text));
    if let Some(strange) = digits.chars().find(|c| !c.is_ascii_digit() && !matches!(c, '.' | ',')) {
        return Err(TypedFault::Strange(strange));
    }
    let mut parts = digits.split(['.', ',']);
    let (whole, fraction) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
    if parts.next().is_some() {
        return Err(TypedFault::TwoMarks);
    }
    if whole.is_empty() && fraction.is_empty() {
        return Err(TypedFault::NoDigit);
    }
    let decimals = u32::try_from(fraction.len()).map_err(|_| TypedFault::TooManyDecimals)?;
    let missing = currency.decimals().checked_sub(decimals).ok_or(TypedFault::TooManyDecimals)?;
    let padding = (0..missing).map(|_| b'0');
    let amount = whole.bytes().chain(fraction.bytes()).chain(padding).try_fold(0_i64, |amount, digit| {
        let amount = amount.checked_mul(10)?.checked_add(i64::from(digit - b'0'))?;
        (amount <= MOST).then_some(amount)
    });
    let amount = amount.ok_or(TypedFault::TooLarge)?;
    Ok(if negative { -amount } else { amount })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str, code: &str) -> Result<i64, TypedFault> {
        minor_units(text, Currency::of(code).expect("a currency"))
    }

    #[test]
    fn a_mark_may_stand_first_or_last() {
        assert_eq!(typed(".5", "GBP"), Ok(50));
        assert_eq!(typed("5,", "JPY"), Ok(5));
        assert_eq!(typed("007", "TND"), Ok(7000));
        assert_eq!(typed("\u{2212}6,20", "EUR"), Ok(-620));
    }

    #[test]
    fn what_is_no_price_is_told_apart() {
        assert_eq!(typed("  ", "EUR"), Err(TypedFault::Empty));
        assert_eq!(typed("-", "EUR"), Err(TypedFault::NoDigit));
        assert_eq!(typed(".", "EUR"), Err(TypedFault::NoDigit));
        assert_eq!(typed("1.234,50", "EUR"), Err(TypedFault::TwoMarks));
        assert_eq!(typed("5-", "EUR"), Err(TypedFault::Strange('-')));
        assert_eq!(typed("+5", "EUR"), Err(TypedFault::Strange('+')));
        assert_eq!(typed("1e3", "EUR"), Err(TypedFault::Strange('e')));
        assert_eq!(typed("1.0", "JPY"), Err(TypedFault::TooManyDecimals));
    }

    #[test]
    fn the_last_exact_amount_is_the_last_one_taken() {
        assert_eq!(typed("90071992547409.91", "SEK"), Ok(MOST));
        assert_eq!(typed("90071992547409.92", "SEK"), Err(TypedFault::TooLarge));
        assert_eq!(typed(&"9".repeat(400), "SEK"), Err(TypedFault::TooLarge));
        assert_eq!(typed(&format!("{}7", "0".repeat(400)), "SEK"), Ok(700));
    }
}
