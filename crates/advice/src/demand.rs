//! What a ride asked of the gearing, in its first honest form: how fast it was ridden for how long, laid against
//! the gears. No gear is known from a track alone: a gear's share is a rule (`ride.shares`), not a record.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::Setup;
use crate::ask::{Gap, ask, from_sheet, with};
use crate::fact::{Cell, Column, Fact, Table};
use crate::words::{duration, kmh, pct, quantity};

/// A ride as the answers need it: its moving speeds on an even grid of seconds, and what is known of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ride {
    /// What the rider calls it.
    pub name: String,
    /// Seconds of each sample, on a grid of one second with holes where the track pauses.
    #[serde(skip)]
    pub t_s: Vec<f64>,
    /// Smoothed ground speed, m/s.
    #[serde(skip)]
    pub speed_mps: Vec<f64>,
    /// Acceleration along the way, m/s².
    #[serde(skip)]
    pub accel_mps2: Vec<f64>,
    /// Grade; 0 where it is not known.
    #[serde(skip)]
    pub grade: Vec<f64>,
    /// Whether the grade is known all along.
    pub grade_known: bool,
    /// Usual time between two recorded points, s.
    pub interval_s: f64,
    /// Moving time, s.
    pub moving_s: f64,
    /// Distance, m.
    pub distance_m: f64,
    /// Whether the shipped ride is made, not recorded.
    pub made: bool,
    /// What was fitted on that ride; none where it is not kept with it.
    pub fitted: Option<Setup>,
    /// The day on which it began; empty where it is not known.
    pub day: String,
    /// The ground in the rider's word; empty where none is kept with it.
    pub ground: String,
    /// What the rider wrote down of it; empty where nothing was.
    pub note: String,
}

/// The ride against one setup.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Demand {
    /// The ride's name.
    pub ride: String,
    /// The setup that it is laid against.
    pub setup: Setup,
    /// Share of moving time in each gear by the rule, first gear first, %.
    pub gear_pct: Vec<f64>,
    /// Share of moving time slower than first gear with the clutch fully out, %.
    pub below_crawl_pct: f64,
    /// Speed of first gear at the rpm where the clutch is fully out, km/h.
    pub crawl_kmh: f64,
    /// Tenth of the moving time was slower than this, km/h.
    pub slow_kmh: f64,
    /// Half of the moving time was slower than this, km/h.
    pub median_kmh: f64,
    /// 99.5 % of the moving time was slower than this, km/h.
    pub fast_kmh: f64,
    /// Top gear at the limiter, km/h.
    pub top_geared_kmh: f64,
    /// Top gear at the limiter above the ride's fast end, %.
    pub headroom_pct: f64,
    /// Share of moving time faster than top gear at the limiter, %.
    pub over_pct: f64,
    /// Moving time by speed: lower edge of the class in km/h, share in %.
    pub classes: Vec<[f64; 2]>,
}

/// Lays a ride against a setup.
///
/// # Errors
/// The field that is missing or impossible.
pub fn of(bike: &Bike, ride: &Ride, setup: Setup) -> Result<Demand, Gap> {
    let sheet = from_sheet(bike, &["primary", "gears", "rollout_m", "slip_rpm", "lo_rpm", "max_rpm"]);
    let given = with(setup.give_pair(sheet), "speed_mps", ride.speed_mps.clone());
    let answer = ask("ride.shares", &given)?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let list = |key: &str| answer.at(key).and_then(serde_json::Value::as_array).cloned().unwrap_or_default();
    Ok(Demand {
        ride: ride.name.clone(),
        setup,
        gear_pct: list("gear_pct").iter().filter_map(serde_json::Value::as_f64).collect(),
        below_crawl_pct: get("below_crawl_pct"),
        crawl_kmh: get("crawl_slip_kmh"),
        slow_kmh: get("slow_kmh"),
        median_kmh: get("median_kmh"),
        fast_kmh: get("fast_kmh"),
        top_geared_kmh: get("top_geared_kmh"),
        headroom_pct: get("headroom_pct"),
        over_pct: get("over_pct"),
        classes: list("classes").iter().filter_map(class).collect(),
    })
}

fn class(value: &serde_json::Value) -> Option<[f64; 2]> {
    Some([value.get("from_kmh")?.as_f64()?, value.get("pct")?.as_f64()?])
}

/// The demand in words.
#[must_use]
pub fn facts(demand: &Demand, ride: &Ride) -> Vec<Fact> {
    let made = if ride.made { "; this ride is synthetic, made for trying the tool" } else { "" };
    let sure = format!(
        "from {} of moving time over {}; speeds smoothed from positions, no gear recorded{made}",
        duration(ride.moving_s),
        quantity(ride.distance_m / 1000.0, "km", 1)
    );
    vec![
        Fact::new("fast_kmh", "Fast end of the ride", kmh(demand.fast_kmh), demand.fast_kmh)
            .because("99.5 % of the moving time was slower")
            .sure(sure.clone())
            .unless("a ride on other ground; a top speed that the fitted gearing held back")
            .says("ride.shares"),
        Fact::new("headroom_pct", "Headroom at the top", pct(demand.headroom_pct), demand.headroom_pct)
            .because(format!(
                "{} reaches {} at the limiter in top",
                demand.setup.pair_words(),
                kmh(demand.top_geared_kmh)
            ))
            .sure("wheel slip left out")
            .unless("another pair, another rollout")
            .says("ride.shares"),
        Fact::new("crawl_kmh", "Slowest with the clutch out", kmh(demand.crawl_kmh), demand.crawl_kmh)
            .because("first gear at the rpm where the clutch is fully out")
            .sure("ratios are exact; the rpm is the sheet's")
            .unless("another pair; a lower clutch-out rpm")
            .says("gearing.speeds"),
        Fact::new("below_crawl_pct", "Time slower than that", pct(demand.below_crawl_pct), demand.below_crawl_pct)
            .because("the clutch must slip there, or the engine labour")
            .sure(sure)
            .unless("a shorter pair lowers it")
            .says("ride.shares"),
    ]
}

/// A column of shares for each of so many gears.
pub(crate) fn gear_columns(gears: usize) -> impl Iterator<Item = Column> {
    const KEYS: [&str; 8] = [
        "gear_1_pct",
        "gear_2_pct",
        "gear_3_pct",
        "gear_4_pct",
        "gear_5_pct",
        "gear_6_pct",
        "gear_7_pct",
        "gear_8_pct",
    ];
    (1..).zip(KEYS).take(gears).map(|(gear, key)| Column::numbers(key, format!("{gear}, %")))
}

/// Share of moving time in each gear for several setups.
#[must_use]
pub fn shares(demands: &[Demand]) -> Table {
    let mut columns = vec![Column::words("pair", "Pair")];
    columns.extend(gear_columns(demands.first().map_or(0, |demand| demand.gear_pct.len())));
    columns.push(Column::numbers("below_crawl_pct", "Clutch slips, %"));
    columns.push(Column::numbers("headroom_pct", "Headroom, %"));
    let mut table = Table::new(
        "shares",
        "Moving time by gear: the highest gear that keeps the lower end of the comfortable rpm",
        columns,
    );
    for demand in demands {
        let mut row = vec![Cell::words(demand.setup.pair_words())];
        row.extend(demand.gear_pct.iter().map(|share| Cell::number(*share, 0)));
        row.push(Cell::number(demand.below_crawl_pct, 1));
        row.push(Cell::signed(demand.headroom_pct, 1));
        table.rows.push(row);
    }
    table
}
