//! `torque.star`: order and passes of the bolts of a circle.

use measure::bounds::workshop as bounds;
use serde_json::{Map, Value};
use upkeep::torque::{Pass, passes, star_order};

use crate::{Answer, Field, Figure, Given, Refusal};

const STAGES_PCT: [f64; 3] = [30.0, 70.0, 100.0];

pub(super) const FIGURE: Figure = Figure {
    name: "torque.star",
    says: "Order and passes in which the bolts of a circle are tightened and loosened.",
    given: &[
        Field::whole("bolts", &bounds::BOLTS),
        Field::number("torque_nm", &bounds::BOLT_TORQUE).optional("shares only"),
        Field::numbers("stages_pct", &bounds::STAGE).optional("30, 70, 100").meaning("rising, the last one 100"),
    ],
    answer: &[
        ("order", "bolt after bolt, numbered clockwise from 1"),
        ("loosen_order", "the same backwards"),
        (
            "passes",
            "pct and order of each pass, torque_nm if a torque is given; 0 is snug by hand, the last goes round",
        ),
    ],
    formula: "star(1) = 0; odd n: k⌊n/2⌋ mod n; even n: i and i + n/2 for each i of star(n/2)",
    sources: &["star-order", "practice"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bolts = given.whole("bolts")?;
    let stages = if given.has("stages_pct") { given.numbers("stages_pct") } else { STAGES_PCT.to_vec() };
    let rising = stages.windows(2).all(|pair| matches!(pair, [first, second] if first < second));
    if !rising || stages.last().is_none_or(|last| *last < 100.0) {
        return Err(Refusal::new(
            "stages_pct",
            "not_rising_to_100",
            format!("stages_pct is {stages:?}; each stage must be above the one before, and the last one 100."),
        ));
    }
    let order = star_order(bolts);
    let loosen: Vec<_> = order.iter().rev().copied().collect();
    let torque = given.opt("torque_nm");
    let rounds: Vec<_> = passes(bolts, &stages).into_iter().map(|pass| worded(pass, torque)).collect();
    Ok(Answer::new().json("order", order).json("loosen_order", loosen).json("passes", rounds))
}

fn worded(pass: Pass, torque_nm: Option<f64>) -> Value {
    let mut round = Map::new();
    round.insert("pct".to_owned(), Value::from(pass.pct));
    if let Some(torque_nm) = torque_nm {
        round.insert("torque_nm".to_owned(), Value::from(torque_nm * pass.pct / 100.0));
    }
    round.insert("order".to_owned(), Value::from(pass.order));
    Value::Object(round)
}
