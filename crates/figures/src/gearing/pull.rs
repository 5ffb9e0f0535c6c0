//! `gearing.thrust` and `gearing.top_speed`: what the engine does at the wheel.

use drive::gearing::{speed_kmh, wheel_thrust_n};
use measure::bounds::gearing as bounds;
use ride::replay::{Climb, Limit, Load, top_speed};
use serde_json::json;

use super::bike::{self, Bike, DENSITY, DENSITY_DEFAULT, FRONT_TEETH, POWER_FACTOR, REAR_TEETH, SLIP};
use super::engine::outside;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const THRUST: Figure = Figure {
    name: "gearing.thrust",
    says: "Force at the rear wheel in every gear at one engine speed.",
    given: &[
        Field::object("bike", &bike::needing(&["curve", "eta"])),
        FRONT_TEETH,
        REAR_TEETH,
        Field::number("rpm", &bounds::ENGINE_RPM),
        POWER_FACTOR,
    ],
    answer: &[
        ("torque_nm", "torque of the engine, before power_factor"),
        ("gears", "for each gear from first: gear, speed_kmh, thrust_n at the wheel"),
    ],
    formula: "F = power_factor · T(n) · i · η/(U/2π)",
    sources: &["pchip", "gearing"],
    ask: ask_thrust,
};

fn ask_thrust(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bike = Bike::of(given, "bike", "bike.")?;
    let (curve, eta) = (bike.curve()?, bike.num("eta")?);
    let pair = bike::pair(given, "front_teeth", "rear_teeth")?;
    let (rpm, factor) = (given.num("rpm")?, given.num_or("power_factor", 1.0));
    let torque = curve.torque_nm(rpm);
    let gears: Vec<_> = (1..)
        .zip(bike.gearbox.totals(pair))
        .map(|(gear, total): (u32, f64)| {
            json!({
                "gear": gear,
                "speed_kmh": speed_kmh(rpm, total, bike.rollout_m, 0.0),
                "thrust_n": wheel_thrust_n(factor * torque, total, eta, bike.rollout_m),
            })
        })
        .collect();
    Ok(outside(Answer::new().num("torque_nm", torque).json("gears", gears), curve, rpm))
}

/// Default of `crr`.
const CRR_DEFAULT: f64 = 0.025;

pub(super) const TOP_SPEED: Figure = Figure {
    name: "gearing.top_speed",
    says: "The largest ground speed at which some gear still pulls.",
    given: &[
        Field::object("bike", &bike::needing(&["curve", "eta", "mass_kg", "cda_m2", "slip_rpm", "max_rpm"])),
        FRONT_TEETH,
        REAR_TEETH,
        Field::number("crr", &bounds::CRR).optional("0.025"),
        DENSITY,
        SLIP,
        POWER_FACTOR,
        Field::number("grade", &bounds::GRADE).optional("0").meaning("rise over run"),
    ],
    answer: &[
        ("top_kmh", "top speed on the ground; 0 where no gear pulls"),
        ("gear", "the gear of it; null where no gear pulls"),
        ("rpm", "its engine speed"),
        ("geared_kmh", "ground speed at the limiter in top gear"),
        ("limited_by", "revs (the limiter in top gear) or thrust"),
    ],
    formula: "largest v with power_factor T(n) i η/r ≥ m g sin θ + crr m g cos θ + ½ ρ CdA v², over the gears, from the limiter down",
    sources: &["longitudinal", "pchip", "gearing"],
    ask: ask_top,
};

fn ask_top(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bike = Bike::of(given, "bike", "bike.")?;
    let pair = bike::pair(given, "front_teeth", "rear_teeth")?;
    let climb = Climb {
        load: Load { mass_kg: bike.num("mass_kg")?, cda_m2: bike.num("cda_m2")? },
        curve: bike.curve()?,
        eta: bike.num("eta")?,
        rollout_m: bike.rollout_m,
        slip_rpm: bike.num("slip_rpm")?,
        max_rpm: bike.num("max_rpm")?,
        crr: given.num_or("crr", CRR_DEFAULT),
        density_kgm3: given.num_or("density_kgm3", DENSITY_DEFAULT),
        slip: given.num_or("slip", 0.0),
        power_factor: given.num_or("power_factor", 1.0),
        grade: given.num_or("grade", 0.0),
    };
    let top = top_speed(&climb, &bike.gearbox.totals(pair));
    let gear = top.gear.map_or(serde_json::Value::Null, |(gear, _)| json!(gear + 1));
    let word = match top.limit {
        Limit::Revs => "revs",
        Limit::Thrust => "thrust",
    };
    Ok(Answer::new()
        .num("top_kmh", top.speed_mps * 3.6)
        .json("gear", gear)
        .num_or_null("rpm", top.gear.map(|(_, rpm)| rpm))
        .num("geared_kmh", top.geared_mps * 3.6)
        .text("limited_by", word)
        .notice_if(top.gear.is_none(), "cannot_pull", || {
            format!("No gear pulls a grade of {} with rolling resistance {}.", climb.grade, climb.crr)
        }))
}
