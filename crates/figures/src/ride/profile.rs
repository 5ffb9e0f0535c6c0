//! `ride.profile` and `ride.grade`: speed, acceleration, distance and grade of a ride, smoothed.

use measure::bounds::ride as bounds;
use ride::profile::{
    Height, HeightTuning, MOST_GRID_POINTS, Part, PlaneTuning, Profile, Samples, Tuning, grade, of_samples, smooth,
};
use ride::track::Class;
use serde_json::{Map, Value};

use super::stops::{not_empty, rising, same_length};
use super::track::{CAP, GAP, GPX, GPX_FILE, given_rules, given_track, track_notices};
use crate::{Answer, Field, Figure, Given, Refusal};

const SIGMA_ELE: Field = Field::number("sigma_ele_m", &bounds::ELEVATION_SIGMA)
    .optional("2")
    .meaning("standard deviation of a recorded elevation: 2 barometric, 5 by satellite");
const GRADE_PM: Field = Field::number("grade_pm", &bounds::GRADE_WANDER)
    .optional("1e-4")
    .meaning("how briskly the grade may change, per metre");

pub(super) const PROFILE: Figure = Figure {
    name: "ride.profile",
    says: "Speed, acceleration, distance and grade of a ride, smoothed from its recorded positions.",
    given: &[
        GPX_FILE,
        GPX,
        CAP,
        GAP,
        Field::numbers("t_s", &bounds::SAMPLE_TIME).optional("none").meaning("times of samples in a plane, rising"),
        Field::numbers("x_m", &bounds::PLANE).optional("none").meaning("east"),
        Field::numbers("y_m", &bounds::PLANE).optional("none").meaning("north"),
        Field::numbers_or_null("ele_m", &bounds::ELEVATION).optional("none").meaning("null where one is missing"),
        Field::number("sigma_m", &bounds::POSITION_SIGMA)
            .optional("3")
            .meaning("standard deviation of a recorded position along one axis"),
        Field::number("jerk_m2s5", &bounds::JERK).optional("0.5").meaning("how briskly the acceleration may change"),
        SIGMA_ELE,
        GRADE_PM,
        Field::flag("gate").optional("true").meaning("whether samples beyond what noise explains count less"),
        Field::number("step_s", &bounds::PROFILE_STEP).optional("none: the recorded times"),
    ],
    answer: &[
        ("class", "as ride.track"),
        (
            "parts",
            "list of {t_s from the first kept point, x_m, y_m, s_m, speed_mps, accel_mps2, sd_speed_mps, ele_m, \
             grade (null if unknown), sd_grade, grade_known, distance_m}; parts under three points are left out",
        ),
        ("distance_m", "smoothed distance, m"),
        ("moving_s", "moving time, s"),
        ("stopped_s", "time inside stops, s"),
        ("elevation_jumps", "elevations taken as missing because they jumped"),
        ("grade_clamped", "points whose grade was beyond ±0.7"),
    ],
    formula: "white-jerk filter and backward smoother in the plane around a part's first point; grade by a second \
              smoother along the distance; on a grid the speed is cubic in speed and acceleration, the rest straight",
    sources: &["plane-smoother", "height-smoother", "track-rules", "karney"],
    ask: ask_profile,
};

pub(super) const GRADE: Figure = Figure {
    name: "ride.grade",
    says: "Elevation and grade along a distance, smoothed from recorded elevations.",
    given: &[
        Field::numbers("s_m", &bounds::WAY).meaning("distance along the way, not falling"),
        Field::numbers_or_null("ele_m", &bounds::ELEVATION).meaning("null where one is missing"),
        SIGMA_ELE,
        GRADE_PM,
    ],
    answer: &[
        ("ele_m", "elevation, m"),
        ("grade", "rise over level distance"),
        ("sd_grade", "standard deviation of the grade"),
    ],
    formula: "filter and backward smoother of elevation and grade; the grade wanders with density grade_pm",
    sources: &["height-smoother"],
    ask: ask_grade,
};

fn height_tuning(given: &Given<'_>) -> HeightTuning {
    HeightTuning {
        sigma_m: given.num_or("sigma_ele_m", HeightTuning::USUAL.sigma_m),
        grade_pm: given.num_or("grade_pm", HeightTuning::USUAL.grade_pm),
    }
}

fn tuning(given: &Given<'_>) -> Tuning {
    Tuning {
        rules: given_rules(given),
        plane: PlaneTuning {
            sigma_m: given.num_or("sigma_m", PlaneTuning::USUAL.sigma_m),
            jerk_m2s5: given.num_or("jerk_m2s5", PlaneTuning::USUAL.jerk_m2s5),
            gate: given.flag_or("gate", PlaneTuning::USUAL.gate),
        },
        height: height_tuning(given),
    }
}

fn ask_profile(given: &Given<'_>) -> Result<Answer, Refusal> {
    let tuning = tuning(given);
    let (profile, track) = match given_samples(given)? {
        Some(samples) => (of_samples(Class::Timed, [samples], &tuning), None),
        None => {
            let track = given_track(given)?;
            (smooth(&track, &tuning), Some(track))
        }
    };
    let profile = match given.opt("step_s") {
        None => profile,
        Some(step_s) => profile.on_grid(step_s).ok_or_else(|| {
            let text = format!(
                "step_s is {step_s}: the grid would have more than {MOST_GRID_POINTS} points. Use a longer step."
            );
            Refusal::new("step_s", "grid_too_large", text)
        })?,
    };
    let answer = answer(&profile)?;
    let answer = track.iter().fold(answer, |answer, track| track_notices(answer, track, profile.class));
    Ok(height_notices(answer, &profile))
}

/// Samples in a plane, if such are given instead of a track.
fn given_samples(given: &Given<'_>) -> Result<Option<Samples>, Refusal> {
    let lists = ["t_s", "x_m", "y_m"];
    let any = lists.into_iter().chain(["ele_m"]).any(|name| given.has(name));
    if any && (given.has("gpx_file") || given.has("gpx")) {
        let text = "a track and lists are both given. Give one track, or t_s, x_m and y_m.";
        return Err(Refusal::new("t_s", "one_track", text));
    }
    if !lists.into_iter().any(|name| given.has(name)) {
        return Ok(None);
    }
    let count = given.list("t_s").len();
    for name in lists {
        if !given.has(name) {
            return Err(Refusal::missing(name));
        }
        not_empty(name, given.list(name))?;
        same_length(name, given.list(name).len(), "t_s", count)?;
    }
    let t_s = given.numbers("t_s");
    rising("t_s", &t_s)?;
    let ele_m = if given.has("ele_m") { given.numbers_or_null("ele_m") } else { vec![None; count] };
    same_length("ele_m", ele_m.len(), "t_s", count)?;
    Ok(Some(Samples { origin: None, t_s, x_m: given.numbers("x_m"), y_m: given.numbers("y_m"), ele_m }))
}

fn answer(profile: &Profile) -> Result<Answer, Refusal> {
    let parts = profile.parts.iter().map(part).collect::<Result<Vec<_>, _>>()?;
    let (moving_s, stopped_s) = profile.moving_and_stopped_s();
    Ok(Answer::new()
        .text("class", profile.class.word())
        .json("parts", parts)
        .num("distance_m", profile.distance().m())
        .num("moving_s", moving_s)
        .num("stopped_s", stopped_s)
        .json("elevation_jumps", profile.elevation_jumps)
        .json("grade_clamped", profile.grade_clamped))
}

fn part(part: &Part) -> Result<Value, Refusal> {
    let mut members = Map::new();
    let motion = [
        ("t_s", &part.t_s),
        ("x_m", &part.x_m),
        ("y_m", &part.y_m),
        ("s_m", &part.s_m),
        ("speed_mps", &part.speed_mps),
        ("accel_mps2", &part.accel_mps2),
        ("sd_speed_mps", &part.sd_speed_mps),
    ];
    for (name, values) in motion {
        members.insert(name.to_owned(), list(values)?);
    }
    match &part.height {
        Some(height) => {
            for (name, values) in height_lists(height) {
                members.insert(name.to_owned(), list(values)?);
            }
        }
        None => {
            members.insert("grade".to_owned(), Value::from(vec![Value::Null; part.t_s.len()]));
        }
    }
    members.insert("grade_known".to_owned(), Value::from(part.height.is_some()));
    members.insert("distance_m".to_owned(), Value::from(part.distance.m()));
    Ok(Value::Object(members))
}

const fn height_lists(height: &Height) -> [(&'static str, &Vec<f64>); 3] {
    [("ele_m", &height.ele_m), ("grade", &height.grade), ("sd_grade", &height.sd_grade)]
}

/// A list of numbers, each of which could be computed.
fn list(values: &[f64]) -> Result<Value, Refusal> {
    if values.iter().all(|value| value.is_finite()) {
        return Ok(Value::from(values));
    }
    let text = "the samples are too far apart for a finite answer. Split the ride at its long pauses.";
    Err(Refusal::new("figure", "no_finite_answer", text))
}

fn height_notices(answer: Answer, profile: &Profile) -> Answer {
    let bare = profile.parts.iter().filter(|part| part.height.is_none()).count();
    let (parts, jumps) = (profile.parts.len(), profile.elevation_jumps);
    answer
        .notice_if(!profile.grade_known(), "grade_unknown", || match parts {
            0 => "There is no part of three points or more: neither speed nor grade can be told.".to_owned(),
            _ => format!("{bare} of {parts} parts have too few elevations for a grade; demand takes them as level."),
        })
        .notice_if(jumps > 0, "elevation_jump", || {
            format!("{jumps} elevations jump by more than 30 m within 50 m of way; they are taken as missing.")
        })
}

fn ask_grade(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (s_m, ele_m) = (given.numbers("s_m"), given.numbers_or_null("ele_m"));
    not_empty("s_m", &s_m)?;
    same_length("ele_m", ele_m.len(), "s_m", s_m.len())?;
    if let Some((a, b)) = s_m.iter().zip(s_m.iter().skip(1)).find(|(a, b)| a > b) {
        let text = format!("s_m is {b} after {a}; distance must not fall. Give the way ridden, not the place.");
        return Err(Refusal::new("s_m", "falls", text));
    }
    let height = grade(&s_m, &ele_m, &height_tuning(given)).ok_or_else(|| {
        let text = "ele_m holds no elevation at all. Give at least one, or leave the grade unknown.";
        Refusal::new("ele_m", "no_elevation", text)
    })?;
    height_lists(&height)
        .into_iter()
        .try_fold(Answer::new(), |answer, (name, values)| Ok(answer.json(name, list(values)?)))
}
