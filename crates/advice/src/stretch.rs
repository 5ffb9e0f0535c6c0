//! One stretch of a ride on several pairs: which gear, how many turns, how much thrust is left.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, ask, with};
use crate::fact::{Cell, Column, Table};
use crate::replay::asked_of;
use crate::rides::Weighed;
use crate::words::{minutes, number, quantity, signed};
use crate::{Block, Setup};

/// One pair on the stretch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OnStretch {
    /// The pair.
    pub setup: Setup,
    /// Share of the time in each gear, %.
    pub gear_pct: Vec<f64>,
    /// The gear of most of the time, from 1.
    pub main_gear: u32,
    /// Median engine speed as the wheel turns it, rpm.
    pub rpm_median: f64,
    /// Least thrust in reserve, N; negative is missing.
    pub reserve_min_n: f64,
    /// When it was least, s of the ride.
    pub reserve_min_at_s: f64,
    /// Median thrust in reserve, N.
    pub reserve_median_n: f64,
    /// Gear steps inside.
    pub shifts: u32,
    /// Share of the time below the rpm where the clutch is fully out, %.
    pub slip_pct: f64,
    /// Share of the time beyond the limiter, %.
    pub over_pct: f64,
}

/// The stretch on every pair asked about.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StretchView {
    /// The ride's name.
    pub ride: String,
    /// Begin and end, s of the ride.
    pub from_to_s: [f64; 2],
    /// Time under way inside, s.
    pub moving_s: f64,
    /// Distance under way inside, m.
    pub distance_m: f64,
    /// Pair by pair, the fitted one first.
    pub pairs: Vec<OnStretch>,
    /// The same as a table.
    pub table: Table,
    /// What the figures say.
    pub findings: Vec<String>,
    /// What to know.
    pub notes: Vec<String>,
}

/// Answers for the pairs given; the first one is what is fitted.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, weighed: &Weighed<'_>, from_to_s: [f64; 2], setups: &[Setup]) -> Result<StretchView, Gap> {
    let fitted = setups.first().copied().map_or_else(|| Setup::fitted(bike), Ok)?;
    let pairs: Vec<Value> = setups.iter().map(|setup| Value::from(vec![setup.front_teeth, setup.rear_teeth])).collect();
    let given = with(asked_of(bike, weighed, fitted), "pairs", pairs);
    let answer = ask("ride.stretch", &with(with(given, "from_s", from_to_s[0]), "to_s", from_to_s[1]))?;
    let list = answer.at("pairs").and_then(Value::as_array).cloned().unwrap_or_default();
    let pairs: Vec<OnStretch> = list.iter().zip(setups).filter_map(|(value, setup)| seen(value, *setup)).collect();
    Ok(StretchView {
        ride: weighed.ride.name.clone(),
        from_to_s,
        moving_s: answer.get("moving_s").unwrap_or_default(),
        distance_m: answer.get("distance_m").unwrap_or_default(),
        table: table(&pairs),
        findings: findings(&pairs),
        notes: notes(weighed),
        pairs,
    })
}

fn seen(value: &Value, setup: Setup) -> Option<OnStretch> {
    let number = |key: &str| value.get(key)?.as_f64();
    let count = |key: &str| value.get(key)?.as_u64().and_then(|count| u32::try_from(count).ok());
    Some(OnStretch {
        setup,
        gear_pct: value.get("gear_pct")?.as_array()?.iter().filter_map(Value::as_f64).collect(),
        main_gear: count("main_gear")?,
        rpm_median: number("rpm_median")?,
        reserve_min_n: number("reserve_min_n")?,
        reserve_min_at_s: number("reserve_min_at_s")?,
        reserve_median_n: number("reserve_median_n")?,
        shifts: count("shifts")?,
        slip_pct: number("slip_pct")?,
        over_pct: number("over_pct")?,
    })
}

fn table(pairs: &[OnStretch]) -> Table {
    let columns = vec![
        Column::words("pair", "Pair"),
        Column::numbers("main_gear", "Mostly gear"),
        Column::numbers("main_pct", "of the time, %"),
        Column::numbers("rpm_median", "Median rpm"),
        Column::numbers("reserve_min_n", "Least reserve, N"),
        Column::words("reserve_min_at", "at"),
        Column::numbers("reserve_median_n", "Median reserve, N"),
        Column::numbers("shifts", "Shifts"),
        Column::numbers("slip_pct", "Slips, %"),
        Column::numbers("over_pct", "Over limiter, %"),
    ];
    let mut table =
        Table::new("stretch", "The stretch on each pair; reserve is thrust that is left, below 0 missing", columns);
    table.rows.extend(pairs.iter().map(|pair| {
        let main = (pair.main_gear as usize).checked_sub(1).and_then(|at| pair.gear_pct.get(at)).copied();
        vec![
            Cell::words(pair.setup.pair_words()),
            Cell::number(f64::from(pair.main_gear), 0),
            Cell::maybe(main, 0),
            Cell::number(pair.rpm_median, 0),
            Cell::signed(pair.reserve_min_n, 0),
            Cell::words(minutes(pair.reserve_min_at_s)),
            Cell::signed(pair.reserve_median_n, 0),
            Cell::number(f64::from(pair.shifts), 0),
            Cell::number(pair.slip_pct, 1),
            Cell::number(pair.over_pct, 1),
        ]
    }));
    table
}

fn findings(pairs: &[OnStretch]) -> Vec<String> {
    let Some(fitted) = pairs.first() else { return Vec::new() };
    let reserve = |pair: &OnStretch| format!("{} N", signed(pair.reserve_min_n, 0));
    let mut found = vec![format!(
        "{}: mostly gear {} at {} rpm; least thrust in reserve {} at {}, half of the time over {} N.",
        fitted.setup.pair_words(),
        fitted.main_gear,
        number(fitted.rpm_median, 0),
        reserve(fitted),
        minutes(fitted.reserve_min_at_s),
        signed(fitted.reserve_median_n, 0)
    )];
    let most = pairs
        .iter()
        .max_by(|a, b| a.reserve_min_n.total_cmp(&b.reserve_min_n).then(b.setup.front_teeth.cmp(&a.setup.front_teeth)));
    if let Some(most) = most.filter(|most| most.setup != fitted.setup) {
        found.push(format!(
            "{} leaves the most at its worst moment: {} against {}; gear changes {} against {}, clutch slip {} % against {} %.",
            most.setup.pair_words(),
            reserve(most),
            reserve(fitted),
            most.shifts,
            fitted.shifts,
            number(most.slip_pct, 1),
            number(fitted.slip_pct, 1)
        ));
    }
    let short: Vec<String> =
        pairs.iter().filter(|pair| pair.reserve_min_n < 0.0).map(|pair| pair.setup.pair_words()).collect();
    if !short.is_empty() {
        found.push(format!("Thrust is missing at some moment on {}.", short.join(", ")));
    }
    found
}

fn notes(weighed: &Weighed<'_>) -> Vec<String> {
    let mut notes = vec![
        format!("Ground assumed: {}. The gears are a model's, not a record.", weighed.ground.name),
        "A stretch alone decides no gearing: lay the whole ride against the pairs.".to_owned(),
    ];
    if !weighed.ride.grade_known {
        notes.push("Elevation is not known all along: climbs without it count as level.".to_owned());
    }
    notes
}

impl StretchView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let [from_s, to_s] = self.from_to_s;
        vec![
            Block::Heading("This stretch"),
            Block::Text(format!(
                "{}, {} to {}: {} in {} under way.",
                self.ride,
                minutes(from_s),
                minutes(to_s),
                quantity(self.distance_m / 1000.0, "km", 2),
                minutes(self.moving_s)
            )),
            Block::List(self.findings.clone()),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}
