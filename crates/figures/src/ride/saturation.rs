//! `ride.saturation`: whether the gearing fitted on a ride held it back.

use drive::gearing::speed_kmh;
use measure::Speed;
use measure::bounds::ride as bounds;
use measure::shown::quantity;
use ride::profile::saturation;
use serde_json::json;

use super::stops::{SPEED_MPS, T_S, given_speeds};
use crate::gearing::bike::{FRONT_TEETH, GEARS, PRIMARY, REAR_TEETH, ROLLOUT_M, SLIP, gearbox, pair};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "ride.saturation",
    says: "Where a ride was held at the limiter in top: a taller pair would have let it go faster.",
    given: &[
        T_S,
        SPEED_MPS,
        PRIMARY,
        GEARS,
        ROLLOUT_M,
        FRONT_TEETH.meaning("fitted on that ride"),
        REAR_TEETH.meaning("fitted on that ride"),
        Field::number("max_rpm", &bounds::LIMITER),
        SLIP,
    ],
    answer: &[
        ("limit_kmh", "ground speed at the limiter in top, km/h"),
        ("episodes", "begin and end of each episode, s"),
        ("saturated_s", "time inside episodes, s"),
        ("saturated", "whether there is any"),
    ],
    formula: "unbroken samples of at least 98 % of the limit, lasting more than 5 s; limit = max_rpm / total ratio · \
              rollout / 60 · (1 − slip)",
    sources: &["ours", "geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let gearbox = gearbox(given)?;
    let totals = gearbox.totals(pair(given, "front_teeth", "rear_teeth")?);
    let (t_s, speed_mps) = given_speeds(given)?;
    let top = totals.last().copied().unwrap_or(f64::NAN);
    let limit_kmh = speed_kmh(given.num("max_rpm")?, top, given.num("rollout_m")?, given.num_or("slip", 0.0));
    let found = saturation(&t_s, &speed_mps, Speed::from_kmh(limit_kmh));
    let held = !found.episodes_s.is_empty();
    let text = || {
        format!(
            "For {} s the ride was held at the limiter, {} on the fitted pair: its top speed was limited by \
             the gearing, and a replay cannot show what a taller pair would have reached.",
            found.saturated_s,
            quantity(limit_kmh, "km/h", 0)
        )
    };
    Ok(Answer::new()
        .num("limit_kmh", limit_kmh)
        .json("episodes", json!(found.episodes_s))
        .num("saturated_s", found.saturated_s)
        .flag("saturated", held)
        .notice_if(held, "top_speed_was_limited_by_gearing", text))
}
