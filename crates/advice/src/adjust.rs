//! How far to turn the adjusters: from one reading to another, in small even rounds, the skew taken out first.

use figures::Answer;
use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::Setup;
use crate::ask::{Gap, ask, from_sheet, with};
use crate::fit::{GEOMETRY, need};
use crate::slack::Read;
use crate::words::{count, number, quantity};

/// How far the adjusters go.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Adjust {
    /// Reading before and reading wanted, mm.
    pub from_to_mm: [f64; 2],
    /// Axle, + back.
    pub shift_mm: f64,
    /// Turns of both adjusters, + back.
    pub turns: f64,
    /// Flats (sixths of a turn), + back.
    pub flats: f64,
    /// Rounds of left and right flats.
    pub rounds: Vec<[f64; 2]>,
    /// The sentence for the bench.
    pub words: String,
}

/// Both sides together: what would be told as 0.0 flats is not turned.
const LEAST_FLATS: f64 = 0.1;

/// How far the adjusters go from one reading to another, both sides alike.
///
/// # Errors
/// The field that is missing or impossible.
pub fn adjust(bike: &Bike, setup: Setup, slack_mm: f64, target_mm: f64) -> Result<Adjust, Gap> {
    with_skew(bike, setup, [slack_mm, target_mm], Read::default())
}

/// The same, the skew between left and right taken out first where both were read.
///
/// # Errors
/// The field that is missing or impossible.
pub fn with_skew(bike: &Bike, setup: Setup, from_to_mm: [f64; 2], read: Read) -> Result<Adjust, Gap> {
    let given = setup.give_pair(from_sheet(bike, &GEOMETRY));
    let given = with(given, "arm_angle_deg", need(bike, "droop_deg")?);
    let given = with(given, "thread_pitch_mm", need(bike, "thread_pitch_mm")?);
    let [slack_mm, target_mm] = from_to_mm;
    let mut given = with(with(given, "slack_mm", slack_mm), "target_slack_mm", target_mm);
    if let Some([left, right]) = read.sides_mm() {
        given = with(given, "difference_mm", left - right);
        given.extend(from_sheet(bike, &["track_mm", "sprocket_y_mm"]));
    }
    let answer = ask("slack.axle_move", &given)?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let mut rounds: Vec<[f64; 2]> =
        answer.at("rounds").and_then(Value::as_array).into_iter().flatten().filter_map(round).collect();
    if rounds.iter().flatten().map(|flats| flats.abs()).sum::<f64>() < LEAST_FLATS {
        rounds.clear();
    }
    let words = words(&answer, rounds.len());
    Ok(Adjust { from_to_mm, shift_mm: get("shift_mm"), turns: get("turns"), flats: get("flats"), rounds, words })
}

fn round(value: &Value) -> Option<[f64; 2]> {
    Some([value.get("left_flats")?.as_f64()?, value.get("right_flats")?.as_f64()?])
}

fn words(answer: &Answer, rounds: usize) -> String {
    if rounds == 0 {
        return "Nothing to move.".to_owned();
    }
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let way = |moved: f64| if moved < 0.0 { "forward" } else { "back" };
    let finish = if answer.notices.iter().any(|notice| notice.code == "finish_tightening") {
        " Go a turn past, push the wheel forward onto the adjusters, come back tightening."
    } else {
        ""
    };
    let (shift_mm, left, right) = (get("shift_mm"), get("left_flats"), get("right_flats"));
    let axle = format!("Axle {} {}", quantity(shift_mm.abs(), "mm", 2), way(shift_mm));
    // With a skew to take out the two adjusters do not go alike.
    if (left - right).abs() > 0.05 {
        let side = |flats: f64| format!("{} flats {}", number(flats.abs(), 1), way(flats));
        return format!(
            "{axle}: left adjuster {}, right adjuster {}, the skew first, in {}.{finish}",
            side(left),
            side(right),
            count(rounds, "round")
        );
    }
    format!(
        "{axle}: {} turn ({} flats) at each adjuster, in {}.{finish}",
        number(get("turns").abs(), 2),
        number(get("flats").abs(), 1),
        count(rounds, "even round")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_wrench_can_turn_is_not_told_to_be_turned() {
        let bike = Bike::from_toml(include_str!("../../../data/bikes/alder-350.toml")).expect("the demo's bike");
        let setup = Setup::fitted(&bike).expect("a setup");
        let of = |from| adjust(&bike, setup, from, 85.0).expect("an answer");
        let (right, near, off) = (of(85.0), of(84.98), of(84.0));
        assert_eq!(right.words, "Nothing to move.");
        assert!(near.shift_mm != 0.0 && near.rounds.is_empty() && near.words == right.words, "{near:?}");
        assert!(!off.rounds.is_empty() && off.words.contains("turn ("), "{off:?}");
    }
}
