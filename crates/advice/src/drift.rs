//! How a rider's own speeds moved over the rides on like ground: the first of them against the latest.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::ask::Gap;
use crate::demand::{self, Demand, Ride};
use crate::fact::{Cell, Column, Table};
use crate::rides::{Rides, Weighed};
use crate::words::{count, kmh, signed};
use crate::{Block, Setup, ground};

/// Fewer rides than these show no drift.
const FEWEST: usize = 4;

/// One ride of the row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Seen {
    /// Its name.
    pub name: String,
    /// Its day.
    pub day: String,
    /// Half of its moving time was slower, km/h.
    pub median_kmh: f64,
    /// 99.5 % of its moving time was slower, km/h.
    pub fast_kmh: f64,
}

/// The drift of a rider's speeds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DriftView {
    /// Ride by ride, the oldest first.
    pub rides: Vec<Seen>,
    /// Median speed of the first and of the latest rides, km/h; none where they are too few.
    pub median_kmh: Option<[f64; 2]>,
    /// The sentence.
    pub headline: String,
    /// Ride by ride.
    pub table: Table,
    /// What to know.
    pub notes: Vec<String>,
}

/// Lays rides on like ground beside each other, the oldest first.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, rides: &[&Ride]) -> Result<DriftView, Gap> {
    let fitted = Setup::fitted(bike)?;
    let on = |ride: &Ride| demand::of(bike, ride, ride.fitted.unwrap_or(fitted));
    let demands = rides.iter().map(|ride| on(ride)).collect::<Result<Vec<Demand>, _>>()?;
    let third = rides.len() / 3;
    let ends = if rides.len() < FEWEST {
        None
    } else {
        let pooled = |some: &[&Ride]| joined(some).map(|ride| demand::of(bike, &ride, fitted)).transpose();
        pooled(&rides[..third.max(1)])?.zip(pooled(&rides[rides.len() - third.max(1)..])?)
    };
    Ok(DriftView {
        headline: headline(ends.as_ref(), third.max(1), rides.len()),
        median_kmh: ends.as_ref().map(|(first, last)| [first.median_kmh, last.median_kmh]),
        table: table(rides, &demands, fitted),
        rides: rides.iter().zip(&demands).map(|(ride, demand)| seen(ride, demand)).collect(),
        notes: vec![
            "Speeds drift as a rider gets better, with trail and weather, too: compare rides of one loop.".to_owned(),
            "Where they rise, let recent rides count more: a half-life in days on the page of pairs.".to_owned(),
        ],
    })
}

/// Rides laid end to end.
fn joined(rides: &[&Ride]) -> Option<Ride> {
    let all = rides.iter().map(|ride| Weighed { ride, ground: ground::USUAL, weight: 1.0, age_d: None });
    Rides { all: all.collect(), ..Rides::default() }.joined()
}

fn seen(ride: &Ride, demand: &Demand) -> Seen {
    let (median_kmh, fast_kmh) = (demand.median_kmh, demand.fast_kmh);
    Seen { name: ride.name.clone(), day: ride.day.clone(), median_kmh, fast_kmh }
}

fn headline(ends: Option<&(Demand, Demand)>, third: usize, all: usize) -> String {
    let Some((first, last)) = ends else {
        return format!("Your own speeds: {} on this ground; {FEWEST} are needed to see a drift.", count(all, "ride"));
    };
    let pct = |from: f64, to: f64| format!("{} %", signed(100.0 * (to / from - 1.0), 0));
    format!(
        "Your own speeds, {}: median {} → {} ({}), fast end {} → {} ({}).",
        if third == 1 {
            "the first ride against the latest".to_owned()
        } else {
            format!("the first {third} rides against the latest {third}")
        },
        kmh(first.median_kmh),
        kmh(last.median_kmh),
        pct(first.median_kmh, last.median_kmh),
        kmh(first.fast_kmh),
        kmh(last.fast_kmh),
        pct(first.fast_kmh, last.fast_kmh)
    )
}

fn table(rides: &[&Ride], demands: &[Demand], fitted: Setup) -> Table {
    let columns = vec![
        Column::words("ride", "Ride"),
        Column::words("day", "Day"),
        Column::words("pair", "Ridden on"),
        Column::of("median_kmh", "Median", "km/h"),
        Column::of("fast_kmh", "Fast end", "km/h"),
    ];
    let mut table = Table::new("drift", "Your own speeds ride by ride", columns);
    table.rows.extend(rides.iter().zip(demands).map(|(ride, demand)| {
        let pair = match ride.fitted {
            Some(setup) => setup.pair_words(),
            None => format!("not kept, {} taken", fitted.pair_words()),
        };
        vec![
            Cell::words(ride.name.clone()),
            Cell::words(ride.day.clone()),
            Cell::words(pair),
            Cell::of(demand.median_kmh, "km/h", 1),
            Cell::of(demand.fast_kmh, "km/h", 1),
        ]
    }));
    table
}

impl DriftView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Your own speeds"),
            Block::Text(self.headline.clone()),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}
