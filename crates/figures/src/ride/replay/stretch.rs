//! `ride.stretch`: one stretch of a ride, pair by pair.

use measure::bounds::ride::SAMPLE_TIME;
use ride::replay::{OnStretch, stretch};
use serde_json::{Value, json};

use super::pairs::{REPLAYED, present_added};
use super::question::{candidates, question, ride};
use crate::field::joined;
use crate::gearing::bike::Bike;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const STRETCH: Figure = Figure {
    name: "ride.stretch",
    says: "Gears, engine speed and thrust in reserve on one stretch of a ride, pair by pair.",
    given: &joined::<19>(
        &REPLAYED,
        &[
            Field::number("from_s", &SAMPLE_TIME).meaning("time of the track"),
            Field::number("to_s", &SAMPLE_TIME).meaning("time of the track, after from_s"),
        ],
    ),
    answer: &[
        (
            "pairs",
            "in the order given: front_teeth, rear_teeth, gear_pct (time in each gear), main_gear (the lower of equal ones), rpm_median as the wheel turns it, reserve_min_n, reserve_min_at_s (first), reserve_median_n, shifts, slip_pct, over_pct",
        ),
        ("moving_s", "time under way inside"),
        ("distance_m", "distance under way inside"),
    ],
    formula: "the whole ride is replayed; inside: reserve = thrust at max(n, n_slip) − max(F_used, 0)",
    sources: &["replay-weights", "longitudinal", "pchip", "gearing"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bike = Bike::of(given, "bike", "bike.")?;
    let (pairs, added) = candidates(given)?;
    let ride = ride(given)?;
    let (from_s, to_s) = (given.num("from_s")?, given.num("to_s")?);
    if from_s >= to_s {
        let text = format!("to_s is {to_s}; it must lie after from_s, which is {from_s}. Turn them round.");
        return Err(Refusal::new("to_s", "out_of_order", text));
    }
    let question = question(given, &bike, &ride, &pairs)?;
    let Some(seen) = stretch(&question, from_s, to_s) else {
        let text =
            format!("from_s is {from_s}: up to {to_s} s nothing moves at 0.5 m/s or more. Mark another stretch.");
        return Err(Refusal::new("from_s", "nothing_moves", text));
    };
    let answer = Answer::new()
        .json("pairs", seen.pairs.iter().map(worded).collect::<Vec<_>>())
        .num("moving_s", seen.moving_s)
        .num("distance_m", seen.distance_m);
    Ok(present_added(answer, added))
}

fn worded(one: &OnStretch) -> Value {
    json!({
        "front_teeth": one.pair.front.count(),
        "rear_teeth": one.pair.rear.count(),
        "gear_pct": one.gear_pct,
        "main_gear": one.main_gear + 1,
        "rpm_median": one.rpm_median,
        "reserve_min_n": one.reserve_min_n,
        "reserve_min_at_s": one.reserve_min_at_s,
        "reserve_median_n": one.reserve_median_n,
        "shifts": one.shifts,
        "slip_pct": one.slip_pct,
        "over_pct": one.over_pct,
    })
}
