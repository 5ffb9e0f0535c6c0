//! `gearing.speeds`: what a pair does in every gear.

use drive::gearing::{overlap_kmh, rpm_at, speed_kmh, step};
use measure::bounds::gearing as bounds;
use measure::shown::quantity;
use serde_json::{Map, Value};

use super::bike::{self, FRONT_TEETH, GEARS, PRIMARY, REAR_TEETH, ROLLOUT_M, SLIP};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const SPEEDS: Figure = Figure {
    name: "gearing.speeds",
    says: "Ground speed, engine speed, step and overlap of every gear with a pair.",
    given: &[
        PRIMARY,
        GEARS,
        FRONT_TEETH,
        REAR_TEETH,
        ROLLOUT_M,
        Field::number("rpm", &bounds::ENGINE_RPM).optional("none").meaning("this or speed_kmh, or both"),
        Field::number("speed_kmh", &bounds::SPEED_KMH).optional("none"),
        SLIP,
        Field::number("idle_rpm", &bounds::ENGINE_RPM).optional("none"),
        Field::number("slip_rpm", &bounds::ENGINE_RPM).optional("none").meaning("clutch fully out from here"),
        Field::number("lo_rpm", &bounds::ENGINE_RPM).optional("none").meaning("lower end of the band used"),
        Field::number("max_rpm", &bounds::ENGINE_RPM).optional("none").meaning("limiter"),
    ],
    answer: &[
        (
            "gears",
            "for each gear from first: gear, total_ratio, speed_kmh at rpm, rpm at speed_kmh, step_pct to the next, upshift_rpm after changing up at max_rpm, overlap_kmh with the next between lo_rpm and max_rpm",
        ),
        ("crawl_idle_kmh", "slowest without the clutch, first gear at idle_rpm"),
        ("crawl_slip_kmh", "first gear at slip_rpm"),
    ],
    formula: "i = primary · gear · rear/front; v = n/i · U · 0.06 · (1 − s); n = v/(1 − s)/0.06/U · i; step = i_g/i_{g+1} − 1",
    sources: &["gearing"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let gearbox = bike::gearbox(given)?;
    let pair = bike::pair(given, "front_teeth", "rear_teeth")?;
    let (rpm, speed) = (given.opt("rpm"), given.opt("speed_kmh"));
    if rpm.is_none() && speed.is_none() {
        let text = "rpm is missing, and speed_kmh too. Give the engine speed, the ground speed, or both.";
        return Err(Refusal::new("rpm", "missing", text));
    }
    let (lo_rpm, max_rpm) = (given.opt("lo_rpm"), given.opt("max_rpm"));
    if let (Some(lo), Some(max)) = (lo_rpm, max_rpm)
        && lo >= max
    {
        return Err(bike::not_above("max_rpm", max, "lo_rpm", lo));
    }
    let (rollout, slip) = (given.num("rollout_m")?, given.num_or("slip", 0.0));
    let totals = gearbox.totals(pair);
    let mut gears = Vec::with_capacity(totals.len());
    let mut hole = None;
    for (at, total) in totals.iter().enumerate() {
        let mut gear = Map::new();
        gear.insert("gear".to_owned(), Value::from(at + 1));
        let mut put = |name: &str, value: f64| gear.insert(name.to_owned(), Value::from(value));
        put("total_ratio", *total);
        rpm.map(|rpm| put("speed_kmh", speed_kmh(rpm, *total, rollout, slip)));
        speed.map(|speed| put("rpm", rpm_at(speed, *total, rollout, slip)));
        if let Some(next) = totals.get(at + 1) {
            let step = step(gearbox.gears()[at], gearbox.gears()[at + 1]);
            put("step_pct", step.pct);
            max_rpm.map(|max| put("upshift_rpm", step.upshift_rpm(max)));
            if let (Some(lo), Some(max)) = (lo_rpm, max_rpm) {
                let overlap = overlap_kmh([*total, *next], lo, max, rollout, slip);
                put("overlap_kmh", overlap);
                if overlap < 0.0 && hole.is_none() {
                    hole = Some((at + 1, -overlap));
                }
            }
        }
        gears.push(Value::Object(gear));
    }
    let crawl = |name: &str| given.opt(name).map(|rpm| speed_kmh(rpm, totals[0], rollout, slip));
    let mut answer = Answer::new()
        .json("gears", gears)
        .num_if("crawl_idle_kmh", crawl("idle_rpm"))
        .num_if("crawl_slip_kmh", crawl("slip_rpm"));
    if let Some((gear, kmh)) = hole {
        answer = answer.notice(
            "hole",
            format!(
                "Between gear {gear} and gear {} lie {} that neither reaches in its band.",
                gear + 1,
                quantity(kmh, "km/h", 1)
            ),
        );
    }
    Ok(answer)
}
