//! Numbers as a rider reads them: rounded to what can be read or set, a true minus, the unit behind. Quantities are said
//! in the units that the rider reads in, by `measure::shown`.

pub use measure::shown::{
    digits, headed, number, quantity, range, series, unit, unit_of, units_of, written, written_digits, written_range,
};

/// A number with its sign always shown.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let zero = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if zero || text.starts_with('−') { text } else { format!("+{text}") }
}

/// The digits of a quantity with its sign always shown.
#[must_use]
pub fn signed_digits(value: f64, kept: &str, decimals: usize) -> String {
    signed(measure::shown::value(value, kept), measure::shown::decimals(decimals, kept))
}

/// A length, kept in millimetres, to a tenth of one.
#[must_use]
pub fn mm(value: f64) -> String {
    quantity(value, "mm", 1)
}

/// Percent to a tenth.
#[must_use]
pub fn pct(value: f64) -> String {
    format!("{} %", number(value, 1))
}

/// Percent with its sign.
#[must_use]
pub fn signed_pct(value: f64) -> String {
    format!("{} %", signed(value, 1))
}

/// A speed, kept in kilometres per hour, to a tenth.
#[must_use]
pub fn kmh(value: f64) -> String {
    quantity(value, "km/h", 1)
}

/// Seconds as hours and minutes.
#[must_use]
pub fn duration(seconds: f64) -> String {
    let minutes = (seconds / 60.0).round();
    let hours = (minutes / 60.0).floor();
    if hours < 1.0 { format!("{minutes:.0} min") } else { format!("{hours:.0} h {:02.0} min", minutes - 60.0 * hours) }
}

/// Seconds of a ride as minutes and seconds, with the hour where there is one: 4:20, 1:04:20.
#[must_use]
pub fn minutes(seconds: f64) -> String {
    let whole = seconds.round();
    let (hours, minutes) = ((whole / 3600.0).floor(), (whole / 60.0).floor() % 60.0);
    let rest = whole.rem_euclid(60.0);
    if hours < 1.0 { format!("{minutes:.0}:{rest:02.0}") } else { format!("{hours:.0}:{minutes:02.0}:{rest:02.0}") }
}

/// A count with its noun: "1 ride", "3 rides".
#[must_use]
pub fn count(number: usize, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// Several words as a list: "a, b and c".
#[must_use]
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// Words as a sentence begins.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words as they stand within a sentence.
#[must_use]
pub fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minus_is_a_minus_and_nothing_has_no_sign() {
        assert_eq!(number(-7.142, 1), "−7.1");
        assert_eq!(number(-0.04, 1), "0.0");
        assert_eq!(signed(7.692, 1), "+7.7");
        assert_eq!(signed(0.0, 1), "0.0");
    }

    #[test]
    fn durations_carry_the_hour() {
        assert_eq!(duration(59.0 * 60.0), "59 min");
        assert_eq!(duration(3599.0), "1 h 00 min");
        assert_eq!([minutes(260.0), minutes(3860.4), minutes(59.6)], ["4:20", "1:04:20", "1:00"]);
        assert_eq!(duration(9000.0), "2 h 30 min");
    }
}
