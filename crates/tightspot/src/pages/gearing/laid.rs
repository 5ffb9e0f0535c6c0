//! The rides that are laid against the pairs: which of them, how often each counts, on which ground.

use advice::cost::{COSTS, Costs};
use advice::demand::Ride;
use advice::ground::{self, Ground};
use advice::rides::{Rides, Weighed, ground_of};
use advice::shelf::Shelf;
use jiff::civil::Date;
use measure::bounds::gearing as bounds;
use store::RideId;
use upkeep::bike::Bike;

use super::kept::Brought;
use super::question::Question;
use crate::asked::{self, Door};
use crate::frame::field::Field;
use crate::serve::AppState;

/// The word for "without a ride" in the address.
pub(super) const NO_RIDE: &str = "none";
/// The word for "several, by their weights".
pub(super) const SEVERAL: &str = "several";
/// The beginning of the name of a ride's weight; its number follows.
const WEIGHT: &str = "weight_";

/// What lies on the shelf and need not be bought.
pub(super) const SHELF: Field<'static> = Field::text("shelf", "On the shelf")
    .hint("Teeth of sprockets, links of chains, such as 13, 50, 120. They need not be bought.")
    .optional();

/// The rides of a bike that have a track, newest first.
pub(super) fn with_track(state: &AppState, bike: &Bike) -> Vec<store::Ride> {
    let rides = state.garage().rides(&bike.id).unwrap_or_default();
    rides.iter().filter(|ride| ride.has_track).cloned().collect()
}

/// A ride with how much it counts.
pub(crate) struct One {
    /// The ride.
    pub(crate) brought: Brought,
    /// How often it counts.
    pub(super) weight: f64,
    /// How long ago it was, days.
    pub(super) age_d: Option<f64>,
}

/// The rides behind an answer, and what else it depends on.
#[derive(Default)]
pub(crate) struct Laid {
    /// At least one for an answer.
    pub(crate) all: Vec<One>,
    /// The ground that was asked for; else each ride's own.
    pub(super) ground: Option<Ground>,
    pub(super) half_life_d: Option<f64>,
    pub(super) costs: Costs,
    pub(super) shelf: Shelf,
}

impl Laid {
    /// One ride on its own ground.
    pub(crate) fn one(brought: Brought) -> Self {
        Self { all: vec![One { brought, weight: 1.0, age_d: None }], ..Self::default() }
    }

    /// The ground of a ride: what was asked, else what it was logged with, else the usual one.
    pub(super) fn ground_of(&self, one: &One) -> Ground {
        ground_of(one.brought.about.ground.as_deref(), self.ground)
    }

    /// The rides as the answers take them.
    pub(crate) fn rides(&self) -> Rides<'_> {
        let weighed = |one: &'_ One| (self.ground_of(one), one.weight, one.age_d);
        let all = self.all.iter().map(|one| {
            let (ground, weight, age_d) = weighed(one);
            Weighed { ride: &one.brought.ride, ground, weight, age_d }
        });
        Rides { all: all.collect(), half_life_d: self.half_life_d, costs: self.costs.clone() }
    }

    /// Those that count as one ride.
    pub(super) fn joined(&self) -> Option<Ride> {
        self.rides().joined()
    }

    /// Whether any of them was made, not ridden.
    pub(super) fn made(&self) -> bool {
        self.all.iter().any(|one| one.weight > 0.0 && one.brought.ride.made)
    }

    /// Reads which rides are asked about; every fault goes to the question.
    pub(super) fn asked(state: &AppState, question: &mut Question, rides: &[store::Ride]) -> Self {
        let mut door = Door::default();
        let half_life_d = door.number("half_life_d", question.text("half_life_d"), &bounds::HALF_LIFE);
        let costs = COSTS.map(|cost| (cost.name, door.number(cost.name, question.text(cost.name), cost.bound)));
        let costs: Vec<_> = costs.into_iter().filter_map(|(name, value)| Some((name, value?))).collect();
        let shelf = door.shelf(question.text("shelf"));
        question.fault_all(door.faults);
        let typed = question.text("ground").filter(|word| !word.trim().is_empty()).map(str::to_owned);
        let ground =
            typed.and_then(|word| asked::ground(Some(&word)).map_err(|faults| question.fault_all(faults)).ok());
        let wanted = wanted(question, rides);
        let today = state.clock().now().date();
        let mut all = Vec::new();
        for (id, weight) in wanted {
            match Brought::of(state, id) {
                Ok(brought) => {
                    let age_d = age(brought.about.day, today);
                    all.push(One { brought, weight, age_d });
                }
                Err(text) => question.fault_at("ride", text),
            }
        }
        Self { all, ground, half_life_d, costs: Costs::of(&costs), shelf }
    }
}

/// The name of a ride's weight in the form.
pub(super) fn weight_name(id: RideId) -> String {
    format!("{WEIGHT}{id}")
}

/// Days from a day to today; a day to come is today.
fn age(day: Date, today: Date) -> Option<f64> {
    Some(f64::from(today.since(day).ok()?.get_days().max(0)))
}

/// The rides asked for with their weights; the newest alone where the address says nothing of rides.
fn wanted(question: &mut Question, rides: &[store::Ride]) -> Vec<(RideId, f64)> {
    let weights = weights(question, rides);
    let Some(text) = question.text("ride").map(|text| text.trim().to_owned()) else {
        return rides.first().map(|ride| (ride.id, 1.0)).into_iter().collect();
    };
    if text == SEVERAL {
        let all: Vec<(RideId, f64)> =
            rides.iter().zip(&weights).map(|(ride, weight)| (ride.id, weight.unwrap_or(1.0))).collect();
        let counted: Vec<_> = all.into_iter().filter(|(_, weight)| *weight > 0.0).collect();
        if counted.is_empty() && !question.is_faulty() {
            let text = "Every ride has the weight 0: none counts. Give one of them a weight above 0.".to_owned();
            question.fault_at("ride", text);
        }
        return counted;
    }
    if weights.iter().any(Option::is_some) {
        let text = "Weights are given, but not several rides. Choose several, or empty the weights.".to_owned();
        question.fault_at("ride", text);
    }
    if text.is_empty() || text == NO_RIDE {
        return Vec::new();
    }
    let found = text.parse().ok().filter(|id| rides.iter().any(|ride| ride.id == *id));
    if found.is_none() {
        let text = format!("\"{text}\" is none of this bike's rides with a track. Choose one from the list, or none.");
        question.fault_at("ride", text);
    }
    found.map(|id| (id, 1.0)).into_iter().collect()
}

/// The weights that were typed, ride by ride.
fn weights(question: &mut Question, rides: &[store::Ride]) -> Vec<Option<f64>> {
    let mut all = Vec::with_capacity(rides.len());
    for ride in rides {
        let name = weight_name(ride.id);
        let mut door = Door::default();
        all.push(door.number("weight", question.text(&name), &bounds::RIDE_WEIGHT));
        let fault = door.faults.into_iter().next();
        question.weight_faults.extend(fault.map(|fault| {
            let text = fault.text.trim_start_matches("weight: ");
            (name, format!("“{}”: {text}", ride.about.name))
        }));
    }
    all
}

/// The grounds to choose from, the rides' own first.
pub(super) fn grounds() -> Vec<(&'static str, &'static str)> {
    std::iter::once(("", "as each ride was logged"))
        .chain(ground::GROUNDS.iter().map(|ground| (ground.word, ground.name)))
        .collect()
}
