//! Is the wheel straight: how much left and right may differ, and what was read.

use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, ask, from_sheet, with};
use crate::fact::Fact;
use crate::fit::Place;
use crate::slack::Read;
use crate::words::{mm, number, signed};

/// The wheel's alignment: how much left and right may differ, and what was read.
///
/// # Errors
/// The field that is impossible.
pub fn facts(bike: &Bike, place: &Place, read: Read) -> Result<Vec<Fact>, Gap> {
    let mut given = from_sheet(bike, &["track_mm", "sprocket_y_mm", "thread_pitch_mm"]);
    if !given.contains_key("track_mm") {
        return Ok(vec![Fact::unknown(
            "allowed_mm",
            "Left against right",
            "Not known: the distance between the two measuring places is not on the bike sheet.",
        )]);
    }
    if let Some(wheelbase) = bike.number("wheelbase_m") {
        given = with(given, "wheelbase_mm", wheelbase * 1000.0);
    }
    let given = with(given, "centre_mm", place.centre_mm);
    let (left, right) = (read.left_mm.unwrap_or(place.arm_mm), read.right_mm.unwrap_or(place.arm_mm));
    let answer = ask("slack.alignment", &with(with(given, "left_mm", left), "right_mm", right))?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let allowed = Fact::new("allowed_mm", "Left and right may differ by", format!("{} mm", number(get("allowed_mm"), 2)), get("allowed_mm"))
        .because("shafts parallel within 1 in 300 over the distance between the measuring places")
        .sure("a limit of fixed drives; a swingarm flexes more. Marks read to 0.5 mm cannot show it: measure pivot to axle on both sides")
        .unless("your own limit")
        .says("slack.alignment");
    let (Some(_), Some(_)) = (read.left_mm, read.right_mm) else { return Ok(vec![allowed]) };
    let verdict = answer.at("verdict").and_then(Value::as_str).unwrap_or_default().replace('_', " ");
    let skew = Fact::new(
        "skew_deg",
        "Wheel heads to the left by",
        format!("{}°", signed(get("skew_deg"), 2)),
        get("skew_deg"),
    )
    .because(format!(
        "{verdict}; the front wheel is missed by {}, the front sprocket by {}",
        mm(get("front_wheel_miss_mm")),
        mm(get("chain_line_miss_mm"))
    ))
    .sure("as good as the two readings")
    .unless(format!("{} flats at one adjuster straighten it", signed(get("flats"), 1)))
    .says("slack.alignment");
    Ok(vec![allowed, skew])
}
