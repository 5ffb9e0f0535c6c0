//! `ride.confidence`: how far a ranking of pairs carries.

use measure::bounds::gearing as bounds;
use ride::replay::{Facts, confidence};

use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const CONFIDENCE: Figure = Figure {
    name: "ride.confidence",
    says: "How sure a ranking of pairs is, from the facts of its replay.",
    given: &[
        Field::whole("runs_in_band", &bounds::RUNS).meaning("of the 8 runs of ride.pairs with sensitivity"),
        Field::flag("grade_known"),
        Field::flag("curve_given").meaning("the engine's curve is the rider's own"),
        Field::number("moving_s", &bounds::MOVING_TIME),
        Field::flag("saturated").meaning("ride.saturation answers it"),
        Field::number("interval_s", &bounds::INTERVAL).meaning("median time between points"),
        Field::flag("at_edge"),
        Field::flag("geometry_only"),
    ],
    answer: &[("confidence", "high, medium or low"), ("reasons", "the fields that are bad")],
    formula: "high: 7 of 8 runs in the band, grade and curve known, 20 minutes under way, not held at the limiter, points 2 s apart or less; medium: 5 of 8 and at most two of these bad; low otherwise, at the edge of the set, or without times",
    sources: &["confidence-rule"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let facts = Facts {
        runs_in_band: given.whole("runs_in_band")?,
        grade_known: given.flag_or("grade_known", false),
        curve_given: given.flag_or("curve_given", false),
        moving_s: given.num("moving_s")?,
        saturated: given.flag_or("saturated", true),
        interval_s: given.num("interval_s")?,
        at_edge: given.flag_or("at_edge", true),
        geometry_only: given.flag_or("geometry_only", true),
    };
    let (grade, reasons) = confidence(&facts);
    Ok(Answer::new().text("confidence", grade.word()).json("reasons", reasons))
}
