//! What the replay figures have in common: the bike as a machine and a body, the ground, the ride, the candidates.

use drive::gearing::Pair;
use measure::bounds::gearing as bounds;
use ride::profile::{MOST_GRID_POINTS, Tuning, smooth};
use ride::replay::{Body, Ground, Load, Machine, Motion, Question, Revs, Riding};
use ride::track::Class;
use serde_json::Value;

use super::weights::weights;
use crate::gearing::bike::{self, Bike, DENSITY_DEFAULT};
use crate::gearing::counts;
use crate::ride::track::given_track;
use crate::{Field, Given, Refusal};

/// Members of the bike that masses and geometry need.
pub(super) const BODY: [&str; 8] = [
    "mass_kg",
    "j_front_kgm2",
    "j_rear_kgm2",
    "cda_m2",
    "wheelbase_m",
    "cg_from_front_m",
    "cg_height_m",
    "aero_height_m",
];

/// Members of the bike that the choice of gears needs.
pub(super) const MACHINE: [&str; 7] = ["curve", "eta", "slip_rpm", "lo_rpm", "hi_rpm", "max_rpm", "hard_rpm"];

/// Rolling resistance of the ground.
pub(super) const CRR: Field = Field::number("crr", &bounds::CRR);
/// Grip of the ground.
pub(super) const MU: Field = Field::number("mu", &bounds::MU);
/// Time between samples.
pub(super) const STEP_S: Field = Field::number("step_s", &bounds::STEP).optional("1");

/// Masses and geometry of a bike.
pub(super) fn body(bike: &Bike<'_>) -> Result<Body, Refusal> {
    Ok(Body {
        load: Load { mass_kg: bike.num("mass_kg")?, cda_m2: bike.num("cda_m2")? },
        wheels_kgm2: bike.num("j_front_kgm2")? + bike.num("j_rear_kgm2")?,
        rollout_m: bike.rollout_m,
        wheelbase_m: bike.num("wheelbase_m")?,
        cg_from_front_m: bike.num("cg_from_front_m")?,
        cg_height_m: bike.num("cg_height_m")?,
        aero_height_m: bike.num("aero_height_m")?,
    })
}

/// Engine, box and wheel of a bike.
pub(super) fn machine<'b>(bike: &'b Bike<'_>) -> Result<Machine<'b>, Refusal> {
    Ok(Machine {
        gearbox: &bike.gearbox,
        curve: bike.curve()?,
        eta: bike.num("eta")?,
        rollout_m: bike.rollout_m,
        revs: Revs {
            slip_rpm: bike.num("slip_rpm")?,
            lo_rpm: bike.num("lo_rpm")?,
            hi_rpm: bike.num("hi_rpm")?,
            max_rpm: bike.num("max_rpm")?,
            hard_rpm: bike.num("hard_rpm")?,
        },
    })
}

/// The ground and the air.
pub(super) fn ground(given: &Given<'_>) -> Result<Ground, Refusal> {
    Ok(Ground {
        crr: given.num("crr")?,
        mu: given.num("mu")?,
        density_kgm3: given.num_or("density_kgm3", DENSITY_DEFAULT),
    })
}

/// How it is ridden.
pub(super) fn riding(given: &Given<'_>) -> Riding {
    Riding {
        slip: given.num_or("slip", 0.0),
        power_factor: given.num_or("power_factor", 1.0),
        step_s: given.num_or("step_s", 1.0),
    }
}

/// The question of a replay: how these pairs would have done on this ride.
pub(super) fn question<'q>(
    given: &Given<'_>,
    bike: &'q Bike<'_>,
    ride: &'q Ride,
    pairs: &'q [Pair],
) -> Result<Question<'q>, Refusal> {
    Ok(Question {
        machine: machine(bike)?,
        idle_rpm: bike.num("idle_rpm")?,
        body: body(bike)?,
        ground: ground(given)?,
        riding: riding(given),
        motion: ride.motion(),
        pairs,
        weights: weights(given)?,
    })
}

/// The candidates, with the present pair added if it is given and not among them; the flag says so.
pub(super) fn candidates(given: &Given<'_>) -> Result<(Vec<Pair>, Option<Pair>), Refusal> {
    let value = given.raw("pairs").ok_or_else(|| Refusal::missing("pairs"))?;
    let mut all = pairs("pairs", value)?;
    if given.has("front_teeth") && given.has("rear_teeth") {
        let present = bike::pair(given, "front_teeth", "rear_teeth")?;
        if !all.contains(&present) {
            all.push(present);
            return Ok((all, Some(present)));
        }
    }
    Ok((all, None))
}

/// `[[front, rear], …]`, each once, at least one.
fn pairs(name: &str, value: &Value) -> Result<Vec<Pair>, Refusal> {
    let list = counts::items(name, value, "a list of [front teeth, rear teeth]")?;
    if list.is_empty() {
        let text = format!("{name} is empty. Give at least one pair as [front teeth, rear teeth].");
        return Err(Refusal::new(name, "empty", text));
    }
    let mut all: Vec<Pair> = Vec::with_capacity(list.len());
    for item in list {
        let pair = counts::pair(name, item)?;
        if all.contains(&pair) {
            let text = format!("{name} holds {} twice. Give each pair once.", counts::shown(pair));
            return Err(Refusal::new(name, "given_twice", text));
        }
        all.push(pair);
    }
    Ok(all)
}

/// A ride on one grid, owned.
pub(super) struct Ride {
    t_s: Vec<f64>,
    speed_mps: Vec<f64>,
    grade: Vec<f64>,
    accel_mps2: Vec<f64>,
    /// The field that a refusal of the ride as a whole names.
    pub(super) field: &'static str,
}

impl Ride {
    /// The ride as the replay takes it.
    pub(super) fn motion(&self) -> Motion<'_> {
        Motion { t_s: &self.t_s, speed_mps: &self.speed_mps, grade: &self.grade, accel_mps2: &self.accel_mps2 }
    }
}

/// The lists of a ride, in their order.
const LISTS: [&str; 4] = ["t_s", "speed_mps", "grade", "accel_mps2"];

/// Reads the ride: four lists of one length, or one track.
pub(super) fn ride(given: &Given<'_>) -> Result<Ride, Refusal> {
    let lists = LISTS.iter().any(|name| given.has(name));
    let tracks = ["gpx_file", "gpx"].into_iter().filter(|name| given.has(name)).count();
    if tracks + usize::from(lists) != 1 || (lists && !given.has("t_s")) {
        let text = "t_s: give the four lists t_s, speed_mps, grade and accel_mps2, or exactly one track as gpx_file or \
                    gpx.";
        return Err(Refusal::new("t_s", "one_of", text));
    }
    if tracks == 1 { of_track(given) } else { of_lists(given) }
}

fn of_lists(given: &Given<'_>) -> Result<Ride, Refusal> {
    let [t_s, speed_mps, grade, accel_mps2] = LISTS.map(|name| given.numbers(name));
    for (name, list) in LISTS.iter().zip([&t_s, &speed_mps, &grade, &accel_mps2]) {
        if !given.has(name) {
            return Err(Refusal::missing(name));
        }
        if list.is_empty() || list.len() != t_s.len() {
            let text = format!("{name} has {} values, t_s {}. Give four lists of one length.", list.len(), t_s.len());
            return Err(Refusal::new(*name, "wrong_length", text));
        }
    }
    if let Some(at) = t_s.windows(2).position(|two| two[0] >= two[1]) {
        let text = format!("t_s does not rise at place {}: {} after {}.", at + 2, t_s[at + 1], t_s[at]);
        return Err(Refusal::new("t_s", "not_rising", text));
    }
    Ok(Ride { t_s, speed_mps, grade, accel_mps2, field: "speed_mps" })
}

/// The track smoothed and put on the grid; a slope that is not known counts as level.
fn of_track(given: &Given<'_>) -> Result<Ride, Refusal> {
    let field = if given.has("gpx_file") { "gpx_file" } else { "gpx" };
    let profile = smooth(&given_track(given)?, &Tuning::USUAL);
    if profile.class == Class::GeometryOnly {
        let text = format!("{field} has no usable times, so no speed is known. Choose a recording with times.");
        return Err(Refusal::new(field, "no_times", text));
    }
    let step_s = given.num_or("step_s", 1.0);
    let on_grid = profile.on_grid(step_s).ok_or_else(|| {
        let text = format!("step_s is {step_s}: the grid would have more than {MOST_GRID_POINTS} points. Widen it.");
        Refusal::new("step_s", "grid_too_large", text)
    })?;
    let mut ride = Ride { t_s: Vec::new(), speed_mps: Vec::new(), grade: Vec::new(), accel_mps2: Vec::new(), field };
    for part in on_grid.parts.iter().filter(|part| part.t_s.len() > 1) {
        ride.t_s.extend_from_slice(&part.t_s);
        ride.speed_mps.extend_from_slice(&part.speed_mps);
        ride.accel_mps2.extend_from_slice(&part.accel_mps2);
        match &part.height {
            Some(height) => ride.grade.extend_from_slice(&height.grade),
            None => ride.grade.resize(ride.t_s.len(), 0.0),
        }
    }
    Ok(ride)
}
