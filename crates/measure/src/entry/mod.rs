//! What people type → a number in the unit kept, with an echo of what was understood.
//!
//! Decimal comma and point, blanks, signs, thousands, units, fractions of an inch, hours with minutes. What can be read
//! in two ways, both possible, is asked back and never guessed. Does not live here: money (its own rules), dates.

mod digits;
mod fault;
mod time;
mod unit;

pub use fault::{EntryFault, Why, retyped};

use crate::{Bound, shown};
use digits::{Meaning, Unread};
use time::Clock;
use unit::{Family, Unit};

/// A typed number, understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// The number in the unit kept, inside its bound.
    pub value: f64,
    /// What was understood, for an echo beside the field: `= 35.3 N·m`.
    pub understood: String,
    /// Whether it was typed in another unit than the one kept.
    pub converted: bool,
}

/// The longest text that can be a number.
const LONGEST: usize = 40;

/// Reads a typed number for a bound; its unit is the one kept.
///
/// # Errors
/// Why it is none here, with a sentence that says what to type.
///
/// # Example
/// ```
/// use measure::{Bound, entry};
/// const TORQUE: Bound = Bound::from_to("torque", "N·m", 0.5, 300.0);
/// let typed = entry::number("26 lbf ft", &TORQUE).unwrap();
/// assert_eq!(typed.understood, "= 35.3 N·m");
/// assert!(entry::number("3 fingers", &TORQUE).is_err());
/// ```
pub fn number(text: &str, bound: &Bound) -> Result<Typed, EntryFault> {
    Entry::new(text, bound, false).number()
}

/// Reads a typed count for a bound.
///
/// # Errors
/// As [`number`], and where the number has a fraction.
pub fn whole(text: &str, bound: &Bound) -> Result<Typed, EntryFault> {
    Entry::new(text, bound, true).number()
}

/// How many of a kept unit one of another unit of its family is; `None` if they are not of one family.
pub(crate) fn kept_per(unit: &str, kept: &str) -> Option<f64> {
    unit::family(kept)?.named(unit).map(|unit| unit.kept(1.0))
}

/// One text and the range that it is read for.
struct Entry<'a> {
    text: &'a str,
    bound: &'a Bound,
    family: Option<&'static Family>,
    /// Whether the number is a count.
    whole: bool,
}

impl<'a> Entry<'a> {
    fn new(text: &'a str, bound: &'a Bound, whole: bool) -> Self {
        Self { text: text.trim(), bound, family: unit::family(bound.unit), whole }
    }

    fn number(&self) -> Result<Typed, EntryFault> {
        if self.text.is_empty() {
            return Err(self.fault(Why::Empty));
        }
        if self.text.chars().count() > LONGEST {
            return Err(self.fault(Why::NoNumber));
        }
        if let Some(clock) = self.clock() {
            return match clock {
                Clock::Hours(hours) => self.accept(if self.bound.unit == "min" { hours * 60.0 } else { hours }, true),
                Clock::TooManyMinutes => Err(self.fault(Why::Minutes)),
            };
        }
        let (digits, unit_text) = split(self.text);
        let unit = self.unit(unit_text, digits)?;
        let kept = |number: f64| unit.map_or(number, |unit| unit.kept(number));
        let converted = unit.is_some_and(|unit| !unit.is_kept());
        if digits.contains('/') {
            return self.fraction(digits, unit);
        }
        match digits::read(digits).map_err(|why| self.unread(why))? {
            Meaning::One(number) => self.accept(kept(number), converted),
            Meaning::Either { decimal, thousands } => {
                let possible = |number: f64| self.bound.holds(kept(number)) && (!self.whole || is_whole(kept(number)));
                match (possible(decimal), possible(thousands)) {
                    (true, true) => Err(self.fault(Why::Ambiguous { decimal, thousands })),
                    (false, true) => self.accept(kept(thousands), converted),
                    (_, false) => self.accept(kept(decimal), converted),
                }
            }
        }
    }

    /// Hours and minutes, where the bound is a duration.
    fn clock(&self) -> Option<Clock> {
        if matches!(self.bound.unit, "h" | "min") { time::clock(self.text) } else { None }
    }

    /// The unit typed; `None` if none was.
    fn unit(&self, typed: &str, digits: &str) -> Result<Option<&'static Unit>, EntryFault> {
        if typed.is_empty() {
            return Ok(None);
        }
        match self.family.and_then(|family| family.spelled(typed)) {
            Some(unit) => Ok(Some(unit)),
            None if !self.bound.unit.is_empty() && unit::plain(typed) == unit::plain(self.bound.unit) => Ok(None),
            None if digits.is_empty() => Err(self.fault(Why::NoNumber)),
            None => match digits::read(self.text) {
                Err(Unread::Exponent) => Err(self.fault(Why::Exponent)),
                _ => Err(self.fault(Why::NoUnit)),
            },
        }
    }

    fn fraction(&self, digits: &str, unit: Option<&'static Unit>) -> Result<Typed, EntryFault> {
        let number = digits::fraction(digits).ok_or_else(|| self.fault(Why::NoNumber))?;
        match unit {
            Some(unit) if unit.fractions => self.accept(unit.kept(number), true),
            _ => Err(self.fault(Why::Fraction)),
        }
    }

    fn accept(&self, value: f64, converted: bool) -> Result<Typed, EntryFault> {
        if !self.bound.holds(value) {
            return Err(self.fault(Why::OutOfRange(value)));
        }
        if self.whole && !is_whole(value) {
            return Err(self.fault(Why::NotWhole(value)));
        }
        // Minus zero is typed by nobody on purpose.
        let value = if value == 0.0 { 0.0 } else { value };
        let number = match self.family {
            Some(family) if converted => rounded(value, family.decimals),
            _ => value.to_string(),
        };
        let gap = if matches!(self.bound.unit, "" | "°") { "" } else { " " };
        // Read in other units, the echo says the number in both: the one that is kept and the one that is meant.
        let also = match shown::unit(self.bound.unit) == self.bound.unit {
            true => String::new(),
            false => format!(" ({})", shown::quantity(value, self.bound.unit, 1)),
        };
        Ok(Typed { value, understood: format!("= {number}{gap}{}{also}", self.bound.unit), converted })
    }

    fn unread(&self, why: Unread) -> EntryFault {
        self.fault(match why {
            Unread::HalfFinished => Why::HalfFinished,
            Unread::Exponent => Why::Exponent,
            Unread::NoNumber => Why::NoNumber,
        })
    }

    fn fault(&self, why: Why) -> EntryFault {
        let units = self.family.map_or_else(|| self.bound.unit.to_owned(), Family::names);
        EntryFault::new(why, &shortened(self.text), &shortened(split(self.text).1), self.bound, &units)
    }
}

/// The digits of a text and the unit behind them.
fn split(text: &str) -> (&str, &str) {
    // A rotation "per minute" begins with a digit or a stroke of its own.
    for end in ["1/min", "/min"] {
        if let Some(digits) = text.strip_suffix(end) {
            return (digits.trim_end(), &text[digits.len()..]);
        }
    }
    let begins_unit = |letter: char| letter.is_alphabetic() || matches!(letter, '%' | '°' | '"' | '″' | '”');
    match text.find(begins_unit) {
        Some(at) => (text[..at].trim_end(), text[at..].trim()),
        None => (text, ""),
    }
}

fn is_whole(number: f64) -> bool {
    number.fract() == 0.0
}

fn rounded(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

fn shortened(text: &str) -> String {
    if text.chars().count() > LONGEST {
        format!("{}…", text.chars().take(LONGEST).collect::<String>())
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests;
