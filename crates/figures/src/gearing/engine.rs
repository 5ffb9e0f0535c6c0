//! `engine.torque`: the curve through the rider's own points.

use std::f64::consts::PI;

use drive::engine::Curve;
use measure::bounds::gearing as bounds;

use super::bike;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const TORQUE: Figure = Figure {
    name: "engine.torque",
    says: "Torque and power of an engine at one speed, between the rider's own points.",
    given: &[
        Field::nested("curve").optional("power_curve").meaning("at least 3 points [rpm, Nm], rpm rising, 0 to 500 Nm"),
        Field::nested("power_curve").optional("curve").meaning("at least 3 points [rpm, kW], rpm rising, above 0 rpm"),
        Field::number("rpm", &bounds::ENGINE_RPM),
    ],
    answer: &[
        ("torque_nm", "torque; below the first point its torque, above the last 0"),
        ("power_kw", "power"),
        ("slope_nm_per_rpm", "how the torque changes with the speed; only inside the points"),
    ],
    formula: "monotone cubic through the points; from power T = 30000 P/(π n); P = T n π/30000",
    sources: &["pchip"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let curve = match (bike::curve(given, "curve")?, bike::power_curve(given, "power_curve")?) {
        (Some(curve), None) | (None, Some(curve)) => curve,
        _ => {
            let said = if given.has("curve") { "curve and power_curve are both given" } else { "curve is missing" };
            let text = format!("{said}. Give exactly one of curve (torque) and power_curve (power).");
            return Err(Refusal::new("curve", "one_of", text));
        }
    };
    let rpm = given.num("rpm")?;
    let torque = curve.torque_nm(rpm);
    let answer = Answer::new()
        .num("torque_nm", torque)
        .num("power_kw", torque * rpm * PI / 30_000.0)
        .num_if("slope_nm_per_rpm", curve.slope_nm_per_rpm(rpm));
    Ok(outside(answer, &curve, rpm))
}

/// Adds the notice of an engine speed outside the points.
pub(super) fn outside(answer: Answer, curve: &Curve, rpm: f64) -> Answer {
    let (first, last) = (curve.first_rpm(), curve.last_rpm());
    answer
        .notice_if(rpm < first, "below_curve", || {
            format!("{rpm} rpm lies below the first point of the curve ({first} rpm): its torque is taken.")
        })
        .notice_if(rpm > last, "above_curve", || {
            format!("{rpm} rpm lies above the last point of the curve ({last} rpm): no torque is counted.")
        })
}
