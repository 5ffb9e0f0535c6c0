//! What is asked, parsed at the door: the same for a command's option and a form's field.
//!
//! Typed text becomes numbers by `measure::entry` against the bounds of the bike sheet; every fault names its field,
//! what was given, what is possible and what to do. All faults are returned together.

use advice::ground::{self, Ground};
use advice::shelf::Shelf;
use advice::slack::Read;
use advice::{Gap, Setup};
use measure::{Bound, bounds, entry};
use upkeep::bike::{self, Bike};
use upkeep::money::{Currency, minor_units};

use crate::args::SetupArgs;

/// One thing wrong with what was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Faulty {
    /// The field or option.
    pub(crate) field: &'static str,
    /// The sentence.
    pub(crate) text: String,
}

/// Collects what was parsed and what could not be.
#[derive(Debug, Default)]
pub(crate) struct Door {
    /// Everything wrong so far.
    pub(crate) faults: Vec<Faulty>,
    /// Whether an empty text is a fault: a form's empty field is left out, a command's empty option is half typed.
    strict: bool,
}

impl Door {
    /// The door of a command: an option that is there must say something.
    pub(crate) fn of_command() -> Self {
        Self { faults: Vec::new(), strict: true }
    }

    /// Ends the asking: nothing goes on with a fault.
    ///
    /// # Errors
    /// Everything wrong.
    pub(crate) fn closed(self) -> Result<(), Vec<Faulty>> {
        if self.faults.is_empty() { Ok(()) } else { Err(self.faults) }
    }

    /// What was typed, if anything.
    fn typed<'t>(&mut self, field: &'static str, typed: Option<&'t str>) -> Option<&'t str> {
        let typed = typed?;
        if !typed.trim().is_empty() {
            return Some(typed);
        }
        if self.strict {
            let text = format!("{field}: nothing is given. Give it, or leave the option out.");
            self.faults.push(Faulty { field, text });
        }
        None
    }

    /// A count of the bike sheet, or what is fitted if nothing was typed.
    pub(crate) fn count(&mut self, field: &'static str, typed: Option<&str>, fitted: u32) -> u32 {
        let Some(typed) = self.typed(field, typed) else { return fitted };
        let Some(bound) = bike::field(field).and_then(bike::BikeField::bound) else { return fitted };
        match entry::whole(typed, bound) {
            Ok(typed) => whole(typed.value).unwrap_or(fitted),
            Err(fault) => {
                self.faults.push(Faulty { field, text: format!("{field}: {fault}") });
                fitted
            }
        }
    }

    /// A number within a bound, if something was typed.
    pub(crate) fn number(&mut self, field: &'static str, typed: Option<&str>, bound: &Bound) -> Option<f64> {
        let typed = self.typed(field, typed)?;
        match entry::number(typed, bound) {
            Ok(typed) => Some(typed.value),
            Err(fault) => {
                self.faults.push(Faulty { field, text: format!("{field}: {fault}") });
                None
            }
        }
    }

    /// An amount with its currency, such as "92 EUR".
    pub(crate) fn money(&mut self, field: &'static str, typed: Option<&str>) -> Option<(i64, String)> {
        let typed = self.typed(field, typed)?;
        match money(typed) {
            Ok(money) => Some(money),
            Err(why) => {
                let text = format!("{field}: \"{typed}\": {why}. Write such as \"92 EUR\".");
                self.faults.push(Faulty { field, text });
                None
            }
        }
    }

    /// What lies on the shelf: counts parted by commas or blanks.
    pub(crate) fn shelf(&mut self, typed: Option<&str>) -> Shelf {
        let Some(typed) = self.typed("shelf", typed) else { return Shelf::default() };
        let counts = typed.split([',', ';', ' ']).filter(|count| !count.is_empty());
        let counts: Vec<u32> = counts.filter_map(|count| self.whole("shelf", count, &bounds::gearing::SHELF)).collect();
        Shelf::of(&counts)
    }

    /// A time of a ride: minutes:seconds, hours:minutes:seconds, or seconds.
    pub(crate) fn clock(&mut self, field: &'static str, typed: &str) -> Option<f64> {
        let parts: Vec<&str> = typed.trim().split(':').collect();
        let digits = |part: &&str| (1..=6).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
        let numbers: Vec<f64> = parts.iter().filter(|part| digits(part)).filter_map(|part| part.parse().ok()).collect();
        // Only the first number may be 60 or more.
        let possible = numbers.len() == parts.len() && parts.len() <= 3 && numbers.iter().skip(1).all(|n| *n < 60.0);
        if possible {
            return Some(numbers.iter().fold(0.0, |seconds, number| 60.0 * seconds + number));
        }
        let text =
            format!("{field}: \"{typed}\" is no time of a ride; minutes:seconds is wanted, such as 4:20 or 1:04:20.");
        self.faults.push(Faulty { field, text });
        None
    }

    /// A count within a bound.
    pub(crate) fn whole(&mut self, field: &'static str, typed: &str, bound: &Bound) -> Option<u32> {
        match entry::whole(typed, bound) {
            Ok(typed) => whole(typed.value),
            Err(fault) => {
                self.faults.push(Faulty { field, text: format!("{field}: {fault}") });
                None
            }
        }
    }

    /// A setup from a pair ("14/48") and links; left out, what is fitted.
    pub(crate) fn setup(&mut self, fitted: Setup, pair: Option<&str>, links: Option<&str>) -> Setup {
        let (front, rear) = match pair.map(|text| (text, text.split_once('/'))) {
            None => (None, None),
            Some((_, Some((front, rear)))) if !front.trim().is_empty() && !rear.trim().is_empty() => {
                (Some(front), Some(rear))
            }
            Some((text, _)) => {
                let text = format!("pair: \"{text}\" is no pair; front/rear teeth are wanted, such as 14/48.");
                self.faults.push(Faulty { field: "pair", text });
                (None, None)
            }
        };
        self.teeth(fitted, front, rear, links)
    }

    /// The setup that a command's options name; left out, what is fitted.
    ///
    /// # Errors
    /// The sheet lacks a count of what is fitted.
    pub(crate) fn wanted(&mut self, bike: &Bike, args: &SetupArgs) -> Result<Setup, Gap> {
        Ok(self.setup(Setup::fitted(bike)?, args.pair.as_deref(), args.links.as_deref()))
    }

    /// A setup from its three counts; left out, what is fitted.
    pub(crate) fn teeth(
        &mut self,
        fitted: Setup,
        front: Option<&str>,
        rear: Option<&str>,
        links: Option<&str>,
    ) -> Setup {
        Setup {
            front_teeth: self.count("front_teeth", front, fitted.front_teeth),
            rear_teeth: self.count("rear_teeth", rear, fitted.rear_teeth),
            links: self.count("links", links, fitted.links),
        }
    }

    /// What was read off the bike.
    pub(crate) fn read(&mut self, slack: Option<&str>, left: Option<&str>, right: Option<&str>) -> Read {
        let read = Read {
            slack_mm: self.number("slack_mm", slack, &bounds::record::SLACK),
            left_mm: self.number("left_mm", left, &bounds::slack::SIDE),
            right_mm: self.number("right_mm", right, &bounds::slack::SIDE),
        };
        if read.left_mm.is_some() != read.right_mm.is_some() && self.faults.is_empty() {
            let field = if read.left_mm.is_some() { "right_mm" } else { "left_mm" };
            let text = format!("{field}: only the other side is given. Measure both sides, or leave both out.");
            self.faults.push(Faulty { field, text });
        }
        read
    }
}

/// The ground of a word; the usual one if none was named.
///
/// # Errors
/// The word is none of the list.
pub(crate) fn ground(word: Option<&str>) -> Result<Ground, Vec<Faulty>> {
    let Some(word) = word.filter(|word| !word.trim().is_empty()) else { return Ok(ground::USUAL) };
    ground::named(word.trim()).ok_or_else(|| {
        let words: Vec<&str> = ground::GROUNDS.iter().map(|ground| ground.word).collect();
        let text = format!("ground: \"{word}\" is not in the list; possible: {}.", words.join(", "));
        vec![Faulty { field: "ground", text }]
    })
}

/// An amount of a currency, in minor units.
fn money(typed: &str) -> Result<(i64, String), &'static str> {
    // The euro's sign is of one currency alone; a dollar's or a pound's is of several.
    let typed = typed.trim().replace('€', " EUR ");
    let (amount, code) = typed.trim().rsplit_once(' ').ok_or("no currency")?;
    let currency = Currency::of(code).ok_or("no currency of three capital letters")?;
    let minor = minor_units(amount, currency).map_err(|_| "no amount of that currency")?;
    if minor < 0 { Err("less than nothing") } else { Ok((minor, code.to_owned())) }
}

/// A whole number, if it is one.
pub(crate) fn whole(value: f64) -> Option<u32> {
    (value.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&value)).then_some(())?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked whole and in range above")]
    Some(value as u32)
}

#[cfg(test)]
mod typed;

#[cfg(test)]
mod tests {
    use super::*;

    const FITTED: Setup = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };

    #[test]
    fn what_is_left_out_is_what_is_fitted() {
        let mut door = Door::default();
        assert_eq!(door.setup(FITTED, None, None), FITTED);
        assert_eq!(
            door.setup(FITTED, Some("13/49"), Some("116")),
            Setup { front_teeth: 13, rear_teeth: 49, links: 116 }
        );
        assert!(door.faults.is_empty());
    }

    #[test]
    fn every_fault_is_named_at_once() {
        let mut door = Door::default();
        door.setup(FITTED, Some("130/4x"), Some("-118"));
        let fields: Vec<_> = door.faults.iter().map(|fault| fault.field).collect();
        assert_eq!(fields, ["front_teeth", "rear_teeth", "links"]);
        door.setup(FITTED, Some("13-49"), None);
        assert_eq!(door.faults.last().map(|fault| fault.field), Some("pair"));
    }

    #[test]
    fn a_time_of_a_ride_is_read_or_refused() {
        let mut door = Door::default();
        assert_eq!(door.clock("from_s", "4:20"), Some(260.0));
        assert_eq!(door.clock("from_s", "1:04:20"), Some(3860.0));
        assert_eq!(door.clock("from_s", "95"), Some(95.0));
        assert!(door.faults.is_empty());
        for typed in ["4:60", "4.20", "", ":20", "-1:00", "1:2:3:4", "1e3"] {
            assert_eq!(door.clock("to_s", typed), None, "{typed}");
        }
        assert_eq!(door.faults.len(), 7);
    }

    #[test]
    fn a_price_may_carry_the_euros_sign_and_no_other() {
        for typed in ["38,50 EUR", "38,50 €", "38.50€", "€ 38,50"] {
            let wanted = if typed.starts_with('€') { None } else { Some((3850, "EUR".to_owned())) };
            assert_eq!(money(typed).ok(), wanted, "{typed}");
        }
        assert!(money("38,50").is_err() && money("38.50 $").is_err());
    }

    #[test]
    fn one_side_alone_is_asked_for_the_other() {
        let mut door = Door::default();
        door.read(Some("85"), Some("605,1"), None);
        assert_eq!(door.faults[0].field, "right_mm");
    }
}
