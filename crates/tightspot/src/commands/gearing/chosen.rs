//! The rides that were named at the terminal, with weight and age.

use advice::cost::{COSTS, Costs};
use advice::demand::Ride;
use advice::rides::{Rides, Weighed, ground_of};
use advice::shelf::Shelf;
use jiff::civil::Date;
use measure::bounds::gearing as gearing_bounds;
use upkeep::bike::Bike;

use super::args::RidesArgs;
use crate::args::Place;
use crate::asked::{Door, Faulty, ground};
use crate::garage::Garage;
use crate::problem::Problem;

/// Rides, owned, with what was said about them.
pub(super) struct Chosen {
    rides: Vec<(Ride, f64, Option<f64>)>,
    ground: Option<advice::ground::Ground>,
    half_life_d: Option<f64>,
    costs: Costs,
}

impl Chosen {
    /// The rides that were named, or all of them.
    ///
    /// # Errors
    /// A ride that is not there, a weight that is none, an age that is not known where it counts.
    pub(super) fn of(place: &Place, garage: &Garage, bike: &Bike, args: &RidesArgs) -> Result<Self, Problem> {
        let mut door = Door::of_command();
        let half_life_d = door.number("half_life_d", args.half_life.as_deref(), &gearing_bounds::HALF_LIFE);
        let costs = costs(&mut door, &args.cost);
        door.closed()?;
        let wanted = args.ground.as_deref().map(|word| ground(Some(word))).transpose()?;
        let today = Garage::clock(place).date();
        let mut rides = Vec::new();
        if args.all {
            for ride in garage.ridden(bike)? {
                let own = ground_of(Some(&ride.ground), None);
                if wanted.is_none_or(|wanted| wanted == own) {
                    let age_d = age(&ride, today);
                    rides.push((ride, 1.0, age_d));
                }
            }
            if rides.is_empty() {
                return Err(Problem::failed(
                    "No stored ride on that ground has a track. Bring some: tightspot ride import FOLDER --ground WORD",
                ));
            }
        }
        for named in &args.ride {
            let (ride, weight) = weighed(garage, bike, named)?;
            let age_d = age(&ride, today);
            rides.push((ride, weight, age_d));
        }
        if let Some((ride, ..)) = rides.iter().find(|(.., age_d)| half_life_d.is_some() && age_d.is_none()) {
            let text = format!(
                "The day of \"{}\" is not known, so its age cannot count. Import it, or leave --half-life out.",
                ride.name
            );
            return Err(Problem::usage(text));
        }
        Ok(Self { rides, ground: wanted, half_life_d, costs })
    }

    /// The rides as the answers take them.
    pub(super) fn rides(&self) -> Rides<'_> {
        let all = self.rides.iter().map(|(ride, weight, age_d)| {
            let ground = ground_of(Some(&ride.ground), self.ground);
            Weighed { ride, ground, weight: *weight, age_d: *age_d }
        });
        Rides { all: all.collect(), half_life_d: self.half_life_d, costs: self.costs.clone() }
    }
}

/// Weights of the gear choice, each as `name=number`.
fn costs(door: &mut Door, typed: &[String]) -> Costs {
    let mut set = Vec::new();
    for one in typed {
        let (name, number) = one.split_once('=').unwrap_or((one, ""));
        match COSTS.iter().find(|cost| cost.name == name.trim()) {
            Some(cost) => set.extend(door.number(cost.name, Some(number), cost.bound).map(|value| (cost.name, value))),
            None => {
                let known = COSTS.map(|cost| cost.name).join(", ");
                let text = format!("cost: \"{one}\" is no weight as name=number; names: {known}.");
                door.faults.push(Faulty { field: "cost", text });
            }
        }
    }
    Costs::of(&set)
}

/// Days from a ride's day to today; none if the day is not known.
fn age(ride: &Ride, today: Date) -> Option<f64> {
    let day: Date = ride.day.parse().ok()?;
    let days = today.since(day).ok()?.get_days();
    Some(f64::from(days.max(0)))
}

/// A ride by name or file, with the weight behind the last colon.
fn weighed(garage: &Garage, bike: &Bike, named: &str) -> Result<(Ride, f64), Problem> {
    let tail = named.rsplit_once(':').filter(|(name, tail)| {
        !name.is_empty() && tail.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '−')
    });
    match tail {
        // A name may itself end like a weight: what is there under the whole name comes first.
        Some((name, tail)) if !garage.knows_ride(bike, named)? => {
            let mut door = Door::of_command();
            let weight = door.number("weight", Some(tail), &gearing_bounds::RIDE_WEIGHT);
            door.closed()?;
            Ok((garage.ride(bike, name)?, weight.unwrap_or(1.0)))
        }
        _ => Ok((garage.ride(bike, named)?, 1.0)),
    }
}

/// What lies on the shelf.
///
/// # Errors
/// A count that is none.
pub(super) fn shelf(typed: Option<&str>) -> Result<Shelf, Problem> {
    let mut door = Door::of_command();
    let shelf = door.shelf(typed);
    door.closed()?;
    Ok(shelf)
}
