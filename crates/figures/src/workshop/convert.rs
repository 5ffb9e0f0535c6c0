//! `torque.convert`: one torque in another unit.

use measure::bounds::workshop as bounds;
use upkeep::torque::TorqueUnit;

use crate::{Answer, Field, Figure, Given, Refusal};

const UNITS: [&str; 4] = ["N.m", "lbf.ft", "lbf.in", "kgf.m"];

pub(super) const FIGURE: Figure = Figure {
    name: "torque.convert",
    says: "A torque in another unit.",
    given: &[
        Field::number("value", &bounds::TORQUE_VALUE),
        Field::word("from_unit", &UNITS),
        Field::word("to_unit", &UNITS),
    ],
    answer: &[("value", "in to_unit"), ("torque_nm", "in newton metres")],
    formula: "lbf.ft = 0.3048 m × 4.4482216152605 N; lbf.in = a twelfth; kgf.m = 9.80665 N.m",
    sources: &["exact-units"],
    ask,
};

fn unit(given: &Given<'_>, name: &str) -> Result<TorqueUnit, Refusal> {
    let word = given.text(name)?;
    TorqueUnit::of(word).ok_or_else(|| Refusal::no_such_word(name, word, &UNITS))
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let torque = unit(given, "from_unit")?.torque(given.num("value")?);
    Ok(Answer::new().num("value", unit(given, "to_unit")?.value(torque)).num("torque_nm", torque.nm()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_offered_are_the_units_that_exist() {
        assert_eq!(TorqueUnit::ALL.map(TorqueUnit::word), UNITS);
    }
}
