//! `slack.axle_move`: from a reading to a target, as a shift, as turns and as rounds.

use drive::slack::adjuster::{self, Skew};
use drive::slack::axle;
use measure::bounds::slack as bound;
use measure::shown::{quantity, written};
use serde_json::{Value, json};

use super::fields::{ARM_ANGLE, GEOMETRY, SPROCKET_Y, STATION, THREAD_PITCH, TRACK, joined};
use super::geometry::{at_angle, noted, refusal};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.axle_move",
    says: "How far to move the axle from a reading to a target, and in which rounds at the two adjusters.",
    given: &joined::<19>(
        &GEOMETRY,
        &[
            ARM_ANGLE,
            STATION,
            Field::number("slack_mm", &bound::SLACK).meaning("the reading, lower run, total movement"),
            Field::number("target_slack_mm", &bound::SLACK).meaning("the reading wanted, same place and kind"),
            THREAD_PITCH,
            Field::number("round_flats", &bound::ROUND_FLATS).optional("1.5").meaning("flats of one round"),
            Field::number("difference_mm", &bound::DIFFERENCE)
                .optional("no skew to correct")
                .meaning("left minus right, larger = further back"),
            TRACK.optional("none; needed with difference_mm"),
            SPROCKET_Y,
        ],
    ),
    answer: &[
        ("shift_mm", "axle, + back"),
        ("turns", "of each adjuster for the shift"),
        ("flats", "of a hexagon for the shift"),
        ("left_flats", "left adjuster altogether, with the skew"),
        ("right_flats", "right adjuster altogether, with the skew"),
        ("round_count", "number of rounds"),
        ("rounds", "list of {left_flats, right_flats}: skew first, then both sides alike"),
    ],
    formula: "L_taut(arm + s) + e(target) = L_taut(arm) + e(reading); flats = 6 s / thread pitch",
    sources: &["geometry", "practice"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let skew = skew(given)?;
    let (layout, arm) = at_angle(given)?;
    let station = given.num_or("station", 0.5);
    let shift =
        axle::shift(&layout, arm, station, given.mm("slack_mm")?, given.mm("target_slack_mm")?).map_err(refusal)?;
    let thread = given.mm("thread_pitch_mm")?;
    let turning = adjuster::turning(shift, thread, given.num_or("round_flats", 1.5), skew).map_err(refusal)?;
    let rounds: Vec<Value> = turning
        .rounds
        .iter()
        .map(|round| json!({"left_flats": round.left_flats, "right_flats": round.right_flats}))
        .collect();
    let idle = rounds.is_empty();
    let forward = turning.left_flats.min(turning.right_flats).min(turning.flats) < 0.0;
    let answer = Answer::new()
        .num("shift_mm", shift.mm())
        .num("turns", shift / thread)
        .num("flats", turning.flats)
        .num("left_flats", turning.left_flats)
        .num("right_flats", turning.right_flats)
        .json("round_count", rounds.len())
        .json("rounds", rounds);
    Ok(noted(answer, given)
        .notice_if(!idle && forward, "finish_tightening", || {
            format!(
                "an adjuster goes forward (axle {}): turn past the target, push the wheel forward onto the adjusters, \
                 come back tightening. Measure again after the axle nut is torqued.",
                quantity(shift.mm(), "mm", 2)
            )
        })
        .notice_if(idle, "nothing_to_move", || {
            format!(
                "the reading is the target, {}, and there is no skew to correct.",
                written(given.num_or("slack_mm", 0.0), "mm")
            )
        }))
}

fn skew(given: &Given<'_>) -> Result<Option<Skew>, Refusal> {
    if !given.has("difference_mm") {
        return Ok(None);
    }
    Ok(Some(Skew {
        difference: given.mm("difference_mm")?,
        track: given.mm("track_mm")?,
        sprocket: measure::Length::from_mm(given.num_or("sprocket_y_mm", 0.0)),
    }))
}
