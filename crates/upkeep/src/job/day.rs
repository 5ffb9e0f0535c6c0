//! A day of the calendar, and the day so many days later. What day it is today is told from outside.

/// A day of the Gregorian calendar, years 1 to 9999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    year: u32,
    month: u32,
    day: u32,
}

const LAST_YEAR: u32 = 9999;

impl Day {
    /// From `YYYY-MM-DD`; `None` if that is no day.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut number = |digits: usize| {
            let part =
                parts.next().filter(|part| part.len() == digits && part.bytes().all(|byte| byte.is_ascii_digit()));
            part?.parse::<u32>().ok()
        };
        let (year, month, day) = (number(4)?, number(2)?, number(2)?);
        let fits = (1..=12).contains(&month) && year >= 1 && (1..=month_days(year, month)).contains(&day);
        (fits && parts.next().is_none()).then_some(Self { year, month, day })
    }

    /// So many days later; `None` past the last year.
    #[must_use]
    pub fn plus(self, days: u32) -> Option<Self> {
        let Self { mut year, mut month, day } = self;
        let mut left = day.checked_add(days)?;
        while left > month_days(year, month) {
            left -= month_days(year, month);
            month = month % 12 + 1;
            if month == 1 {
                year = Some(year + 1).filter(|year| *year <= LAST_YEAR)?;
            }
        }
        Some(Self { year, month, day: left })
    }
}

fn month_days(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn later(from: &str, days: u32) -> Option<String> {
        Day::read(from)?.plus(days).map(|day| day.to_string())
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
            assert!(Day::read(text).is_none(), "{text}");
        }
        assert!(later("9999-12-31", 1).is_none() && later("2026-01-01", u32::MAX).is_none());
    }
}
