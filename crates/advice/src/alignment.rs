//! Is the wheel straight: how much left and right may differ, and what was read.

use figures::Answer;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, ask, from_sheet, with};
use crate::fact::Fact;
use crate::fit::Place;
use crate::slack::Read;
use crate::verdict::{Reason, Verdict};
use crate::words::{mm, number, quantity};

/// What the sheet says of the places where the sides are read.
const FIELDS: [&str; 3] = ["track_mm", "sprocket_y_mm", "thread_pitch_mm"];

/// The wheel's alignment: how much left and right may differ, and what was read.
///
/// # Errors
/// The field that is impossible.
pub fn facts(bike: &Bike, place: &Place, read: Read) -> Result<Vec<Fact>, Gap> {
    let Some(answer) = asked(bike, place, read)? else {
        return Ok(vec![Fact::unknown(
            "allowed_mm",
            "Left against right",
            "Not known: the distance between the two measuring places is not on the bike sheet.",
        )]);
    };
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let allowed = Fact::new("allowed_mm", "Left and right may differ by", quantity(get("allowed_mm"), "mm", 2), get("allowed_mm"))
        .because("shafts parallel within 1 in 300 over the distance between the measuring places")
        .sure(format!("a limit of fixed drives; a swingarm flexes more. Marks read to {} cannot show it: measure pivot to axle on both sides", mm(0.5)))
        .unless("your own limit")
        .says("slack.alignment");
    if read.sides_mm().is_none() {
        return Ok(vec![allowed]);
    }
    let skew = Fact::new(
        "skew_deg",
        format!("Wheel heads to the {} by", side(&answer)),
        format!("{}°", number(get("skew_deg").abs(), 2)),
        get("skew_deg"),
    )
    .because(format!("{} the limit; {}", if is_outside(&answer) { "outside" } else { "within" }, missed(&answer)))
    .sure("as good as the two readings")
    .unless(answer.get("flats").map_or_else(
        || "the adjusters; how far to turn them is not known without the pitch of their thread".to_owned(),
        |flats| format!("{} flats at one adjuster straighten it", number(flats, 1)),
    ))
    .says("slack.alignment");
    Ok(vec![allowed, skew])
}

/// By how much front wheel and front sprocket are missed; what the sheet cannot tell is left out.
fn missed(answer: &Answer) -> String {
    let by = |(key, what)| Some(format!("the {what} is missed by {}", mm(answer.get(key)?.abs())));
    let told =
        [("front_wheel_miss_mm", "front wheel"), ("chain_line_miss_mm", "front sprocket")].into_iter().filter_map(by);
    told.collect::<Vec<_>>().join(", ")
}

/// What a wheel out of line makes of the drive; nothing where it is straight. Sides that differ are not known to be
/// within the limit where the sheet lacks the distance between the two measuring places.
#[must_use]
pub fn reason(bike: &Bike, [left_mm, right_mm]: [f64; 2]) -> Option<Reason> {
    let apart_mm = (left_mm - right_mm).abs();
    let given = from_sheet(bike, &FIELDS);
    if !given.contains_key("track_mm") {
        return (apart_mm > 0.0).then(|| Gap::absent("track_mm").reason("Alignment"));
    }
    let answer = match ask("slack.alignment", &with(with(given, "left_mm", left_mm), "right_mm", right_mm)) {
        Ok(answer) => answer,
        Err(gap) => return Some(gap.reason("Alignment")),
    };
    let get = |key: &str| answer.get(key).unwrap_or_default();
    is_outside(&answer).then(|| {
        let text = format!(
            "Wheel {}° off straight, to the {}: left and right differ by {}, allowed {}.",
            number(get("skew_deg").abs(), 2),
            side(&answer),
            quantity(apart_mm, "mm", 2),
            quantity(get("allowed_mm"), "mm", 2)
        );
        Reason::new(Verdict::Care, "slack.alignment", text).cleared_by("Straighten the wheel", 15)
    })
}

/// The figure asked; `None` without the distance between the measuring places. Sides not read stand alike.
fn asked(bike: &Bike, place: &Place, read: Read) -> Result<Option<Answer>, Gap> {
    let mut given = from_sheet(bike, &FIELDS);
    if !given.contains_key("track_mm") {
        return Ok(None);
    }
    if let Some(wheelbase) = bike.number("wheelbase_m") {
        given = with(given, "wheelbase_mm", wheelbase * 1000.0);
    }
    let given = with(given, "centre_mm", place.centre_mm);
    let (left, right) = (read.left_mm.unwrap_or(place.arm_mm), read.right_mm.unwrap_or(place.arm_mm));
    ask("slack.alignment", &with(with(given, "left_mm", left), "right_mm", right)).map(Some)
}

fn is_outside(answer: &Answer) -> bool {
    answer.at("verdict").and_then(Value::as_str) == Some("outside")
}

/// Where the wheel heads: to the side of the end that is further back.
fn side(answer: &Answer) -> &'static str {
    if answer.get("skew_deg").unwrap_or_default() < 0.0 { "right" } else { "left" }
}
