//! Hours that nobody counted, as they were typed → a range; of a bike bought used or of a part of its drive.

use measure::bounds::record as bounds;
use upkeep::record::{Fact, Used, Whose};

use super::faulty;
use crate::asked::{Door, Faulty};

/// Whose hours a range may be, and how it is asked.
pub(crate) const WHOSE: [(&str, &str); 4] = [
    ("chain", "The chain alone"),
    ("bike", "The bike, and all on it that is not recorded as fitted"),
    ("front", "The front sprocket alone"),
    ("rear", "The rear sprocket alone"),
];

/// Both ends.
///
/// # Errors
/// An end that is missing or none, or a high end below the low one.
pub(crate) fn range(mut door: Door, [low, high]: [&str; 2]) -> Result<[f64; 2], Vec<Faulty>> {
    let ends = [door.number("low", Some(low), &bounds::USED), door.number("high", Some(high), &bounds::USED)];
    let fault = |field, text: String| Err(vec![Faulty { field, text }]);
    match ends {
        _ if !door.faults.is_empty() => Err(door.faults),
        [Some(low), Some(high)] if high < low => {
            fault("high", format!("high: {high} h lies below {low} h. Swap or correct them."))
        }
        [Some(low), Some(high)] => Ok([low, high]),
        [Some(_), None] => fault("high", "high: the upper end is missing; the seller's \"at most\".".to_owned()),
        _ => fault("low", "low: the lower end is missing; 0 if nobody knows.".to_owned()),
    }
}

/// The range as a fact.
///
/// # Errors
/// As [`range`], or a word that is in no list.
pub(crate) fn fact(door: Door, whose: &str, ends: [&str; 2]) -> Result<Fact, Vec<Faulty>> {
    let [low, high] = range(door, ends)?;
    let whose = Whose::of(whose).map_err(|fault| vec![faulty("whose", fault)])?;
    Used::new(whose, low, high).map(Fact::Used).map_err(|fault| vec![faulty("low", fault)])
}
