//! The weights of the gear choice as a rider may set them: what each one prices, and the tool's own value.

use measure::Bound;
use measure::bounds::gearing::{COST_WEIGHT, LEAST_DEMAND};
use ride::replay::Weights;
use serde::Serialize;
use serde_json::{Map, Value};

/// One weight.
#[derive(Debug, Clone, Copy)]
pub struct Cost {
    /// Its name in figures, forms and addresses.
    pub name: &'static str,
    /// What it prices, for a person.
    pub words: &'static str,
    /// Its unit; empty for none.
    pub unit: &'static str,
    /// What is possible.
    pub bound: &'static Bound,
    /// The tool's own value.
    pub own: f64,
}

const fn cost(name: &'static str, words: &'static str, own: f64) -> Cost {
    Cost { name, words, unit: "", bound: &COST_WEIGHT, own }
}

/// Every weight, in the order in which it is shown.
pub const COSTS: [Cost; 8] = [
    cost("clutch_slip", "Clutch slips", Weights::OURS.slip),
    cost("comfort_band", "Outside the comfortable rpm", Weights::OURS.band),
    cost("missing_thrust", "Thrust is missing", Weights::OURS.thrust),
    cost("over_the_limiter", "Over the limiter", Weights::OURS.over),
    cost("never_beyond", "Beyond the highest rpm", Weights::OURS.hard),
    cost("one_gear_step", "A gear change", Weights::OURS.shift),
    cost("preferred_rpm", "Off the preferred rpm", Weights::OURS.preference),
    Cost {
        name: "least_demand_n",
        words: "Missing thrust counts against at least",
        unit: "N",
        bound: &LEAST_DEMAND,
        own: Weights::OURS.least_demand_n,
    },
];

/// The weights that differ from the tool's own.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Costs(Vec<(&'static str, f64)>);

impl Costs {
    /// Those of `set` that differ from the tool's own; what is no weight is left out.
    #[must_use]
    pub fn of(set: &[(&'static str, f64)]) -> Self {
        let differs = |name: &str, value: f64| {
            COSTS.iter().any(|cost| cost.name == name && (cost.own - value).abs() > f64::EPSILON)
        };
        Self(set.iter().copied().filter(|(name, value)| differs(name, *value)).collect())
    }

    /// Whether all are the tool's own.
    #[must_use]
    pub const fn is_own(&self) -> bool {
        self.0.is_empty()
    }

    /// As the figures take them.
    #[must_use]
    pub fn given(&self) -> Map<String, Value> {
        self.0.iter().map(|(name, value)| ((*name).to_owned(), Value::from(*value))).collect()
    }
}
