//! The last day on which something can be ordered.

use jiff::civil::Date;

/// The last day to order what takes so many days and is needed on a day; `None` before the calendar begins.
#[must_use]
pub fn order_by(needed: Date, lead_d: u16) -> Option<Date> {
    needed.checked_sub(jiff::Span::new().days(i32::from(lead_d))).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_month_has_its_own_days() {
        let day = |text: &str| text.parse::<Date>().expect("a day");
        assert_eq!(order_by(day("2026-09-25"), 9), Some(day("2026-09-16")));
        assert_eq!(order_by(day("2028-03-01"), 1), Some(day("2028-02-29")));
        assert_eq!(order_by(day("2027-01-03"), 5), Some(day("2026-12-29")));
    }
}
