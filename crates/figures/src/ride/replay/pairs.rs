//! `ride.pairs`: every candidate replayed over a ride, in order of rank.

use drive::gearing::Pair;
use measure::bounds::gearing as bounds;
use measure::bounds::ride::{GROUND_SPEED, SAMPLE_TIME};
use ride::replay::{Comparison, Ranked, Rated, Run, Weights, compare, moves, study};
use serde_json::{Value, json};

use super::question::{BODY, CRR, MACHINE, MU, STEP_S, candidates, question, ride};
use super::weights::{self, WEIGHTS};
use crate::field::joined;
use crate::gearing::bike::{self, Bike, DENSITY, FRONT_TEETH, POWER_FACTOR, REAR_TEETH, SLIP};
use crate::gearing::counts::shown;
use crate::ride::track::{GPX, GPX_FILE};
use crate::{Answer, Field, Figure, Given, Refusal};

/// Masses, geometry, engine and idle.
const fn members() -> [&'static str; BODY.len() + MACHINE.len() + 1] {
    let mut all = ["idle_rpm"; BODY.len() + MACHINE.len() + 1];
    let mut at = 0;
    while at < BODY.len() {
        all[at] = BODY[at];
        at += 1;
    }
    while at < BODY.len() + MACHINE.len() {
        all[at] = MACHINE[at - BODY.len()];
        at += 1;
    }
    all
}

/// What a replay is given, whatever is asked of it: bike, candidates, ride, ground, weights.
pub(super) const REPLAYED: [Field; 17] = [
    Field::object("bike", &bike::needing(&members())),
    Field::nested("pairs").meaning("candidates [front, rear], each once"),
    FRONT_TEETH.optional("none").meaning("with rear_teeth the present pair, added if not among the candidates"),
    REAR_TEETH.optional("none"),
    Field::numbers("t_s", &SAMPLE_TIME).optional("a track").meaning("rising, on a grid of step_s"),
    Field::numbers("speed_mps", &GROUND_SPEED).optional("a track"),
    Field::numbers("grade", &bounds::GRADE).optional("a track"),
    Field::numbers("accel_mps2", &bounds::ACCEL).optional("a track"),
    GPX_FILE,
    GPX,
    STEP_S,
    CRR,
    MU,
    DENSITY,
    SLIP,
    POWER_FACTOR,
    WEIGHTS,
];

pub(super) const PAIRS: Figure = Figure {
    name: "ride.pairs",
    says: "What every candidate pair would have done on a ride, in order of rank.",
    given: &joined::<18>(
        &REPLAYED,
        &[Field::flag("sensitivity").optional("false").meaning("8 runs more, with the doubts moved")],
    ),
    answer: &[
        (
            "pairs",
            "by rank: front_teeth, rear_teeth, ratio, cost_per_km, gear_pct (time in each gear), shifts_per_km, slip_pct (time below slip_rpm), over_pct (time beyond max_rpm), missed_pct (thrust missing of thrust asked), top_geared_kmh, headroom_pct (above the fastest of the ride), crawl_idle_kmh, crawl_slip_kmh, feasible, pareto, rank, as_good (within 3 % of the best)",
        ),
        ("moving_s", "time under way"),
        ("distance_km", "distance under way"),
        ("asked_mean_n", "thrust asked for on average while under way, braking as 0"),
        ("grip_limited_pct", "time at which the ground held less than was asked"),
        ("at_edge", "whether the best has the smallest or largest ratio of the candidates"),
        (
            "any_feasible",
            "whether any candidate keeps 5 % headroom and is beyond the limiter for at most 1 % of the time",
        ),
        (
            "weights",
            "of the gear choice, a second each: clutch_slip, comfort_band, missing_thrust (against least_demand_n at least), over_the_limiter, never_beyond, preferred_rpm; one_gear_step in seconds",
        ),
        (
            "runs",
            "with sensitivity: mass, crr, cda, slip (−1 or 1), front_teeth, rear_teeth, cost_per_km of the best, in_band; pairs: every candidate with front_teeth, rear_teeth, cost_per_km, over_pct, headroom_pct",
        ),
        ("runs_in_band", "how many of the 8 runs stay within 3 % of the nominal best"),
    ],
    formula: "demand as ride.demand without gear; gears as ride.gears within legs (v ≥ 0.5 m/s); rank: feasible, cost per km, ratio, front teeth",
    sources: &["replay-weights", "longitudinal", "pchip", "gearing"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bike = Bike::of(given, "bike", "bike.")?;
    let (pairs, added) = candidates(given)?;
    let ride = ride(given)?;
    let question = question(given, &bike, &ride, &pairs)?;
    let Some(comparison) = moves(question.motion.speed_mps).then(|| compare(&question)).flatten() else {
        let text = format!("{}: nothing moves at 0.5 m/s or more. Choose a ride that moves.", ride.field);
        return Err(Refusal::new(ride.field, "nothing_moves", text));
    };
    let runs = given.flag_or("sensitivity", false).then(|| study(&question, &comparison));
    let mut answer = worded(&comparison, &pairs, question.weights);
    if let Some(runs) = runs {
        let in_band = runs.iter().filter(|run| run.in_band).count();
        answer = answer.json("runs", runs.iter().map(run_worded).collect::<Vec<_>>()).json("runs_in_band", in_band);
    }
    Ok(present_added(answer, added))
}

/// Says that the present pair was added.
pub(super) fn present_added(answer: Answer, added: Option<Pair>) -> Answer {
    match added {
        Some(pair) => answer.notice(
            "present_pair_added",
            format!("The present pair {} was not among the candidates: it is added for comparison.", shown(pair)),
        ),
        None => answer,
    }
}

/// A comparison as it is answered.
pub(super) fn worded(comparison: &Comparison, pairs: &[Pair], weights: Weights) -> Answer {
    let best = comparison.ranked.first();
    let ratios = || pairs.iter().map(|pair| pair.ratio());
    let ends = [ratios().min(), ratios().max()];
    let at_edge = best.is_some_and(|best| ends.contains(&Some(best.pair.ratio())));
    let any_feasible = best.is_some_and(|best| best.feasible);
    let name = best.map(|best| shown(best.pair)).unwrap_or_default();
    let ranked: Vec<Value> = (1..).zip(&comparison.ranked).map(|(rank, one)| one_worded(rank, one)).collect();
    Answer::new()
        .json("pairs", ranked)
        .num("moving_s", comparison.moving_s)
        .num("distance_km", comparison.distance_m / 1000.0)
        .num("asked_mean_n", comparison.asked_mean_n)
        .num("grip_limited_pct", comparison.grip_limited_pct)
        .flag("at_edge", at_edge)
        .flag("any_feasible", any_feasible)
        .json("weights", weights::worded(weights))
        .notice_if(at_edge, "edge_of_set", || {
            format!("The best, {name}, lies at the edge of the candidates: widen the set before trusting it.")
        })
        .notice_if(!any_feasible, "none_feasible", || {
            format!(
                "None keeps 5 % headroom and stays within the limiter; {name} costs least. Its headroom is {:.1} %.",
                best.map_or(0.0, |best| best.headroom_pct)
            )
        })
}

fn one_worded(rank: usize, one: &Ranked) -> Value {
    json!({
        "front_teeth": one.pair.front.count(),
        "rear_teeth": one.pair.rear.count(),
        "ratio": one.pair.ratio().value(),
        "cost_per_km": one.cost_per_km,
        "gear_pct": one.gear_pct,
        "shifts_per_km": one.shifts_per_km,
        "slip_pct": one.slip_pct,
        "over_pct": one.over_pct,
        "missed_pct": one.missed_pct,
        "top_geared_kmh": one.top_geared_kmh,
        "headroom_pct": one.headroom_pct,
        "crawl_idle_kmh": one.crawl_idle_kmh,
        "crawl_slip_kmh": one.crawl_slip_kmh,
        "feasible": one.feasible,
        "pareto": one.pareto,
        "rank": rank,
        "as_good": one.as_good,
    })
}

fn run_worded(run: &Run) -> Value {
    let [mass, crr, cda, slip] = run.signs;
    json!({
        "mass": mass,
        "crr": crr,
        "cda": cda,
        "slip": slip,
        "front_teeth": run.best.front.count(),
        "rear_teeth": run.best.rear.count(),
        "cost_per_km": run.cost_per_km,
        "in_band": run.in_band,
        "pairs": run.rated.iter().map(rated_worded).collect::<Vec<_>>(),
    })
}

fn rated_worded(one: &Rated) -> Value {
    json!({
        "front_teeth": one.pair.front.count(),
        "rear_teeth": one.pair.rear.count(),
        "cost_per_km": one.cost_per_km,
        "over_pct": one.over_pct,
        "headroom_pct": one.headroom_pct,
    })
}
