//! Shipped tracks as rides that are laid against pairs.

use std::path::Path;

use advice::demand::Ride;
use serde_json::{Map, Value, json};

/// A file of the repository.
pub(crate) fn root(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(file);
    std::fs::read_to_string(&path).expect("the file is there")
}

/// A shipped track, smoothed by the figure and laid on a grid of seconds.
pub(crate) fn ride(file: &str) -> Ride {
    let given: Map<String, Value> =
        json!({"gpx": root(&format!("data/gpx/{file}.gpx")), "step_s": 1.0}).as_object().cloned().unwrap_or_default();
    let answer = figures::ask("ride.profile", &given, &figures::NoTracks).expect("a profile");
    let parts = answer.at("parts").and_then(Value::as_array).cloned().unwrap_or_default();
    let flat = |name: &str| -> Vec<f64> {
        let lists = parts.iter().filter_map(|part| part[name].as_array()).flatten();
        lists.map(|number| number.as_f64().unwrap_or_default()).collect()
    };
    let number = |name: &str| answer.get(name).unwrap_or_default();
    Ride {
        name: file.to_owned(),
        t_s: flat("t_s"),
        speed_mps: flat("speed_mps"),
        accel_mps2: flat("accel_mps2"),
        grade: flat("grade"),
        grade_known: true,
        interval_s: 1.0,
        moving_s: number("moving_s"),
        distance_m: number("distance_m"),
        made: true,
        fitted: None,
        day: String::new(),
        ground: String::new(),
        note: String::new(),
    }
}

/// A part of a ride, as a ride of its own.
pub(crate) fn part(ride: &Ride, name: &str, range: std::ops::Range<usize>) -> Ride {
    let cut = |list: &[f64]| list[range.clone()].to_vec();
    Ride {
        name: name.to_owned(),
        t_s: cut(&ride.t_s),
        speed_mps: cut(&ride.speed_mps),
        accel_mps2: cut(&ride.accel_mps2),
        grade: cut(&ride.grade),
        ..ride.clone()
    }
}
