//! A day of the calendar as typed, and the day so many days later. What day it is today is told from outside.

use jiff::Span;
use jiff::civil::Date;

/// A day of the Gregorian calendar.
pub type Day = Date;

/// From `YYYY-MM-DD`, years 1 to 9999; `None` if that is no day.
#[must_use]
pub fn day(text: &str) -> Option<Day> {
    // The library reads more than the one spelling.
    text.parse::<Day>().ok().filter(|day| day.year() > 0 && day.to_string() == text)
}

/// So many days later; `None` past the last year.
#[must_use]
pub fn days_later(day: Day, days: u32) -> Option<Day> {
    day.checked_add(Span::new().try_days(i64::from(days)).ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn later(from: &str, days: u32) -> Option<String> {
        days_later(day(from)?, days).map(|day| day.to_string())
    }

    #[test]
    fn days_are_counted_over_month_ends_and_leap_days() {
        assert_eq!(later("2026-02-28", 1).as_deref(), Some("2026-03-01"));
        assert_eq!(later("2024-02-28", 1).as_deref(), Some("2024-02-29"));
        assert_eq!(later("1900-02-28", 1).as_deref(), Some("1900-03-01"));
        assert_eq!(later("2026-12-31", 366).as_deref(), Some("2028-01-01"));
        assert_eq!(later("2000-01-01", 146_097).as_deref(), Some("2400-01-01"));
    }

    #[test]
    fn what_is_no_day_is_none() {
        for text in ["2026-02-29", "2026-13-01", "2026-00-10", "2026-1-01", "26-01-01", "2026-01-01T", "", "+026-01-01"]
        {
            assert!(day(text).is_none(), "{text}");
        }
        assert!(later("9999-12-31", 1).is_none() && later("2026-01-01", u32::MAX).is_none());
    }
}
