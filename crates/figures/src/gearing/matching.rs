//! `gearing.match`: which pair on bike B feels like bike A.

use drive::gearing::{
    DriveLine, MatchFault, Matched, MatchedPair, PairSet, Puller, SpeedRange, match_speed, match_thrust,
};
use measure::bounds::gearing as bounds;
use serde_json::{Map, Value, json};

use super::bike::{self, Bike};
use super::counts::shown;
use super::pairs::{FRONT_MAX, FRONT_MIN, REAR_MAX, REAR_MIN, pair_set};
use crate::{Answer, Field, Figure, Given, Refusal};

/// How many pairs are answered.
const BEST: usize = 5;

pub(super) const MATCH: Figure = Figure {
    name: "gearing.match",
    says: "The pairs with which bike B comes nearest to bike A, by speed per rpm or by thrust over speed.",
    given: &[
        Field::object("bike_a", &bike::needing(&["front_teeth", "rear_teeth"])).meaning("with its pair"),
        Field::object("bike_b", &bike::needing(&[])).meaning("by thrust both need curve, eta, max_rpm"),
        Field::word("by", &["speed", "thrust"]).optional("speed"),
        Field::numbers("gear_weights", &bounds::WEIGHT)
            .optional("all 1")
            .meaning("one for each gear of the shorter box"),
        FRONT_MIN,
        FRONT_MAX,
        REAR_MIN,
        REAR_MAX,
        Field::number("speed_min_kmh", &bounds::SPEED_KMH)
            .optional("first point of A's curve in first gear")
            .meaning("by thrust only"),
        Field::number("speed_max_kmh", &bounds::TOP_KMH).optional("A's end in top gear").meaning("by thrust only"),
    ],
    answer: &[
        ("ratio_per_gear", "the final ratio on B that gives A's speed per rpm, gear by gear"),
        ("ideal_ratio", "their weighted geometric mean: the ratio nearest to all of them"),
        (
            "pairs",
            "the best 5: front_teeth, rear_teeth, speed_pct (B against A, gear by gear), speed_mismatch_pct; by thrust thrust_mismatch_pct and thrust_mean_pct",
        ),
        ("at_edge", "whether the best has the smallest or largest ratio of the set"),
        ("speed_min_kmh", "lowest speed compared, by thrust"),
        ("speed_max_kmh", "highest speed compared, by thrust"),
    ],
    formula: "x_g = i_A,g/U_A · U_B/(P_B G_B,g); mismatch exp(√(Σ w ln²((R/F)/x_g)/Σ w)) − 1; by thrust k = E_B/E_A at 101 even speeds, mismatch √mean((k − 1)²), per mass where both are known",
    sources: &["gearing", "pchip"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (a, b) = (Bike::of(given, "bike_a", "bike_a.")?, Bike::of(given, "bike_b", "bike_b.")?);
    let pair_a = a.pair()?;
    let set = pair_set(given)?;
    let (gears_a, gears_b) = (a.gearbox.gears().len(), b.gearbox.gears().len());
    let weights = weights(given, gears_a.min(gears_b))?;
    let answer = if given.opt_text("by") == Some("thrust") {
        let mass_ratio = a.opt("mass_kg").zip(b.opt("mass_kg")).map(|(a, b)| a / b);
        let (pull_a, pull_b) = (puller(&a)?, puller(&b)?);
        let range = (given.opt("speed_min_kmh"), given.opt("speed_max_kmh"));
        let (matched, range) = match_thrust(
            ((&a.gearbox, pull_a), pair_a),
            (&b.gearbox, pull_b),
            &weights,
            &set,
            range,
            mass_ratio.unwrap_or(1.0),
        )
        .map_err(refused)?;
        worded(&matched, &set).num("speed_min_kmh", range.from_kmh).num("speed_max_kmh", range.to_kmh).notice_if(
            mass_ratio.is_some(),
            "per_mass",
            || format!("Thrust is compared per mass: A weighs {:.3} of B.", mass_ratio.unwrap_or(1.0)),
        )
    } else {
        let of_a = DriveLine { gearbox: &a.gearbox, rollout_m: a.rollout_m };
        let of_b = DriveLine { gearbox: &b.gearbox, rollout_m: b.rollout_m };
        worded(&match_speed((of_a, pair_a), of_b, &weights, &set), &set)
    };
    Ok(answer.notice_if(gears_a != gears_b, "gear_count_differs", || {
        format!("A has {gears_a} gears, B {gears_b}: the first {} are compared one to one.", weights.len())
    }))
}

fn weights(given: &Given<'_>, gears: usize) -> Result<Vec<f64>, Refusal> {
    if !given.has("gear_weights") {
        return Ok(vec![1.0; gears]);
    }
    let weights = given.numbers("gear_weights");
    if weights.len() == gears && weights.iter().sum::<f64>() > 0.0 {
        return Ok(weights);
    }
    let text = format!("gear_weights must be {gears} numbers, not all 0; {} are given.", weights.len());
    Err(Refusal::new("gear_weights", "wrong_count", text))
}

fn puller<'b>(bike: &'b Bike<'_>) -> Result<Puller<'b>, Refusal> {
    Ok(Puller { curve: bike.curve()?, max_rpm: bike.num("max_rpm")?, eta: bike.num("eta")?, rollout_m: bike.rollout_m })
}

fn refused(fault: MatchFault) -> Refusal {
    match fault {
        MatchFault::Range { range: SpeedRange { from_kmh, to_kmh }, top_kmh } => Refusal::new(
            "speed_max_kmh",
            "out_of_range",
            format!(
                "speed_max_kmh would be {to_kmh:.2}; it must lie above {from_kmh:.2} and within A's top gear, \
                 {top_kmh:.2} km/h. Change the range."
            ),
        ),
        MatchFault::NoThrust { at_kmh } => Refusal::new(
            "bike_a.curve",
            "no_thrust",
            format!("bike_a.curve gives no thrust at {at_kmh:.2} km/h, inside the range. Narrow the range."),
        ),
    }
}

fn worded(matched: &Matched, set: &PairSet) -> Answer {
    let at_edge = matched.pairs.first().is_some_and(|best| set.at_edge(best.pair));
    let pairs: Vec<Value> = matched.pairs.iter().take(BEST).map(one).collect();
    Answer::new()
        .json("ratio_per_gear", matched.ratio_per_gear.clone())
        .num("ideal_ratio", matched.ideal_ratio)
        .json("pairs", pairs)
        .flag("at_edge", at_edge)
        .notice_if(at_edge, "edge_of_set", || {
            let best = matched.pairs.first().map(|best| shown(best.pair)).unwrap_or_default();
            format!("The best, {best}, lies at the edge of the set: widen the set before trusting it.")
        })
}

fn one(candidate: &MatchedPair) -> Value {
    let mut object = Map::new();
    let mut put = |name: &str, value: Value| object.insert(name.to_owned(), value);
    put("front_teeth", json!(candidate.pair.front.count()));
    put("rear_teeth", json!(candidate.pair.rear.count()));
    put("speed_pct", json!(candidate.speed_pct));
    put("speed_mismatch_pct", json!(candidate.speed_mismatch_pct));
    if let Some(thrust) = candidate.thrust {
        put("thrust_mismatch_pct", json!(thrust.mismatch_pct));
        put("thrust_mean_pct", json!(thrust.mean_pct));
    }
    Value::Object(object)
}
