//! What a drawing to scale of the drive needs, at three places of the travel, and the curve of slack between them.
//! `slack.outline` and `slack.travel` give every spot; a face only draws them.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::Setup;
use crate::ask::{Gap, ask, with};
use crate::fit::need;
use crate::slack::geometry;

/// Places of the curve, both ends counted.
const PLACES: u32 = 41;

/// A circle in the chassis frame: x forward, z up, from the swingarm pivot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Circle {
    /// Centre, forward.
    pub x_mm: f64,
    /// Centre, up.
    pub z_mm: f64,
    /// Radius.
    pub radius_mm: f64,
}

/// A straight piece of the chain, from the front to the rear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Piece {
    /// Front end, forward.
    pub from_x_mm: f64,
    /// Front end, up.
    pub from_z_mm: f64,
    /// Rear end, forward.
    pub to_x_mm: f64,
    /// Rear end, up.
    pub to_z_mm: f64,
}

/// A piece of the chain round a disc; angles of the outward normal, from forward towards up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bend {
    /// `front`, `rear` or `slider`.
    pub on: String,
    /// Where it begins, degrees.
    pub from_deg: f64,
    /// Where it ends, degrees.
    pub to_deg: f64,
}

/// The drive at one place of the travel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outline {
    /// What the place is called.
    pub place: &'static str,
    /// Arm below level, degrees.
    pub arm_angle_deg: f64,
    /// The front sprocket's pin circle.
    pub countershaft: Circle,
    /// The rear sprocket's pin circle.
    pub axle: Circle,
    /// The slider's disc at the pin line.
    pub slider: Option<Circle>,
    /// The upper run, one piece or two over the slider.
    pub upper: Vec<Piece>,
    /// The lower run.
    pub lower: Vec<Piece>,
    /// The bends in order round the loop.
    pub arcs: Vec<Bend>,
    /// Whether the taut loop touches the slider.
    pub on_slider: bool,
}

/// One place of the curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spot {
    /// Wheel travel.
    pub travel_mm: f64,
    /// Slack at mid lower run; 0 is taut, none where that run rests on the slider.
    pub slack_mm: Option<f64>,
    /// Chain beyond taut.
    pub surplus_mm: f64,
    /// Whether the taut loop touches the slider there.
    pub on_slider: bool,
}

/// The drive at full extension, at its tightest, and at full compression.
///
/// # Errors
/// The field that is missing or impossible.
pub fn outlines(bike: &Bike, setup: Setup, at_mm: f64, tightest_deg: f64) -> Result<Vec<Outline>, Gap> {
    let full = geometry(bike, setup, at_mm)?;
    let mut distance = full.clone();
    distance.retain(|key, _| {
        ["countershaft_x_mm", "countershaft_z_mm", "arm_mm", "droop_deg", "travel_mm"].contains(&key.as_str())
    });
    let compressed_deg = ask("slack.distance", &distance)?.get("compression_deg").unwrap_or_default();
    let mut still = full;
    still.retain(|key, _| !["droop_deg", "travel_mm"].contains(&key.as_str()));
    [("full extension", need(bike, "droop_deg")?), ("tightest", tightest_deg), ("full compression", compressed_deg)]
        .into_iter()
        .map(|(place, angle)| outline(place, angle, &with(still.clone(), "arm_angle_deg", angle)))
        .collect()
}

fn outline(place: &'static str, arm_angle_deg: f64, given: &crate::ask::Given) -> Result<Outline, Gap> {
    let answer = ask("slack.outline", given)?;
    let list = |key: &str| answer.at(key).and_then(Value::as_array).cloned().unwrap_or_default();
    let empty = Circle { x_mm: 0.0, z_mm: 0.0, radius_mm: 0.0 };
    Ok(Outline {
        place,
        arm_angle_deg,
        countershaft: answer.at("countershaft").and_then(circle).unwrap_or(empty),
        axle: answer.at("axle").and_then(circle).unwrap_or(empty),
        slider: answer.at("slider").and_then(circle),
        upper: list("upper").iter().filter_map(piece).collect(),
        lower: list("lower").iter().filter_map(piece).collect(),
        arcs: list("arcs").iter().filter_map(bend).collect(),
        on_slider: answer.at("on_slider").and_then(Value::as_bool).unwrap_or_default(),
    })
}

fn circle(value: &Value) -> Option<Circle> {
    let number = |key: &str| value.get(key)?.as_f64();
    Some(Circle { x_mm: number("x_mm")?, z_mm: number("z_mm")?, radius_mm: number("radius_mm")? })
}

fn piece(value: &Value) -> Option<Piece> {
    let number = |key: &str| value.get(key)?.as_f64();
    Some(Piece {
        from_x_mm: number("from_x_mm")?,
        from_z_mm: number("from_z_mm")?,
        to_x_mm: number("to_x_mm")?,
        to_z_mm: number("to_z_mm")?,
    })
}

fn bend(value: &Value) -> Option<Bend> {
    let number = |key: &str| value.get(key)?.as_f64();
    Some(Bend { on: value.get("on")?.as_str()?.to_owned(), from_deg: number("from_deg")?, to_deg: number("to_deg")? })
}

/// Slack through the travel with a reading on the stand.
///
/// # Errors
/// The field that is missing or impossible.
pub fn curve(bike: &Bike, setup: Setup, at_mm: f64, stand_slack_mm: f64) -> Result<Vec<Spot>, Gap> {
    let given = with(geometry(bike, setup, at_mm)?, "slack_mm", stand_slack_mm);
    let answer = ask("slack.travel", &with(given, "places", PLACES))?;
    let spot = |value: &Value| {
        let number = |key: &str| value.get(key)?.as_f64();
        Some(Spot {
            travel_mm: number("travel_mm")?,
            slack_mm: number("slack_mm"),
            surplus_mm: number("surplus_mm")?,
            on_slider: value.get("on_slider")?.as_bool()?,
        })
    };
    Ok(answer.at("curve").and_then(Value::as_array).into_iter().flatten().filter_map(spot).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slack_is_drawn_through_the_whole_travel_and_loses_what_it_is_read_less() {
        let bike = Bike::from_toml(include_str!("../../../data/bikes/alder-350.toml")).expect("the demo's bike");
        let setup = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };
        let [taut, loose] = [75.0, 85.0].map(|slack_mm| curve(&bike, setup, 605.6, slack_mm).expect("a curve"));
        assert!(taut.len() > 10 && taut.len() == loose.len());
        assert!(taut[0].travel_mm.abs() < 1e-9 && (taut[taut.len() - 1].travel_mm - 300.0).abs() < 1e-6);
        for (one, other) in taut.iter().zip(&loose) {
            assert!((one.travel_mm - other.travel_mm).abs() < 1e-9 && one.surplus_mm < other.surplus_mm);
            assert_eq!(one.on_slider, other.on_slider, "at {} mm", one.travel_mm);
        }
        for pair in taut.windows(2) {
            assert!(pair[1].travel_mm > pair[0].travel_mm);
        }
    }
}
