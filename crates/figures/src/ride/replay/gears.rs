//! `ride.gears`: the gear second by second.

use measure::bounds::gearing as bounds;
use ride::replay::gears;

use super::question::{MACHINE, STEP_S, machine, riding};
use crate::gearing::bike::{self, Bike, FRONT_TEETH, POWER_FACTOR, REAR_TEETH, SLIP};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const GEARS: Figure = Figure {
    name: "ride.gears",
    says: "The gear that a rider would take, sample by sample, for a speed and a thrust over time.",
    given: &[
        Field::object("bike", &bike::needing(&MACHINE)),
        FRONT_TEETH,
        REAR_TEETH,
        Field::numbers("speed_mps", &bounds::MOVING_MPS).meaning("at even steps, under way all the time"),
        Field::numbers("thrust_n", &bounds::THRUST).meaning("thrust used, ride.demand answers it"),
        STEP_S,
        SLIP,
        POWER_FACTOR,
    ],
    answer: &[
        ("gears", "the gear of each sample, from 1"),
        ("rpm", "its engine speed as the wheel turns it"),
        ("cost", "cost of the whole run"),
        ("shifts", "gear steps"),
    ],
    formula: "least Σ c dt + 0.6 Σ |g − g'|; c = 0.2 ln²(n/n_t) + 3 (1 − n/n_slip)⁺ + ((n_lo − n)/n_lo)⁺² + ((n − n_hi)/(n_max − n_hi))⁺² + 5 short/max(F, 200) + 20 (n/n_max − 1)⁺ + 1000 (n/n_hard − 1)⁺; n_t rises from lo_rpm to hi_rpm with the share of the largest power",
    sources: &["replay-weights", "pchip", "gearing"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let bike = Bike::of(given, "bike", "bike.")?;
    let pair = bike::pair(given, "front_teeth", "rear_teeth")?;
    let (speed_mps, thrust_n) = (given.numbers("speed_mps"), given.numbers("thrust_n"));
    if speed_mps.is_empty() {
        let text = "speed_mps is empty. Give the speed of at least one sample.";
        return Err(Refusal::new("speed_mps", "empty", text));
    }
    if speed_mps.len() != thrust_n.len() {
        let text = format!(
            "thrust_n has {} values, speed_mps {}. Give two lists of one length.",
            thrust_n.len(),
            speed_mps.len()
        );
        return Err(Refusal::new("thrust_n", "wrong_length", text));
    }
    let chosen = gears(&machine(&bike)?, &riding(given), pair, &speed_mps, &thrust_n);
    Ok(Answer::new()
        .json("gears", chosen.gears.iter().map(|gear| gear + 1).collect::<Vec<_>>())
        .json("rpm", chosen.rpm)
        .num("cost", chosen.cost)
        .whole("shifts", chosen.shifts))
}
