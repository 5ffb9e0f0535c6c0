//! `slack.lift_gap`: the upper run lifted off the swingarm.

use drive::slack::{Fault, gap};
use measure::Length;
use measure::bounds::slack as bound;

use super::fields::{ARM_ANGLE, GAP, GEOMETRY, joined};
use super::geometry::{at_angle, at_field, gap_place, noted, refusal};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.lift_gap",
    says: "Slack of the gap kind: gap under the upper run lifted at a place of the swingarm, lower run taut.",
    given: &joined::<16>(
        &joined::<11>(&GEOMETRY, &[ARM_ANGLE]),
        &joined::<5>(
            &GAP,
            &[
                Field::number("surplus_mm", &bound::SURPLUS).optional("one of two").meaning("chain beyond taut"),
                Field::number("gap_mm", &bound::GAP).optional("one of two").meaning("a reading of the gap"),
            ],
        ),
    ),
    answer: &[
        ("gap_mm", "gap over the surface"),
        ("surplus_mm", "chain beyond taut"),
        ("taut_gap_mm", "gap with the chain just taut"),
    ],
    formula: "border of the hull of discs and lifted pin = taut length + surplus; gap = pin height - plate/2 - surface",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    if given.has("surplus_mm") == given.has("gap_mm") {
        let count = if given.has("gap_mm") { "both" } else { "none" };
        return Err(Refusal::new(
            "surplus_mm",
            "one_of_two",
            format!("surplus_mm and gap_mm: {count} given, exactly one is wanted. Give the one that is known."),
        ));
    }
    if given.opt("surplus_mm").is_some_and(|surplus| surplus < 0.0) {
        return Err(at_field("surplus_mm", Fault::TooShort { surplus: given.mm("surplus_mm")? }));
    }
    let (layout, arm) = at_angle(given)?;
    let Some(place) = gap_place(given)? else { return Err(Refusal::missing("gap_u_mm")) };
    let taut = gap::taut_gap(&layout, arm, &place).map_err(refusal)?;
    let (gap, surplus) = if let Some(gap) = given.opt("gap_mm").map(Length::from_mm) {
        (gap, gap::gap_surplus(&layout, arm, &place, gap).map_err(refusal)?)
    } else {
        let surplus = given.mm("surplus_mm")?;
        (gap::gap(&layout, arm, &place, surplus).map_err(refusal)?, surplus)
    };
    let answer = Answer::new().num("gap_mm", gap.mm()).num("surplus_mm", surplus.mm()).num("taut_gap_mm", taut.mm());
    Ok(noted(answer, given))
}
