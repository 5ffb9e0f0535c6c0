//! The rides that an answer stands on: one, or several weighed by how much the next one looks like them.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::Setup;
use crate::ask::Gap;
use crate::cost::Costs;
use crate::demand::{self, Ride};
use crate::fact::{Cell, Column, Table};
use crate::ground::{self, Ground};
use crate::words::number;

/// A ride with how much it counts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weighed<'a> {
    /// The ride.
    pub ride: &'a Ride,
    /// The ground that it was on.
    pub ground: Ground,
    /// How often it counts; 0 leaves it out.
    pub weight: f64,
    /// How long ago it was, days; none if its day is not known.
    pub age_d: Option<f64>,
}

/// Rides with how much they count.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rides<'a> {
    /// At least one for an answer.
    pub all: Vec<Weighed<'a>>,
    /// The age at which a ride counts half; none: age does not count.
    pub half_life_d: Option<f64>,
    /// The weights of the gear choice.
    pub costs: Costs,
}

impl<'a> Rides<'a> {
    /// One ride alone.
    #[must_use]
    pub fn one(ride: &'a Ride, ground: Ground) -> Self {
        Self {
            all: vec![Weighed { ride, ground, weight: 1.0, age_d: None }],
            half_life_d: None,
            costs: Costs::default(),
        }
    }

    /// The rides that count.
    pub fn counted(&self) -> impl Iterator<Item = &Weighed<'a>> {
        self.all.iter().filter(|weighed| weighed.weight > 0.0)
    }

    /// Those that count laid end to end, each once: what speeds alone are read from.
    #[must_use]
    pub fn joined(&self) -> Option<Ride> {
        let mut rides = self.counted().map(|weighed| weighed.ride);
        let mut joined = rides.next()?.clone();
        let mut count = 1_u32;
        for ride in rides {
            count += 1;
            // A minute between two rides: no leg runs from one into the next.
            let shift_s =
                joined.t_s.last().copied().unwrap_or_default() + 60.0 - ride.t_s.first().copied().unwrap_or_default();
            joined.t_s.extend(ride.t_s.iter().map(|t_s| t_s + shift_s));
            joined.speed_mps.extend_from_slice(&ride.speed_mps);
            joined.accel_mps2.extend_from_slice(&ride.accel_mps2);
            joined.grade.extend_from_slice(&ride.grade);
            joined.grade_known &= ride.grade_known;
            joined.interval_s = joined.interval_s.max(ride.interval_s);
            joined.moving_s += ride.moving_s;
            joined.distance_m += ride.distance_m;
            joined.made |= ride.made;
            joined.name = format!("{count} rides");
        }
        Some(joined)
    }

    /// The grounds in words, each once.
    #[must_use]
    pub fn grounds(&self) -> String {
        let mut names: Vec<String> = Vec::new();
        for weighed in self.counted() {
            let name = weighed.ground.name.to_owned();
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join("; ")
    }
}

/// The ride's own ground, if it is one of the list; else the one asked for, else the usual one.
#[must_use]
pub fn ground_of(kept: Option<&str>, asked: Option<Ground>) -> Ground {
    asked.or_else(|| kept.and_then(ground::named)).unwrap_or(ground::USUAL)
}

/// What each ride counts and how fast it was.
///
/// # Errors
/// The field that is missing or impossible.
pub fn table(bike: &Bike, rides: &Rides<'_>, share_pct: &[f64], fitted: Setup) -> Result<Table, Gap> {
    let columns = vec![
        Column::words("ride", "Ride"),
        Column::words("day", "Day"),
        Column::words("ground", "Ground"),
        Column::numbers("weight", "Weight"),
        Column::numbers("share_pct", "Counts, %"),
        Column::of("median_kmh", "Median", "km/h"),
        Column::of("fast_kmh", "Fast end", "km/h"),
        Column::numbers("headroom_pct", "Headroom, %"),
    ];
    let mut table =
        Table::new("rides", format!("The rides behind the answer, laid against {}", fitted.pair_words()), columns);
    for (at, weighed) in rides.all.iter().enumerate() {
        let demand = demand::of(bike, weighed.ride, fitted)?;
        let day = if weighed.ride.day.is_empty() { "–".to_owned() } else { weighed.ride.day.clone() };
        table.rows.push(vec![
            Cell::words(weighed.ride.name.clone()),
            Cell::words(day),
            Cell::words(weighed.ground.word),
            Cell {
                text: number(weighed.weight, if weighed.weight.fract() == 0.0 { 0 } else { 2 }),
                value: Some(weighed.weight),
            },
            Cell::maybe(share_pct.get(at).copied(), 0),
            Cell::of(demand.median_kmh, "km/h", 1),
            Cell::of(demand.fast_kmh, "km/h", 1),
            Cell::signed(demand.headroom_pct, 0),
        ]);
    }
    Ok(table)
}
