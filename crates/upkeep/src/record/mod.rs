//! What was done with a bike and read off it: facts, each proven possible when it is made, and the order of them.
//!
//! A fact is never changed: a later one may correct it, and then the later one stands. Hours are read off the meter or
//! summed from rides; nothing derived is kept. What a fact means for riding does not live here, nor where it is kept.

mod check;
mod counted;
mod fact;
mod kept;
mod log;
mod part;
mod reading;
mod set;
mod touch;
mod used;
mod whereabouts;

pub use check::{CHECKS, Check, CheckKind, Outcome};
pub use counted::Counted;
pub use fact::{Fact, KINDS, Meter, Planned, Waiver, Work, WorkState};
pub use kept::Kept;
pub use log::{Entry, Log, Ride};
pub use part::{Part, ROLES, Role};
pub use reading::{AxleReading, ElongationReading, SlackKind, SlackReading, SlackState};
pub use set::{SET_ROLES, Set};
pub use touch::{Touched, touched};
pub use used::{Used, Whose};
pub use whereabouts::Whereabouts;

use measure::Bound;

use crate::bike::Fault;

/// A number that its bound holds.
fn held(field: &'static str, value: f64, bound: &Bound) -> Result<f64, Fault> {
    if bound.holds(value) {
        return Ok(value);
    }
    let text = format!("{field} is {value}; {} is possible ({}). Read it again.", bound.range(), bound.word);
    Err(Fault::new(field, "out_of_range", text))
}

/// Text of 1 to `most` characters.
fn text_of(field: &'static str, value: String, most: usize) -> Result<String, Fault> {
    // The database counts a text up to its first NUL.
    if (1..=most).contains(&value.chars().count()) && !value.contains('\0') && !value.trim().is_empty() {
        return Ok(value);
    }
    Err(Fault::new(
        field,
        "not_text",
        format!("{field}: 1 to {most} characters are possible. Write it shorter, or at all."),
    ))
}

/// The word that a list has for a value.
fn word_for<T: Copy + PartialEq>(words: &[(&'static str, T)], value: T) -> &'static str {
    words.iter().find(|(_, known)| *known == value).map_or("", |(word, _)| word)
}

/// One of the words of a list.
fn word_of<T: Copy>(field: &'static str, word: &str, words: &[(&'static str, T)]) -> Result<T, Fault> {
    words.iter().find(|(known, _)| *known == word).map(|(_, value)| *value).ok_or_else(|| {
        let known: Vec<&str> = words.iter().map(|(known, _)| *known).collect();
        let text = format!("{field}: \"{word}\" is not in the list; possible: {}.", known.join(", "));
        Fault::new(field, "no_such_word", text)
    })
}
