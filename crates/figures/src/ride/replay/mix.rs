//! `ride.mix`: several replayed rides as one, each counted as often as it is weighed.

use measure::Bound;
use measure::bounds::gearing as bounds;
use ride::replay::{Comparison, Mix, MixFault, MixedRun, Ranked, Rated, Ridden, Weights, mix};
use serde_json::{Map, Value, json};

use super::pairs::worded;
use super::weights;
use crate::gearing::counts::{self, items, unfit};
use crate::{Answer, Field, Figure, Given, Refusal};

/// How many rides are put together.
const MOST_RIDES: usize = 400;
const RIDES: &str = "rides";

/// What is read of a ride; the rest of an answer of `ride.pairs` may stand there.
const RIDE_MEMBERS: [&str; 14] = [
    "weight",
    "age_d",
    "distance_km",
    "moving_s",
    "asked_mean_n",
    "grip_limited_pct",
    "pairs",
    "runs",
    "runs_in_band",
    "at_edge",
    "any_feasible",
    "notices",
    "name",
    "weights",
];

pub(super) const MIX: Figure = Figure {
    name: "ride.mix",
    says: "What every candidate pair would have done on several rides together, each counted as often as it is weighed.",
    given: &[
        Field::nested(RIDES).meaning(
            "1 to 400 answers of ride.pairs over the same candidates, each with weight (0 to 1000, default 1) and, with half_life_d, age_d",
        ),
        Field::number("half_life_d", &bounds::HALF_LIFE)
            .optional("age does not count")
            .meaning("age at which a ride counts half"),
    ],
    answer: &[
        ("pairs", "as ride.pairs answers them, over all rides; headroom_pct is the least of the rides"),
        ("moving_s", "time under way, plain sum of the rides that count"),
        ("distance_km", "distance under way, plain sum of the rides that count"),
        ("asked_mean_n", "thrust asked for on average"),
        ("grip_limited_pct", "time at which the ground held less than was asked"),
        ("at_edge", "whether the best has the smallest or largest ratio of the candidates"),
        ("any_feasible", "whether any candidate keeps 5 % headroom on every ride and stays under the limiter"),
        ("weights", "of the gear choice, as ride.pairs answers them"),
        ("share_pct", "share of each ride in the weighed distance, in the order given"),
        ("fastest_ride", "the ride, from 1, that leaves the least headroom"),
        ("runs", "where every ride has them: front_teeth, rear_teeth, cost_per_km of the best, in_band"),
        ("runs_in_band", "how many of the 8 runs stay within 3 % of the nominal best"),
    ],
    formula: "w = weight · 2^(−age_d/half_life_d); cost and shifts Σ w d x/Σ w d; shares of time Σ w t x/Σ w t; missing thrust Σ w t F x/Σ w t F with F = asked_mean_n; headroom the least; rank as ride.pairs",
    sources: &["replay-mix", "replay-weights"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let value = given.raw(RIDES).ok_or_else(|| Refusal::missing(RIDES))?;
    let list = items(RIDES, value, "a list of answers of ride.pairs")?;
    if !(1..=MOST_RIDES).contains(&list.len()) {
        let text = format!("rides has {} rides; 1 to {MOST_RIDES} are possible. Take a part of them.", list.len());
        return Err(Refusal::new(RIDES, "out_of_range", text));
    }
    let half_life_d = given.opt("half_life_d");
    let rides = list.iter().map(|value| ridden(value, half_life_d)).collect::<Result<Vec<_>, _>>()?;
    let weights = alike(list)?;
    mix(&rides).map(|mixed| answer(&mixed, &rides, weights)).map_err(refused)
}

/// The weights that every ride was replayed with; costs by other weights cannot be added up.
fn alike(rides: &[Value]) -> Result<Weights, Refusal> {
    let each =
        rides.iter().map(|ride| ride.get("weights").map_or(Ok(Weights::OURS), |value| weights::read(RIDES, value)));
    let each = each.collect::<Result<Vec<_>, _>>()?;
    let first = each.first().copied().unwrap_or(Weights::OURS);
    match each.iter().position(|weights| *weights != first) {
        None => Ok(first),
        Some(at) => Err(Refusal::new(
            RIDES,
            "unlike",
            format!("rides: ride {} was replayed with other weights than the first. Replay all with the same.", at + 1),
        )),
    }
}

fn answer(mixed: &Mix, rides: &[Ridden], weights: Weights) -> Answer {
    let pairs: Vec<_> = mixed.replay.ranked.iter().map(|one| one.pair).collect();
    let answer = worded(&mixed.replay, &pairs, weights)
        .json("share_pct", mixed.share_pct.clone())
        .json("fastest_ride", mixed.fastest + 1);
    if rides.iter().any(|ride| ride.runs.is_empty()) {
        return answer;
    }
    let in_band = mixed.runs.iter().filter(|run| run.in_band).count();
    answer.json("runs", mixed.runs.iter().map(run_worded).collect::<Vec<_>>()).json("runs_in_band", in_band)
}

fn run_worded(run: &MixedRun) -> Value {
    json!({
        "front_teeth": run.best.front.count(),
        "rear_teeth": run.best.rear.count(),
        "cost_per_km": run.cost_per_km,
        "in_band": run.in_band,
    })
}

fn refused(fault: MixFault) -> Refusal {
    match fault {
        MixFault::NoWeight => {
            Refusal::new(RIDES, "no_weight", "rides: every weight is 0. Give at least one ride a weight above 0.")
        }
        MixFault::Unlike(at) => Refusal::new(
            RIDES,
            "unlike",
            format!(
                "rides: ride {} was replayed on other pairs, gears or ratios than the first. Replay all on the same bike and pairs.",
                at + 1
            ),
        ),
        MixFault::Runs(at) => Refusal::new(
            RIDES,
            "unlike",
            format!("rides: ride {} has other runs than the first. Replay all with sensitivity, or none.", at + 1),
        ),
    }
}

/// An object of the list; every fault is named after the list.
struct Members<'v>(&'v Map<String, Value>);

impl<'v> Members<'v> {
    fn of(value: &'v Value, wanted: &str) -> Result<Self, Refusal> {
        value.as_object().map(Self).ok_or_else(|| unfit(RIDES, value, wanted))
    }

    fn get(&self, name: &str) -> Result<&'v Value, Refusal> {
        self.0.get(name).ok_or_else(|| {
            Refusal::new(RIDES, "missing", format!("rides: {name} is missing. Give the answer of ride.pairs whole."))
        })
    }

    fn number(&self, name: &str, bound: &Bound) -> Result<f64, Refusal> {
        counts::real(RIDES, self.get(name)?, bound)
    }

    fn list(&self, name: &str) -> Result<&'v [Value], Refusal> {
        items(RIDES, self.get(name)?, "a list")
    }

    fn pair(&self) -> Result<drive::gearing::Pair, Refusal> {
        counts::pair(RIDES, &json!([self.get("front_teeth")?, self.get("rear_teeth")?]))
    }
}

fn ridden(value: &Value, half_life_d: Option<f64>) -> Result<Ridden, Refusal> {
    let ride = Members::of(value, "an answer of ride.pairs")?;
    if let Some(odd) = ride.0.keys().find(|key| !RIDE_MEMBERS.contains(&key.as_str())) {
        let text = format!("rides: {odd} is no member of a ride. Give answers of ride.pairs, weight and age_d.");
        return Err(Refusal::new(RIDES, "unknown", text));
    }
    let weight = if ride.0.contains_key("weight") { ride.number("weight", &bounds::RIDE_WEIGHT)? } else { 1.0 };
    // An age is held inside its bound also where it does not count.
    let age_d = ride.0.contains_key("age_d").then(|| ride.number("age_d", &bounds::RIDE_AGE)).transpose()?;
    let half_lives = match half_life_d {
        Some(half_life_d) => age_d.map_or_else(|| ride.number("age_d", &bounds::RIDE_AGE), Ok)? / half_life_d,
        None => 0.0,
    };
    let ranked = ride.list("pairs")?.iter().map(ranked).collect::<Result<Vec<_>, _>>()?;
    if ranked.is_empty() {
        return Err(Refusal::new(RIDES, "empty", "rides: a ride has no pairs. Replay it on at least one."));
    }
    Ok(Ridden {
        weight: weight * (-half_lives).exp2(),
        replay: Comparison {
            ranked,
            moving_s: ride.number("moving_s", &bounds::RIDE_TIME)?,
            distance_m: 1000.0 * ride.number("distance_km", &bounds::RIDE_KM)?,
            grip_limited_pct: ride.number("grip_limited_pct", &bounds::SHARE_PCT)?,
            asked_mean_n: ride.number("asked_mean_n", &bounds::ASKED_N)?,
        },
        runs: if ride.0.contains_key("runs") {
            ride.list("runs")?.iter().map(run).collect::<Result<Vec<_>, _>>()?
        } else {
            Vec::new()
        },
    })
}

fn ranked(value: &Value) -> Result<Ranked, Refusal> {
    let one = Members::of(value, "a pair of ride.pairs")?;
    let share = |name: &str| one.number(name, &bounds::SHARE_PCT);
    let amount = |name: &str| one.number(name, &bounds::AMOUNT);
    let gear_pct = one.list("gear_pct")?.iter().map(|share| counts::real(RIDES, share, &bounds::SHARE_PCT));
    Ok(Ranked {
        pair: one.pair()?,
        cost_per_km: amount("cost_per_km")?,
        gear_pct: gear_pct.collect::<Result<_, _>>()?,
        shifts_per_km: amount("shifts_per_km")?,
        slip_pct: share("slip_pct")?,
        over_pct: share("over_pct")?,
        missed_pct: share("missed_pct")?,
        top_geared_kmh: amount("top_geared_kmh")?,
        headroom_pct: one.number("headroom_pct", &bounds::HEADROOM_PCT)?,
        crawl_idle_kmh: amount("crawl_idle_kmh")?,
        crawl_slip_kmh: amount("crawl_slip_kmh")?,
        feasible: false,
        pareto: true,
        as_good: false,
    })
}

fn run(value: &Value) -> Result<Vec<Rated>, Refusal> {
    Members::of(value, "a run of ride.pairs")?.list("pairs")?.iter().map(rated).collect()
}

fn rated(value: &Value) -> Result<Rated, Refusal> {
    let one = Members::of(value, "a pair of a run of ride.pairs")?;
    Ok(Rated {
        pair: one.pair()?,
        cost_per_km: one.number("cost_per_km", &bounds::AMOUNT)?,
        over_pct: one.number("over_pct", &bounds::SHARE_PCT)?,
        headroom_pct: one.number("headroom_pct", &bounds::HEADROOM_PCT)?,
    })
}
