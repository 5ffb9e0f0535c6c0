//! The units in which a person wants to read: the one place where a number kept becomes the number shown.
//!
//! What is computed, kept and handed to programs stays in the unit that its name says. Only words for people follow the
//! rider: [`in_units`] holds for what is worked out inside it, on this thread, and ends with it; outside it everything
//! is metric. Why a scope and not an argument: `docs/why.md`.

use std::cell::Cell;

use crate::entry;

/// What a rider reads in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Units {
    /// Millimetres, kilometres per hour, kilograms.
    #[default]
    Metric,
    /// Inches, miles per hour, pounds; torque in both, for a wrench may have either scale.
    Inch,
}

impl Units {
    /// Both, in the order of the switch.
    pub const ALL: [Self; 2] = [Self::Metric, Self::Inch];

    /// The word of the choice, on pages, in files and on the command line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Metric => "mm",
            Self::Inch => "inch",
        }
    }

    /// The choice that a word means.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|units| units.word() == word)
    }
}

thread_local! {
    static WANTED: Cell<Units> = const { Cell::new(Units::Metric) };
}

/// Puts back what held before, also when the work inside ends badly.
struct Before(Units);

impl Drop for Before {
    fn drop(&mut self) {
        WANTED.set(self.0);
    }
}

/// Does some work whose words are read in these units.
///
/// # Example
/// ```
/// use measure::shown::{self, Units};
/// assert_eq!(shown::quantity(85.0, "mm", 1), "85.0 mm");
/// assert_eq!(shown::in_units(Units::Inch, || shown::quantity(85.0, "mm", 1)), "3.346 in");
/// ```
pub fn in_units<T>(wanted: Units, work: impl FnOnce() -> T) -> T {
    let _before = Before(WANTED.replace(wanted));
    work()
}

/// The units that hold here.
#[must_use]
pub fn units() -> Units {
    WANTED.get()
}

/// How one kept unit is shown: the unit read, and by how many decimals more a number is written so that nothing that
/// could be read off is lost.
struct Reading {
    unit: &'static str,
    more_decimals: usize,
}

/// The unit read instead of a kept one; none where it is read as it is kept.
fn reading(kept: &str) -> Option<Reading> {
    if units() == Units::Metric {
        return None;
    }
    let (unit, more_decimals) = match kept {
        "mm" => ("in", 2),
        "m" => ("ft", 0),
        "km" => ("mi", 0),
        "km/h" => ("mph", 0),
        "kg" => ("lb", 0),
        _ => return None,
    };
    Some(Reading { unit, more_decimals })
}

/// The unit in which a number kept in that unit is read.
#[must_use]
pub fn unit(kept: &str) -> &str {
    reading(kept).map_or(kept, |reading| reading.unit)
}

/// The number as it is read, in full precision.
#[must_use]
pub fn value(number: f64, kept: &str) -> f64 {
    reading(kept).and_then(|reading| entry::kept_per(reading.unit, kept)).map_or(number, |factor| number / factor)
}

/// The decimals of the number as it is read.
#[must_use]
pub fn decimals(decimals: usize, kept: &str) -> usize {
    reading(kept).map_or(decimals, |reading| decimals + reading.more_decimals)
}

/// A number with so many decimals and a true minus; what rounds to zero has no sign.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) => size.to_owned(),
        Some(size) => format!("−{size}"),
        None => text,
    }
}

/// The number of a quantity alone, for a table or a range; `decimals` are those of the unit kept.
#[must_use]
pub fn digits(number_kept: f64, kept: &str, places: usize) -> String {
    number(value(number_kept, kept), decimals(places, kept))
}

/// A quantity in words: number and unit; `decimals` are those of the unit kept.
#[must_use]
pub fn quantity(number_kept: f64, kept: &str, places: usize) -> String {
    format!("{} {}", digits(number_kept, kept, places), unit_of(number_kept, kept))
}

/// The unit behind a number, with the number in the other scale where a tool may have either: a torque is read in both.
#[must_use]
pub fn unit_of(number_kept: f64, kept: &str) -> String {
    units_of(&[number_kept], kept, 1, "")
}

/// The same behind several numbers, which stand in the other scale with the same words between them.
#[must_use]
pub fn units_of(numbers: &[f64], kept: &str, places: usize, between: &str) -> String {
    let also = if units() == Units::Inch && kept == "N·m" { entry::kept_per("lbf ft", kept) } else { None };
    match also {
        Some(factor) => {
            let others: Vec<String> = numbers.iter().map(|one| number(one / factor, places)).collect();
            format!("{kept} ({} lbf ft)", others.join(between))
        }
        None => unit(kept).to_owned(),
    }
}

/// Several of one kind with the unit once behind them: "10.0 / 20.0 N·m".
#[must_use]
pub fn series(numbers: &[f64], kept: &str, places: usize, between: &str) -> String {
    let all: Vec<String> = numbers.iter().map(|one| digits(*one, kept, places)).collect();
    format!("{} {}", all.join(between), units_of(numbers, kept, places, between))
}

/// From a low to a high one, the unit once: "82 to 88 mm".
#[must_use]
pub fn range(low: f64, high: f64, kept: &str, places: usize) -> String {
    series(&[low, high], kept, places, " to ")
}

/// What is asked for, with its unit behind: "Slack, mm".
#[must_use]
pub fn headed(words: &str, kept: &str) -> String {
    format!("{words}, {}", unit(kept))
}

/// The digits of a number as it was written down: as many as it has, in other units as many as can be read off. What
/// was typed in another unit than the one kept has no digits of its own; it gets as many as a tool can be set to.
#[must_use]
pub fn written_digits(number_kept: f64, kept: &str) -> String {
    let places = match reading(kept) {
        Some(reading) => 1 + reading.more_decimals,
        None => {
            let own = number_kept.to_string();
            let decimals = own.split_once('.').map_or(0, |(_, behind)| behind.len());
            match (decimals <= 3, kept) {
                (true, _) => return own,
                (false, "N·m") => 1,
                (false, _) => 3,
            }
        }
    };
    let text = number(value(number_kept, kept), places);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// The same with its unit.
#[must_use]
pub fn written(number_kept: f64, kept: &str) -> String {
    let text = format!("{} {}", written_digits(number_kept, kept), unit_of(number_kept, kept));
    text.trim_end().to_owned()
}

/// From a low to a high one as they were written down.
#[must_use]
pub fn written_range(low: f64, high: f64, kept: &str) -> String {
    let ends = [low, high].map(|end| written_digits(end, kept));
    format!("{} to {} {}", ends[0], ends[1], units_of(&[low, high], kept, 1, " to "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Bound;

    #[test]
    fn the_same_quantity_in_both_units_by_the_definition_of_the_inch() {
        let both = |number, kept, places| {
            [Units::Metric, Units::Inch].map(|units| in_units(units, || quantity(number, kept, places)))
        };
        assert_eq!(both(25.4, "mm", 1), ["25.4 mm", "1.000 in"]);
        assert_eq!(both(87.84, "mm", 1), ["87.8 mm", "3.458 in"]);
        assert_eq!(both(15.875, "mm", 3), ["15.875 mm", "0.62500 in"]);
        assert_eq!(both(100.0, "km/h", 1), ["100.0 km/h", "62.1 mph"]);
        assert_eq!(both(16.093_44, "km", 1), ["16.1 km", "10.0 mi"]);
        assert_eq!(both(72.574_779_2, "kg", 1), ["72.6 kg", "160.0 lb"]);
        assert_eq!(both(35.251_266_656, "N·m", 1), ["35.3 N·m", "35.3 N·m (26.0 lbf ft)"]);
        assert_eq!(both(-0.001, "mm", 1), ["0.0 mm", "0.000 in"]);
        assert_eq!(both(12.0, "%", 1), ["12.0 %", "12.0 %"]);
    }

    #[test]
    fn what_is_shown_can_be_typed_and_means_the_same() {
        const LENGTH: Bound = Bound::from_to("slack_mm", "mm", 0.0, 2000.0);
        for tenths in 1..2000_u32 {
            let mm = f64::from(tenths) * 0.7;
            let shown = in_units(Units::Inch, || quantity(mm, "mm", 1));
            let typed = entry::number(&shown, &LENGTH).expect("a length").value;
            // Half of the last digit shown: a two thousandth of an inch.
            assert!((typed - mm).abs() <= 0.0127 + 1e-9, "{mm} mm is shown as {shown}, read as {typed} mm");
        }
    }

    #[test]
    fn a_choice_is_named_by_its_own_word_and_by_no_other() {
        assert_eq!(["mm", "inch", "in", ""].map(Units::named), [Some(Units::Metric), Some(Units::Inch), None, None]);
        assert_eq!(Units::ALL.map(Units::word), ["mm", "inch"]);
    }

    #[test]
    fn it_holds_for_the_work_inside_and_no_longer() {
        let nested = in_units(Units::Inch, || (in_units(Units::Metric, units), units()));
        assert_eq!((nested, units()), ((Units::Metric, Units::Inch), Units::Metric));
        let broken = std::panic::catch_unwind(|| in_units(Units::Inch, || std::panic::panic_any("stop")));
        assert!(broken.is_err());
        assert_eq!(units(), Units::Metric);
    }

    #[test]
    fn what_was_typed_in_another_unit_has_no_more_digits_than_a_tool_can_be_set_to() {
        assert_eq!(written(26.0 * 1.355_817_948_331_400_4, "N·m"), "35.3 N·m");
        assert_eq!(written(3.425 * 25.4, "mm"), "86.995 mm");
        assert_eq!(written_range(3.425 * 25.4, 93.0, "mm"), "86.995 to 93 mm");
        assert_eq!(written(35.25, "N·m"), "35.25 N·m");
        assert_eq!(written(1_000.0 / 3.0, "mm"), "333.333 mm");
    }

    #[test]
    fn a_range_says_its_unit_once_and_a_written_number_keeps_its_digits() {
        assert_eq!(range(82.0, 88.0, "mm", 0), "82 to 88 mm");
        assert_eq!(in_units(Units::Inch, || range(82.0, 88.0, "mm", 0)), "3.23 to 3.46 in");
        assert_eq!(written(605.6, "mm"), "605.6 mm");
        assert_eq!(written(15.875, "mm"), "15.875 mm");
        assert_eq!(in_units(Units::Inch, || written(15.875, "mm")), "0.625 in");
        assert_eq!(in_units(Units::Inch, || headed("Slack", "mm")), "Slack, in");
        assert_eq!(in_units(Units::Inch, || written_range(82.0, 88.0, "mm")), "3.228 to 3.465 in");
        assert_eq!(in_units(Units::Inch, || written(118.0, "")), "118");
        assert_eq!(
            in_units(Units::Inch, || series(&[10.0, 20.0], "N·m", 1, " / ")),
            "10.0 / 20.0 N·m (7.4 / 14.8 lbf ft)"
        );
    }
}
