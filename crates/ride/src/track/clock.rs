//! Times as a recorder writes them: exact to the attosecond, on the proleptic Gregorian calendar, no time zone kept.
//!
//! Lives here: reading `2001-05-06T07:00:00.25+02:00` and the exact order and difference of two such times.
//! Does not live here: any wish to know what time it is.

/// A moment, counted from 1970-01-01T00:00:00 UTC without leap seconds.
///
/// # Holds when
/// Two moments compare exactly as written up to eighteen digits of a second; later digits are cut off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    seconds: i64,
    atto: u64,
}

/// Digits of a second that are kept.
const DIGITS: usize = 18;
const ATTO: f64 = 1e-18;

impl Moment {
    /// Reads an `xsd:dateTime`: any number of fraction digits, `Z`, `±hh:mm` or none (then UTC).
    /// Second 60 (a leap second) is read as 59.999. `None` where the text is no such time.
    ///
    /// # Example
    /// ```
    /// use ride::track::Moment;
    /// let east = Moment::read("2001-05-06T09:00:00.5+02:00").unwrap();
    /// let utc = Moment::read("2001-05-06T07:00:00Z").unwrap();
    /// assert_eq!(east.since(utc), 0.5);
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let (date, clock) = text.split_once('T')?;
        let (zone, clock) = zone(clock)?;
        let (hms, fraction) = match clock.split_once('.') {
            Some((hms, digits)) => (hms, atto(digits)?),
            None => (clock, 0),
        };
        let (hour, minute, second) = three(hms, ':', 2)?;
        let (year, month, day) = three(date, '-', 4)?;
        let days = days(year, month, day)?;
        if hour > 23 || minute > 59 || second > 60 {
            return None;
        }
        let (second, atto) = if second == 60 { (59, 999_000_000_000_000_000) } else { (second, fraction) };
        Some(Self { seconds: days * 86_400 + hour * 3600 + minute * 60 + second - zone, atto })
    }

    /// From whole seconds since 1970-01-01T00:00:00 UTC.
    #[must_use]
    pub const fn from_unix(seconds: i64) -> Self {
        Self { seconds, atto: 0 }
    }

    /// Whole seconds since 1970-01-01T00:00:00 UTC, rounded down.
    #[must_use]
    pub const fn unix(self) -> i64 {
        self.seconds
    }

    /// Seconds from `earlier` to this moment; negative if this one is earlier.
    #[must_use]
    pub fn since(self, earlier: Self) -> f64 {
        let part = real(i128::from(self.atto) - i128::from(earlier.atto)) * ATTO;
        real(i128::from(self.seconds) - i128::from(earlier.seconds)) + part
    }

    /// The moment `seconds` later, to the nanosecond; `None` beyond the calendar.
    #[must_use]
    pub fn after(self, seconds: f64) -> Option<Self> {
        if seconds.is_nan() || seconds.abs() > 1e12 {
            return None;
        }
        let whole = seconds.floor();
        #[expect(clippy::cast_possible_truncation, reason = "at most 1e12, checked above")]
        let (whole, nano) = (whole as i64, ((seconds - whole) * 1e9).round() as i64);
        let atto = i128::from(self.atto) + i128::from(nano) * 1_000_000_000;
        let limit = 1_000_000_000_000_000_000;
        let carry = i64::try_from(atto / limit).ok()?;
        let seconds = self.seconds.checked_add(whole)?.checked_add(carry)?;
        Some(Self { seconds, atto: u64::try_from(atto % limit).ok()? })
    }
}

#[expect(clippy::cast_precision_loss, reason = "a difference of times as a double: that is the answer's precision")]
const fn real(whole: i128) -> f64 {
    whole as f64
}

/// Splits the zone off: its offset from UTC in seconds and the clock before it.
fn zone(clock: &str) -> Option<(i64, &str)> {
    if let Some(clock) = clock.strip_suffix('Z') {
        return Some((0, clock));
    }
    let Some(at) = clock.rfind(['+', '-']) else { return Some((0, clock)) };
    let (clock, offset) = clock.split_at(at);
    let sign = if offset.starts_with('-') { -1 } else { 1 };
    let (hours, minutes) = offset.get(1..)?.split_once(':')?;
    let seconds = digits(hours, 2)? * 3600 + digits(minutes, 2)? * 60;
    (hours.len() == 2 && minutes.len() == 2).then_some((sign * seconds, clock))
}

/// Three numbers with one sign between them; the first has at least `least` digits, the others exactly two.
fn three(text: &str, between: char, least: usize) -> Option<(i64, i64, i64)> {
    let mut parts = text.split(between);
    let (first, second, third) = (parts.next()?, parts.next()?, parts.next()?);
    let exact = second.len() == 2 && third.len() == 2 && (least != 2 || first.len() == 2);
    if !exact || parts.next().is_some() {
        return None;
    }
    Some((digits(first, least)?, digits(second, 2)?, digits(third, 2)?))
}

/// A number of at least `least` and at most nine digits, nothing else.
fn digits(text: &str, least: usize) -> Option<i64> {
    let fits = (least..=9).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    if fits { text.parse().ok() } else { None }
}

/// Fraction digits as attoseconds.
fn atto(digits: &str) -> Option<u64> {
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let kept = digits.get(..digits.len().min(DIGITS))?;
    let scale = 10_u64.checked_pow(u32::try_from(DIGITS - kept.len()).ok()?)?;
    kept.parse::<u64>().ok()?.checked_mul(scale)
}

/// Days from 1970-01-01 to a date of the Gregorian calendar; `None` if there is no such day.
///
/// # Formula
/// Years begin in March, so that a leap day is a year's last; 400 years are 146 097 days.
fn days(year: i64, month: i64, day: i64) -> Option<i64> {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let length = match month {
        2 => 28 + i64::from(leap),
        4 | 6 | 9 | 11 => 30,
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        _ => return None,
    };
    if !(1..=9999).contains(&year) || !(1..=length).contains(&day) {
        return None;
    }
    let shifted = year - i64::from(month <= 2);
    let (era, of_era) = (shifted.div_euclid(400), shifted.rem_euclid(400));
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    Some(era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_dates_stand_where_the_calendar_puts_them() {
        for (text, seconds) in [
            ("1970-01-01T00:00:00Z", 0),
            ("1969-12-31T23:59:59Z", -1),
            ("2000-02-29T00:00:00Z", 951_782_400),
            ("2001-05-06T07:00:00", 989_132_400),
            ("2001-05-06T01:30:00-05:30", 989_132_400),
        ] {
            assert_eq!(Moment::read(text).map(Moment::unix), Some(seconds), "{text}");
        }
    }

    #[test]
    fn what_is_no_time_is_none() {
        for text in [
            "",
            "yesterday",
            "2001-13-06T07:00:00Z",
            "2001-02-29T07:00:00Z",
            "2001-05-06T24:00:00Z",
            "2001-05-06T07:60:00Z",
            "2001-05-06T07:00:61Z",
            "2001-05-06 07:00:00Z",
            "2001-5-6T07:00:00Z",
            "2001-05-06T07:00:00.Z",
            "2001-05-06T07:00:00+2:00",
            "2001-05-06T07:00:00+02",
            "2001-05-06T07:00:00+002:00",
            "2001-05-06T07:00:00+02:000",
            "2001-05-06T07:00:00Zulu",
            "10000-01-01T00:00:00Z",
            "0000-01-01T00:00:00Z",
        ] {
            assert_eq!(Moment::read(text), None, "{text}");
        }
    }

    #[test]
    fn every_day_follows_the_one_before_by_a_plain_calendar() {
        let (mut count, mut year, mut month, mut day) = (days(1, 1, 1).expect("a day"), 1, 1, 1);
        while year <= 9999 {
            assert_eq!(days(year, month, day), Some(count), "{year}-{month}-{day}");
            let leap = if year % 100 == 0 { year % 400 == 0 } else { year % 4 == 0 };
            let february = if leap { 29 } else { 28 };
            let last =
                [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][usize::try_from(month - 1).expect("small")];
            count += 1;
            if day < last {
                day += 1;
                continue;
            }
            assert_eq!((days(year, month, last + 1), days(year, month, 0)), (None, None));
            (month, day) = (month + 1, 1);
            if month == 13 {
                assert_eq!((days(year, 13, 1), days(year, 0, 1)), (None, None));
                (year, month) = (year + 1, 1);
            }
        }
        assert_eq!((days(0, 12, 31), days(10_000, 1, 1), days(1970, 1, 1)), (None, None, Some(0)));
    }

    #[test]
    fn a_zone_is_taken_off_and_its_sign_is_that_of_the_east() {
        let utc = Moment::read("2001-05-06T07:00:00Z").expect("reads");
        for (zone, east_s) in
            [("+00:00", 0.0), ("-00:00", 0.0), ("+02:30", 9000.0), ("-11:01", -39_660.0), ("+14:00", 50_400.0)]
        {
            let there = Moment::read(&format!("2001-05-06T07:00:00{zone}")).expect("reads");
            assert_eq!(utc.since(there), east_s, "{zone}");
        }
        for none in ["+2:030", "+020:0", "+02:3", "+02-30", "+", "-:", "+aa:bb", "+02:30:00", "Z+02:00"] {
            assert_eq!(Moment::read(&format!("2001-05-06T07:00:00{none}")), None, "{none}");
        }
    }

    #[test]
    fn each_part_of_a_time_has_its_own_digits_and_its_own_end() {
        let unix = |text: &str| Moment::read(text).map(Moment::unix);
        assert_eq!(unix("2001-05-06T23:59:59Z").zip(unix("2001-05-06T00:00:00Z")), Some((989_193_599, 989_107_200)));
        assert_eq!(unix(" 2001-05-06T01:01:01 "), Some(989_107_200 + 3661));
        for none in [
            "201-05-06T07:00:00Z",
            "2001-5-06T07:00:00Z",
            "2001-05-6T07:00:00Z",
            "2001-05-06-01T07:00:00Z",
            "2001-05T07:00:00Z",
            "2001-05-06T7:00:00Z",
            "2001-05-06T007:00:00Z",
            "2001-05-06T07:0:00Z",
            "2001-05-06T07:00:0Z",
            "2001-05-06T07:00:00:00Z",
            "2001-05-06T07:00Z",
            "2001-05-06T07:00:61Z",
            "2001-05-06T07:00:00.5.5Z",
            "2001-05-06T07:00:00.5aZ",
            "2001-00-06T07:00:00Z",
            "2001-05-00T07:00:00Z",
            "2001-05-06T+7:00:00Z",
            "0000002001-05-06T07:00:00Z",
            "-001-05-06T07:00:00Z",
        ] {
            assert_eq!(unix(none), None, "{none}");
        }
        assert_eq!(unix("002001-05-06T07:00:00Z"), unix("2001-05-06T07:00:00Z"), "more digits of a year are one");
    }

    #[test]
    fn a_fraction_counts_by_its_place_and_later_digits_are_cut_off() {
        let at = |fraction: &str| Moment::read(&format!("2001-05-06T07:00:00.{fraction}Z")).expect("reads");
        let whole = Moment::from_unix(989_132_400);
        for (fraction, seconds) in [("5", 0.5), ("05", 0.05), ("123456789", 0.123_456_789), ("000", 0.0)] {
            assert!((at(fraction).since(whole) - seconds).abs() < 1e-15, "{fraction}");
            assert_eq!(at(fraction).unix(), whole.unix());
        }
        assert!(at("000000000000000001") > whole && at("0000000000000000009") == whole);
        assert!((at("999999999999999999").since(whole) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn seconds_are_added_to_the_nanosecond_over_any_whole_one() {
        let start = Moment { seconds: 10, atto: 700_000_000_000_000_001 };
        let later = |seconds: f64| start.after(seconds).map(|moment| (moment.seconds, moment.atto));
        assert_eq!(later(0.3), Some((11, 1)));
        assert_eq!(later(0.299_999_999), Some((10, 999_999_999_000_000_001)));
        assert_eq!(later(-0.7), Some((10, 1)));
        assert_eq!(later(-0.8), Some((9, 900_000_000_000_000_001)));
        assert_eq!(later(2.5), Some((13, 200_000_000_000_000_001)));
        assert_eq!((later(f64::NAN), later(1e13), later(-1e13)), (None, None, None));
        assert_eq!(later(1e12).map(|(seconds, _)| seconds), Some(1_000_000_000_010));
        assert_eq!(later(-1e12).map(|(seconds, _)| seconds), Some(-999_999_999_990));
        assert_eq!(Moment { seconds: i64::MAX, atto: 0 }.after(1.0), None);
    }

    #[test]
    fn a_leap_second_comes_just_before_midnight() {
        let leap = Moment::read("2016-12-31T23:59:60Z").expect("reads");
        let before = Moment::read("2016-12-31T23:59:50Z").expect("reads");
        assert!((leap.since(before) - 9.999).abs() < 1e-12);
    }

    #[test]
    fn many_digits_still_order_two_times() {
        let early = Moment::read("1901-12-13T20:45:52.2073436Z").expect("reads");
        let late = Moment::read("1901-12-13T20:45:52.2073437Z").expect("reads");
        assert!(early < late && (late.since(early) - 1e-7).abs() < 1e-18);
    }

    #[test]
    fn adding_seconds_is_undone_by_the_difference() {
        let start = Moment::read("2001-05-06T07:00:00.9Z").expect("reads");
        for seconds in [0.0, 0.25, -0.25, 61.5, -3600.0] {
            let later = start.after(seconds).expect("inside the calendar");
            assert!((later.since(start) - seconds).abs() < 1e-9, "{seconds}");
        }
    }
}
