//! Money in words: minor units as the currency writes them, ranges, money by hour. Nothing is converted into another one.

use upkeep::money::Currency;

use crate::words::number;

/// An amount in words, to the decimals that its currency has.
#[must_use]
pub fn money(minor: i64, currency: &str) -> String {
    range(minor, minor, currency)
}

/// The same from one amount to another.
#[must_use]
pub fn range(low_minor: i64, high_minor: i64, currency: &str) -> String {
    let amount = |minor: i64| {
        let places = Currency::of(currency).and_then(|currency| usize::try_from(currency.decimals()).ok())?;
        Some(number(units(real(minor), currency)?, places))
    };
    let both = if low_minor == high_minor {
        amount(low_minor)
    } else {
        amount(low_minor).zip(amount(high_minor)).map(|(low, high)| format!("{low} to {high}"))
    };
    match both {
        Some(amount) => format!("{amount} {currency}"),
        None if low_minor == high_minor => format!("{low_minor} minor units of {currency}"),
        None => format!("{low_minor} to {high_minor} minor units of {currency}"),
    }
}

/// Money per hour in the currency's own units; `None` without hours, or where the currency is none.
#[must_use]
pub fn per_hour(minor: i64, currency: &str, hours_h: f64) -> Option<f64> {
    (hours_h > 0.0).then_some(units(real(minor), currency)? / hours_h)
}

/// Minor units in the currency's own; `None` for a currency whose decimals nobody knows.
#[must_use]
pub fn units(minor: f64, currency: &str) -> Option<f64> {
    let decimals = i32::try_from(Currency::of(currency)?.decimals()).ok()?;
    Some(minor / 10_f64.powi(decimals))
}

/// Minor units as a number to reckon with.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "bounds of money lie far below 2^53")]
pub const fn real(minor: i64) -> f64 {
    minor as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_has_the_decimals_of_its_currency_and_no_others() {
        assert_eq!(money(1234, "EUR"), "12.34 EUR");
        assert_eq!(money(1234, "JPY"), "1234 JPY");
        assert_eq!(money(1234, "TND"), "1.234 TND");
        assert_eq!(money(1234, "AAA"), "1234 minor units of AAA");
        assert_eq!(range(900, 1234, "EUR"), "9.00 to 12.34 EUR");
        assert_eq!(range(-1234, -1234, "EUR"), "−12.34 EUR");
        assert_eq!(per_hour(1234, "JPY", 2.0), Some(617.0));
        assert_eq!((per_hour(1234, "AAA", 2.0), per_hour(1234, "EUR", 0.0)), (None, None));
    }
}
