//! `ride.known_gears`: the gears of a logger's ride, from engine speed and ground speed.

use ::ride::shares::{Drive, known};
use measure::bounds::gearing as bounds;
use measure::bounds::ride::{GEAR_TOLERANCE, GROUND_SPEED, LOGGED_RPM};

use crate::gearing::bike::{self, FRONT_TEETH, GEARS, PRIMARY, REAR_TEETH, ROLLOUT_M, SLIP};
use crate::{Answer, Field, Figure, Given, Refusal};

/// How far a ratio may lie from a gear's where nothing is said, percent.
const USUAL_PCT: f64 = 5.0;

pub(super) const FIGURE: Figure = Figure {
    name: "ride.known_gears",
    says: "Which gear was in, sample by sample, from recorded engine speed and ground speed; and how far a model is from it.",
    given: &[
        PRIMARY,
        GEARS,
        FRONT_TEETH,
        REAR_TEETH,
        ROLLOUT_M,
        SLIP,
        Field::numbers("speed_mps", &GROUND_SPEED).meaning("ground speed"),
        Field::numbers("rpm", &LOGGED_RPM).meaning("engine speed of the same samples"),
        Field::number("tolerance_pct", &GEAR_TOLERANCE)
            .optional("5")
            .meaning("how far the ratio may lie from a gear's and still be that gear"),
        Field::numbers("model_gear_pct", &bounds::SHARE_PCT)
            .optional("none")
            .meaning("share of time in each gear by a model, first gear first"),
    ],
    answer: &[
        ("gears", "gear of each sample, from 1; 0 where none is known: clutch slipping, wheel spinning, standing"),
        ("gear_pct", "share of the known samples in each gear, first gear first"),
        ("known_pct", "share of the moving samples whose gear is known"),
        ("moving", "samples of 0.5 m/s or more"),
        ("misfit_pct", "half the sum of the differences to model_gear_pct, if given and any gear is known"),
    ],
    formula: "i = n U (1 − s)/(60 v); the gear nearest in ln i, if |i/i_g − 1| is within the tolerance",
    sources: &["gearing", "ours"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let totals = bike::gearbox(given)?.totals(bike::pair(given, "front_teeth", "rear_teeth")?);
    let (rpm, speed_mps) = (given.numbers("rpm"), given.numbers("speed_mps"));
    if rpm.len() != speed_mps.len() {
        let text =
            format!("rpm has {} values, speed_mps {}. Give both for the same samples.", rpm.len(), speed_mps.len());
        return Err(Refusal::new("rpm", "wrong_length", text));
    }
    let model = given.has("model_gear_pct").then(|| given.numbers("model_gear_pct"));
    if let Some(model) = model.as_ref().filter(|model| model.len() != totals.len()) {
        let text =
            format!("model_gear_pct has {} values for {} gears. Give one for each gear.", model.len(), totals.len());
        return Err(Refusal::new("model_gear_pct", "wrong_length", text));
    }
    let drive = Drive {
        rollout_m: given.num("rollout_m")?,
        slip: given.num_or("slip", 0.0),
        tolerance: given.num_or("tolerance_pct", USUAL_PCT) / 100.0,
    };
    let found = known(&rpm, &speed_mps, &totals, drive).ok_or_else(|| {
        let text = "speed_mps holds no sample of 0.5 m/s or more: nothing moves. Give a ride that moves.";
        Refusal::new("speed_mps", "nothing_moves", text)
    })?;
    let misfit = model.filter(|_| found.known_pct > 0.0).map(|model| {
        let apart = found.gear_pct.iter().zip(&model).map(|(known, model)| (known - model).abs());
        0.5 * apart.sum::<f64>()
    });
    let none = found.known_pct <= 0.0;
    Ok(Answer::new()
        .json("gears", found.gears)
        .json("gear_pct", found.gear_pct)
        .num("known_pct", found.known_pct)
        .json("moving", found.moving)
        .num_if("misfit_pct", misfit)
        .notice_if(none, "no_gear_known", || {
            "No sample's ratio is that of a gear: check the fitted pair, the rollout and the rpm channel.".to_owned()
        }))
}
