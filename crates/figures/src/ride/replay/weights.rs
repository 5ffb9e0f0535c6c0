//! The weights of the gear choice: the tool's own, or some of them as somebody else would set them.

use measure::Bound;
use measure::bounds::gearing::{COST_WEIGHT, LEAST_DEMAND};
use ride::replay::Weights;
use serde_json::{Value, json};

use crate::gearing::counts::{self, unfit};
use crate::{Field, Given, Refusal};

/// Members that are not given keep the tool's own value.
pub(super) const WEIGHTS: Field = Field::nested("weights").optional("the tool's own").meaning(
    "of the gear choice, those that shall differ: clutch_slip, comfort_band, missing_thrust, over_the_limiter, \
     never_beyond, one_gear_step, preferred_rpm (each 0 to 10 000), least_demand_n (1 to 10 000 N)",
);

/// One weight: its name, its bound, its place.
type Member = (&'static str, &'static Bound, fn(&mut Weights) -> &mut f64);

const MEMBERS: [Member; 8] = [
    ("clutch_slip", &COST_WEIGHT, |weights| &mut weights.slip),
    ("comfort_band", &COST_WEIGHT, |weights| &mut weights.band),
    ("missing_thrust", &COST_WEIGHT, |weights| &mut weights.thrust),
    ("over_the_limiter", &COST_WEIGHT, |weights| &mut weights.over),
    ("never_beyond", &COST_WEIGHT, |weights| &mut weights.hard),
    ("one_gear_step", &COST_WEIGHT, |weights| &mut weights.shift),
    ("preferred_rpm", &COST_WEIGHT, |weights| &mut weights.preference),
    ("least_demand_n", &LEAST_DEMAND, |weights| &mut weights.least_demand_n),
];

/// The weights to replay with.
pub(super) fn weights(given: &Given<'_>) -> Result<Weights, Refusal> {
    given.raw(WEIGHTS.name).map_or(Ok(Weights::OURS), |value| read(WEIGHTS.name, value))
}

/// Reads an object of weights; whatever is wrong inside is refused under `name`.
pub(super) fn read(name: &str, value: &Value) -> Result<Weights, Refusal> {
    let members = value.as_object().ok_or_else(|| unfit(name, value, "an object of weights"))?;
    let mut weights = Weights::OURS;
    for (key, value) in members {
        let Some((_, bound, place)) = MEMBERS.iter().find(|(known, ..)| known == key) else {
            let known: Vec<&str> = MEMBERS.iter().map(|(known, ..)| *known).collect();
            let text = format!("{name}: {key} is no weight; possible: {}.", known.join(", "));
            return Err(Refusal::new(name, "unknown", text));
        };
        *place(&mut weights) = counts::real(name, value, bound)?;
    }
    Ok(weights)
}

/// The weights as they are answered.
pub(super) fn worded(mut weights: Weights) -> Value {
    MEMBERS.iter().map(|(name, _, place)| ((*name).to_owned(), json!(*place(&mut weights)))).collect()
}
