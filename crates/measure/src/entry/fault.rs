//! Why typed text is no number here, in a sentence that says what to type.

use std::fmt;

use super::LONGEST;
use crate::Bound;

/// Why typed text is no number for its field.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryFault {
    /// What is wrong.
    pub why: Why,
    /// The sentence for a person: what was typed, what is possible, what to type.
    pub text: String,
}

/// What is wrong with typed text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// Nothing was typed.
    Empty,
    /// The digits after the decimal mark are missing.
    HalfFinished,
    /// Written with an exponent.
    Exponent,
    /// No number at all.
    NoNumber,
    /// A number with something behind it that is no unit here.
    NoUnit,
    /// Sixty minutes or more behind the hours.
    Minutes,
    /// A fraction in a unit that is not measured in fractions.
    Fraction,
    /// Two readings, both possible, in the unit typed; [`retyped`] of each has only that one reading.
    Ambiguous {
        /// The reading as a decimal.
        decimal: f64,
        /// The reading with thousands.
        thousands: f64,
    },
    /// A number, but not a possible one; in the unit kept.
    OutOfRange(f64),
    /// A count with a fraction; in the unit kept.
    NotWhole(f64),
}

impl EntryFault {
    /// A stable word for programs.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self.why {
            Why::Empty => "empty",
            Why::HalfFinished => "half_finished",
            Why::Exponent => "exponent",
            Why::NoNumber => "no_number",
            Why::NoUnit => "no_unit",
            Why::Minutes => "minutes",
            Why::Fraction => "fraction",
            Why::Ambiguous { .. } => "ambiguous",
            Why::OutOfRange(_) => "out_of_range",
            Why::NotWhole(_) => "not_whole",
        }
    }

    /// The fault of `typed` text; `given` is the unit typed, `units` those that may be.
    pub(super) fn new(why: Why, typed: &str, given: &str, bound: &Bound, units: &str) -> Self {
        let (word, range) = (bound.word, bound.range());
        let unit = if bound.unit.is_empty() { String::new() } else { format!(" {}", bound.unit) };
        let text = match why {
            Why::Empty => format!("Nothing is given for {word}. Type a number, {range}."),
            Why::HalfFinished => {
                format!("\"{typed}\" ends with its decimal mark. Type the digits after it, or leave the mark out.")
            }
            Why::Exponent => format!("\"{typed}\" has an exponent. Write the number out in digits, {range}."),
            Why::NoNumber => format!("\"{typed}\" is no number. Type digits with a point or a comma, {range}."),
            Why::NoUnit if units.is_empty() => {
                format!("\"{typed}\" has a unit, and {word} has none. Type the number alone, {range}.")
            }
            Why::NoUnit if given.contains("finger") && bound.unit == "mm" => {
                format!("Give {word} in mm or in; fingers differ. Possible units: {units}.")
            }
            Why::NoUnit => format!("\"{given}\" is no unit for {word}. Possible: {units}."),
            Why::Minutes => {
                format!("\"{typed}\" has 60 minutes or more. Type hours and minutes as 2:45, or hours as 2.75.")
            }
            Why::Fraction => format!("\"{typed}\" is a fraction. Type it in digits with a point or a comma, {range}."),
            Why::Ambiguous { decimal, thousands } => format!(
                "\"{typed}\" can be {decimal} or {thousands}{unit}. Type {} or {}.",
                retyped(decimal),
                retyped(thousands)
            ),
            Why::OutOfRange(number) => {
                let check = if unit.is_empty() { "Check the figure." } else { "Check the figure and its unit." };
                format!("{number}{unit} is not possible for {word}; {range} is. {check}")
            }
            Why::NotWhole(number) => format!("{word} is {number}; a whole number is wanted, {range}."),
        };
        Self { why, text }
    }
}

impl fmt::Display for EntryFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl std::error::Error for EntryFault {}

/// A number typed so that it has no second reading: `1.2550` where `1.255` could be a thousand.
#[must_use]
pub fn retyped(number: f64) -> String {
    let mut text = number.to_string();
    // Smaller than anything that is measured: as many digits as a field takes.
    if text.len() > LONGEST {
        text = format!("{number:.*}", LONGEST - "-0.".len());
    }
    let decimals = text.split_once('.').map_or(0, |(_, part)| part.len());
    if decimals == 3 { format!("{text}0") } else { text }
}
