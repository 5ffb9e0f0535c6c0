//! `ride.demand`: what one moment of a ride asks of the rear wheel.

use measure::bounds::gearing as bounds;
use measure::bounds::ride::GROUND_SPEED;
use ride::replay::Moment;

use super::question::{BODY, CRR, MU, body, ground};
use crate::gearing::bike::{self, Bike, DENSITY, FRONT_TEETH, REAR_TEETH};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const DEMAND: Figure = Figure {
    name: "ride.demand",
    says: "What a moment of a ride asks of the rear wheel, force by force, and what the ground holds.",
    given: &[
        Field::object("bike", &bike::needing(&BODY)).meaning("with gear also j_engine_kgm2 and eta"),
        Field::number("speed_mps", &GROUND_SPEED),
        Field::number("grade", &bounds::GRADE).optional("0").meaning("rise over run"),
        Field::number("accel_mps2", &bounds::ACCEL).optional("0"),
        CRR,
        MU,
        DENSITY,
        Field::whole("gear", &bounds::GEARS).optional("none").meaning("then the engine's inertia counts too"),
        FRONT_TEETH.optional("needed with gear"),
        REAR_TEETH.optional("needed with gear"),
    ],
    answer: &[
        ("rotating_mass_kg", "mass that the turning parts add"),
        ("inertia_n", "to speed up"),
        ("grade_n", "against the slope"),
        ("rolling_n", "against the ground; 0 at rest"),
        ("drag_n", "against the air"),
        ("thrust_n", "all of it, at the rear wheel"),
        ("rear_load_n", "load on the rear wheel"),
        ("grip_n", "the most that the ground holds"),
        ("used_n", "what can be used of the thrust"),
    ],
    formula: "F = (m + m_rot) a + m g sin θ + [v>0] crr m g cos θ + ½ ρ CdA v²; N = (m g cos θ a_f + (m a + m g sin θ) h + ½ ρ CdA v² h_a)/L within 0 … m g cos θ; used = min(F, μ N)",
    sources: &["longitudinal"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bike = Bike::of(given, "bike", "bike.")?;
    let body = body(&bike)?;
    let engine_kg = match given.opt_whole("gear") {
        Some(gear) => {
            let (engine, eta) = (bike.num("j_engine_kgm2")?, bike.num("eta")?);
            let totals = bike.gearbox.totals(bike::pair(given, "front_teeth", "rear_teeth")?);
            let total = usize::try_from(gear).ok().and_then(|gear| totals.get(gear.checked_sub(1)?));
            let total = total.ok_or_else(|| no_gear(gear, totals.len()))?;
            body.engine_mass_kg(engine, *total, eta)
        }
        None => 0.0,
    };
    let moment = Moment {
        speed_mps: given.num("speed_mps")?,
        grade: given.num_or("grade", 0.0),
        accel_mps2: given.num_or("accel_mps2", 0.0),
    };
    let forces = body.forces(&ground(given)?, &moment, engine_kg);
    Ok(Answer::new()
        .num("rotating_mass_kg", forces.rotating_mass_kg)
        .num("inertia_n", forces.inertia_n)
        .num("grade_n", forces.resistance.grade_n)
        .num("rolling_n", forces.resistance.rolling_n)
        .num("drag_n", forces.resistance.drag_n)
        .num("thrust_n", forces.thrust_n)
        .num("rear_load_n", forces.rear_load_n)
        .num("grip_n", forces.grip_n)
        .num("used_n", forces.used_n)
        .notice_if(forces.front_lifts, "front_wheel_lifts", || {
            format!("The whole {:.0} N press on the rear wheel: the front wheel would lift.", forces.rear_load_n)
        })
        .notice_if(forces.grip_limited(), "grip_limited", || {
            format!("{:.0} N are asked, the ground holds {:.0} N: no pair mends that.", forces.thrust_n, forces.grip_n)
        }))
}

fn no_gear(gear: u32, gears: usize) -> Refusal {
    Refusal::new("gear", "out_of_range", format!("gear is {gear}; this box has 1 to {gears}. Name one of them."))
}
