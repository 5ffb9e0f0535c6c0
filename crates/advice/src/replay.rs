//! The ride replayed on every pair that could be fitted: stay, or change to this, with the differences that matter.
//!
//! `ride.pairs` replays and ranks; `ride.confidence` says how sure; this room picks what to show and words it.
//! Needs an engine curve and masses on the sheet; without them `proposal` answers from speeds alone.

use std::cmp::Ordering;

use serde::Serialize;
use serde_json::{Map, Value};
use upkeep::bike::Bike;

use crate::Setup;
use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::candidate::Candidate;
use crate::cost::Costs;
use crate::demand::{Ride, gear_columns};
use crate::fact::{Cell, Column, Table};
use crate::proposal::{Proposal, parts_changed};
use crate::rides::{Rides, Weighed};
use crate::shelf::{self, Shelf};
use crate::words::{kmh, number};

/// What the replay needs of the bike.
const BIKE: [&str; 20] = [
    "primary",
    "gears",
    "rollout_m",
    "curve",
    "idle_rpm",
    "slip_rpm",
    "lo_rpm",
    "hi_rpm",
    "max_rpm",
    "hard_rpm",
    "mass_kg",
    "j_front_kgm2",
    "j_rear_kgm2",
    "j_engine_kgm2",
    "cda_m2",
    "eta",
    "wheelbase_m",
    "cg_from_front_m",
    "cg_height_m",
    "aero_height_m",
];

/// One pair, replayed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replayed {
    /// The pair, on the chain that it would run on.
    pub setup: Setup,
    /// Place in the order, from 1.
    pub rank: u64,
    /// Whether it is within 3 % of the best.
    pub as_good: bool,
    /// Whether it keeps the headroom and stays under the limiter.
    pub feasible: bool,
    /// Share of the moving time in each gear, %.
    pub gear_pct: Vec<f64>,
    /// Share of the time below the rpm where the clutch is fully out, %.
    pub slip_pct: f64,
    /// Gear steps for each kilometre.
    pub shifts_per_km: f64,
    /// Thrust that the engine could not give, % of what was asked.
    pub missed_pct: f64,
    /// Top gear at the limiter, km/h.
    pub top_geared_kmh: f64,
    /// Its ground speed over the ride's fast end, less one, %.
    pub headroom_pct: f64,
    /// Cost by the weights shown, for each kilometre.
    pub cost_per_km: f64,
}

/// The whole replay.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replay {
    /// The pairs in order of rank.
    pub pairs: Vec<Replayed>,
    /// Share of the time at which the ground held less than was asked, %.
    pub grip_limited_pct: f64,
    /// Share of each ride in the weighed distance, %.
    pub share_pct: Vec<f64>,
    /// The ride, from 0, that leaves the least headroom.
    pub fastest: u32,
    /// The weights of the gear choice, in a sentence.
    pub weights: String,
    /// Whether the best has the smallest or largest ratio of the set.
    pub at_edge: bool,
    /// `high`, `medium` or `low`.
    pub confidence: String,
    /// What lowers it.
    pub doubts: Vec<String>,
}

/// Replays rides on every setup given, each counted as it is weighed; the first setup is what is fitted.
///
/// # Errors
/// The field that is missing or impossible.
pub fn of(bike: &Bike, rides: &Rides<'_>, setups: &[Setup]) -> Result<Replay, Gap> {
    let fitted = setups.first().copied().map_or_else(|| Setup::fitted(bike), Ok)?;
    let each = rides
        .all
        .iter()
        .map(|weighed| one(bike, weighed, (setups, fitted), &rides.costs))
        .collect::<Result<Vec<_>, _>>()?;
    let answer = match (each.as_slice(), rides.half_life_d) {
        ([_], None) => each.into_iter().next().unwrap_or_default(),
        _ => mixed(&each, rides)?,
    };
    let list = answer.at("pairs").and_then(Value::as_array).cloned().unwrap_or_default();
    let at_edge = answer.at("at_edge").and_then(Value::as_bool).unwrap_or_default();
    let (confidence, doubts) = confidence(bike, rides, fitted, &answer, at_edge)?;
    let shares = answer.at("share_pct").and_then(Value::as_array);
    let fastest = answer.get("fastest_ride").unwrap_or(1.0);
    Ok(Replay {
        pairs: list.iter().filter_map(|pair| replayed(pair, setups)).collect(),
        grip_limited_pct: answer.get("grip_limited_pct").unwrap_or_default(),
        share_pct: shares.map_or_else(|| vec![100.0], |shares| shares.iter().filter_map(Value::as_f64).collect()),
        fastest: (1_u32..).zip(&rides.all).find(|(n, _)| f64::from(*n) >= fastest).map_or(0, |(n, _)| n - 1),
        weights: weights_words(&answer, rides.costs.is_own()),
        at_edge,
        confidence,
        doubts,
    })
}

/// One ride on every setup.
fn one(
    bike: &Bike,
    weighed: &Weighed<'_>,
    (setups, fitted): (&[Setup], Setup),
    costs: &Costs,
) -> Result<figures::Answer, Gap> {
    let pairs: Vec<Value> = setups.iter().map(|setup| Value::from(vec![setup.front_teeth, setup.rear_teeth])).collect();
    let given = with(with(asked_of(bike, weighed, fitted), "pairs", pairs), "sensitivity", true);
    ask("ride.pairs", &if costs.is_own() { given } else { with(given, "weights", Value::Object(costs.given())) })
}

/// What every replay figure is given: bike, present pair, ride and ground.
#[must_use]
pub fn asked_of(bike: &Bike, weighed: &Weighed<'_>, fitted: Setup) -> Given {
    let members: Map<String, Value> = from_sheet(bike, &BIKE);
    let mut given = fitted.give_pair(Given::new());
    given.insert("bike".to_owned(), Value::Object(members));
    let Weighed { ride, ground, .. } = weighed;
    for (name, list) in
        [("t_s", &ride.t_s), ("speed_mps", &ride.speed_mps), ("grade", &ride.grade), ("accel_mps2", &ride.accel_mps2)]
    {
        given.insert(name.to_owned(), Value::from(list.as_slice()));
    }
    with(with(with(given, "crr", ground.crr), "mu", ground.mu), "slip", ground.slip)
}

/// Several replays as one.
fn mixed(each: &[figures::Answer], rides: &Rides<'_>) -> Result<figures::Answer, Gap> {
    let ride = |(answer, weighed): (&figures::Answer, &Weighed<'_>)| {
        let mut ride = answer.values().clone();
        ride.insert("weight".to_owned(), Value::from(weighed.weight));
        if let Some(age_d) = weighed.age_d {
            ride.insert("age_d".to_owned(), Value::from(age_d));
        }
        Value::Object(ride)
    };
    let list: Vec<Value> = each.iter().zip(&rides.all).map(ride).collect();
    let given = with(Given::new(), "rides", list);
    ask("ride.mix", &rides.half_life_d.map_or_else(|| given.clone(), |days| with(given.clone(), "half_life_d", days)))
}

/// The weights of the model that chose the gears, in a sentence.
fn weights_words(answer: &figures::Answer, own: bool) -> String {
    let members = answer.at("weights").and_then(Value::as_object);
    let one = |(name, value): (&String, &Value)| {
        let (name, unit) = name.strip_suffix("_n").map_or((name.as_str(), ""), |name| (name, " N"));
        let value = value.as_f64().map_or_else(|| value.to_string(), |value| value.to_string());
        format!("{} {value}{unit}", name.replace('_', " "))
    };
    let all: Vec<String> = members.into_iter().flatten().map(one).collect();
    let whose = if own { "the tool's own" } else { "changed by you" };
    format!("Weights of the gear choice, {whose} and the same for every ride: {}.", all.join(", "))
}

fn replayed(pair: &Value, setups: &[Setup]) -> Option<Replayed> {
    let number = |key: &str| pair.get(key)?.as_f64();
    let teeth = |key: &str| pair.get(key)?.as_u64().and_then(|count| u32::try_from(count).ok());
    let (front, rear) = (teeth("front_teeth")?, teeth("rear_teeth")?);
    let flag = |key: &str| pair.get(key).and_then(Value::as_bool).unwrap_or_default();
    Some(Replayed {
        setup: *setups.iter().find(|setup| setup.front_teeth == front && setup.rear_teeth == rear)?,
        rank: pair.get("rank")?.as_u64()?,
        as_good: flag("as_good"),
        feasible: flag("feasible"),
        gear_pct: pair.get("gear_pct")?.as_array()?.iter().filter_map(Value::as_f64).collect(),
        slip_pct: number("slip_pct")?,
        shifts_per_km: number("shifts_per_km")?,
        missed_pct: number("missed_pct")?,
        top_geared_kmh: number("top_geared_kmh")?,
        headroom_pct: number("headroom_pct")?,
        cost_per_km: number("cost_per_km")?,
    })
}

/// How sure the answer is, and what lowers it, in words.
fn confidence(
    bike: &Bike,
    rides: &Rides<'_>,
    fitted: Setup,
    answer: &figures::Answer,
    at_edge: bool,
) -> Result<(String, Vec<String>), Gap> {
    let mut saturated = false;
    for weighed in rides.counted() {
        saturated |= held_back(bike, weighed.ride, weighed.ride.fitted.unwrap_or(fitted))?;
    }
    let all = |known: &dyn Fn(&Ride) -> bool| rides.counted().all(|weighed| known(weighed.ride));
    let interval_s = rides.counted().map(|weighed| weighed.ride.interval_s).fold(0.0, f64::max);
    let mut given = Given::new();
    given.insert("runs_in_band".to_owned(), answer.at("runs_in_band").cloned().unwrap_or_default());
    for (name, flag) in [
        ("grade_known", all(&|ride| ride.grade_known)),
        ("curve_given", true),
        ("saturated", saturated),
        ("at_edge", at_edge),
        ("geometry_only", false),
    ] {
        given.insert(name.to_owned(), Value::from(flag));
    }
    let given = with(with(given, "moving_s", answer.get("moving_s").unwrap_or_default()), "interval_s", interval_s);
    let sure = ask("ride.confidence", &given)?;
    let word = sure.at("confidence").and_then(Value::as_str).unwrap_or("low").to_owned();
    let reasons = sure.at("reasons").and_then(Value::as_array).cloned().unwrap_or_default();
    Ok((word, reasons.iter().filter_map(Value::as_str).map(|reason| doubt_words(reason).to_owned()).collect()))
}

/// Whether the gearing then fitted held the ride back at the top.
fn held_back(bike: &Bike, ride: &Ride, then: Setup) -> Result<bool, Gap> {
    let mut limit = then.give_pair(from_sheet(bike, &["primary", "gears", "rollout_m", "max_rpm"]));
    for (name, list) in [("t_s", &ride.t_s), ("speed_mps", &ride.speed_mps)] {
        limit.insert(name.to_owned(), Value::from(list.as_slice()));
    }
    Ok(ask("ride.saturation", &limit)?.at("saturated").and_then(Value::as_bool).unwrap_or_default())
}

fn doubt_words(reason: &str) -> &str {
    match reason {
        "grade_known" => "elevation is not known all along, climbs are left out",
        "moving_s" => "under 20 minutes of moving time",
        "saturated" => "the top speed was limited by the gearing then fitted",
        "interval_s" => "the track has a point only every few seconds",
        "runs_in_band" => "other masses, ground or air would put another pair first",
        "at_edge" => "the best lies at the edge of the pairs compared: nothing further out fits",
        "curve_given" => "no torque curve",
        other => other,
    }
}

/// Stay or change: among the pairs as good as the best, the one with the fewest parts changed.
#[must_use]
pub fn propose(replay: &Replay, fitted: Setup, shelf: &Shelf) -> Option<Proposal> {
    let present = replay.pairs.iter().find(|pair| pair.setup.same_pair(fitted))?;
    let mut good: Vec<&Replayed> = replay.pairs.iter().filter(|pair| pair.as_good && pair.feasible).collect();
    // With a shelf at hand, what need not be bought comes first.
    let to_buy = |setup: Setup| if shelf.told { shelf::to_buy(&shelf::needed(fitted, setup, shelf)) } else { 0 };
    good.sort_by_key(|pair| (to_buy(pair.setup), parts_changed(fitted, pair.setup), pair.rank));
    let none_feasible = good.is_empty();
    let best = good.first().copied().or(replay.pairs.first())?;
    let rival = replay.pairs.iter().find(|pair| pair.setup != best.setup && pair.feasible == best.feasible);
    let mut proposal = worded(best, present, fitted);
    proposal.rival = rival.map(|rival| rival_words(rival, best)).unwrap_or_default();
    proposal.as_good = good.iter().skip(1).map(|pair| pair.setup.pair_words()).collect();
    if replay.at_edge {
        proposal.headline = at_edge_words(replay.pairs.first()?, best, fitted);
    }
    if none_feasible {
        proposal
            .because
            .push("no pair compared keeps 5 % over the ride's fast end and stays under the limiter".to_owned());
    }
    proposal.certainty = format!("{}{}", replay.confidence, doubts_words(&replay.doubts));
    Some(proposal)
}

/// At the edge of the set nothing is recommended plainly.
fn at_edge_words(first: &Replayed, best: &Replayed, fitted: Setup) -> String {
    let cross = |a: Setup, b: Setup| a.rear_teeth * b.front_teeth;
    let pair = first.setup.pair_words();
    let (sense, end) = match cross(first.setup, fitted).cmp(&cross(fitted, first.setup)) {
        Ordering::Greater => ("Shorter", "shortest"),
        Ordering::Less => ("Taller", "tallest"),
        Ordering::Equal => {
            let which = if first.setup.same_pair(fitted) {
                "which is fitted".to_owned()
            } else {
                format!("geared as {}", fitted.pair_words())
            };
            return format!(
                "{pair}, {which}, costs least, but is the last pair compared that fits: no plain advice at the edge."
            );
        }
    };
    let as_good = if best.setup.same_pair(fitted) {
        format!(" {} is within 3 % of it: staying loses less than the model can tell.", fitted.pair_words())
    } else {
        String::new()
    };
    format!(
        "{sense} than {} suits this ride by the model, but {pair} is the {end} pair compared that fits: no plain advice at the edge.{as_good}",
        fitted.pair_words(),
    )
}

fn doubts_words(doubts: &[String]) -> String {
    if doubts.is_empty() { String::new() } else { format!(": {}", doubts.join("; ")) }
}

fn worded(best: &Replayed, present: &Replayed, fitted: Setup) -> Proposal {
    let stay = best.setup.same_pair(fitted);
    let arrow = |label: &str, from: String, to: String| {
        if stay || from == to { format!("{label} {from}") } else { format!("{label} {from} → {to}") }
    };
    let share =
        |pair: &Replayed| format!("{} % of the time", number(pair.gear_pct.first().copied().unwrap_or_default(), 0));
    Proposal {
        setup: best.setup,
        stay,
        headline: headline(best.setup, fitted),
        because: vec![
            arrow("first gear", share(present), share(best)),
            arrow(
                "clutch-slip time",
                format!("{} %", number(present.slip_pct, 1)),
                format!("{} %", number(best.slip_pct, 1)),
            ),
            arrow("top at the limiter", kmh(present.top_geared_kmh), kmh(best.top_geared_kmh)),
            arrow(
                "gear changes",
                format!("{} a km", number(present.shifts_per_km, 1)),
                format!("{} a km", number(best.shifts_per_km, 1)),
            ),
            format!("headroom {} % over the ride's fast end", number(best.headroom_pct, 0)),
        ],
        as_good: Vec::new(),
        rival: String::new(),
        certainty: String::new(),
        changes: "another ride, another ground, other weights of the replay, a torque curve of your own engine"
            .to_owned(),
    }
}

/// Stay, or what to change to, and on which chain.
fn headline(setup: Setup, fitted: Setup) -> String {
    if setup.same_pair(fitted) {
        format!("Stay on {}.", fitted.pair_words())
    } else if setup.links == fitted.links {
        format!("Change to {}, on the chain that is fitted.", setup.pair_words())
    } else {
        format!("Change to {}, on a chain of {} links.", setup.pair_words(), setup.links)
    }
}

fn rival_words(rival: &Replayed, best: &Replayed) -> String {
    format!(
        "{}: clutch-slip time {} % against {} %, {} gear changes a km against {}, headroom {} % against {} %",
        rival.setup.pair_words(),
        number(rival.slip_pct, 1),
        number(best.slip_pct, 1),
        number(rival.shifts_per_km, 1),
        number(best.shifts_per_km, 1),
        number(rival.headroom_pct, 0),
        number(best.headroom_pct, 0)
    )
}

/// The shown pairs as a table.
#[must_use]
pub fn table(candidates: &[Candidate]) -> Table {
    let shown: Vec<&Replayed> = candidates.iter().map(|candidate| &candidate.replayed).collect();
    let gears = shown.first().map_or(0, |pair| pair.gear_pct.len());
    let mut columns = vec![Column::words("pair", "Pair"), Column::numbers("links", "Links")];
    columns.extend(gear_columns(gears));
    columns.extend([
        Column::numbers("slip_pct", "Slips, %"),
        Column::numbers("shifts_per_km", "Shifts/km"),
        Column::numbers("headroom_pct", "Headroom, %"),
    ]);
    let mut table = Table::new(
        "replay",
        "The ride replayed: time in each gear; the fitted pair first, then the best by what would be changed",
        columns,
    );
    for pair in shown {
        let mut row = vec![Cell::words(pair.setup.pair_words()), Cell::number(f64::from(pair.setup.links), 0)];
        row.extend(pair.gear_pct.iter().map(|share| Cell::number(*share, 0)));
        row.extend([
            Cell::number(pair.slip_pct, 1),
            Cell::number(pair.shifts_per_km, 1),
            Cell::signed(pair.headroom_pct, 0),
        ]);
        table.rows.push(row);
    }
    table
}
