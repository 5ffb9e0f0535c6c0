//! Did a change of gearing do what was promised: rides on the old pair against rides on the new one, on like ground.
//!
//! What is compared is the share of the moving time slower than first gear with the clutch out. The forecast for the
//! new pair is made from the rides on the old one, before anything was ridden on the new one.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, Given, ask, with};
use crate::demand::{self, Ride};
use crate::fact::{Cell, Column, Fact, Table};
use crate::words::{count, number, signed};
use crate::{Block, Setup, Verdict};

/// More matched rides than these are not needed; the latest before and the first after the change count.
const MOST: usize = 16;
/// Below this many matched rides the figure gives no interval at its usual sureness.
const FEWEST: usize = 2;

/// What came of the change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Came {
    /// As forecast.
    Held,
    /// Otherwise than forecast.
    Missed,
    /// The rides do not tell.
    CannotSay,
}

/// The whole answer to "did it help?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutcomeView {
    /// Old and new pair.
    pub pairs: [String; 2],
    /// Matched rides.
    pub matched: u32,
    /// What came of it.
    pub came: Came,
    /// The sentence.
    pub headline: String,
    /// Its figures.
    pub facts: Vec<Fact>,
    /// Ride by ride.
    pub table: Table,
    /// What to know.
    pub notes: Vec<String>,
}

/// Compares rides before a change, latest first, with rides after it, earliest first, all on like ground.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, [old, new]: [Setup; 2], before: &[&Ride], after: &[&Ride]) -> Result<OutcomeView, Gap> {
    let mut rows = Vec::new();
    for (before, after) in before.iter().zip(after).take(MOST) {
        let slip = |ride: &Ride, setup: Setup| demand::of(bike, ride, setup).map(|demand| demand.below_crawl_pct);
        rows.push(Match {
            names: [before.name.clone(), after.name.clone()],
            recorded: [slip(before, old)?, slip(after, new)?],
            predicted: [slip(before, old)?, slip(before, new)?],
        });
    }
    let pairs = [old.pair_words(), new.pair_words()];
    let mut view = OutcomeView {
        matched: u32::try_from(rows.len()).unwrap_or(u32::MAX),
        came: Came::CannotSay,
        headline: String::new(),
        facts: Vec::new(),
        table: table(&rows, &pairs),
        notes: notes(before.len(), after.len()),
        pairs,
    };
    if rows.len() < FEWEST {
        view.headline = format!(
            "Cannot say whether {} did what {} did not: {} before and {} after the change are kept with their pair on this ground; at least {FEWEST} of each are needed, about 5 for an interval.",
            view.pairs[1],
            view.pairs[0],
            count(before.len(), "ride"),
            count(after.len(), "ride")
        );
        return Ok(view);
    }
    judge(&mut view, &rows)?;
    Ok(view)
}

struct Match {
    names: [String; 2],
    recorded: [f64; 2],
    predicted: [f64; 2],
}

fn judge(view: &mut OutcomeView, rows: &[Match]) -> Result<(), Gap> {
    let column = |pick: &dyn Fn(&Match) -> f64| rows.iter().map(pick).map(Value::from).collect::<Vec<_>>();
    let given = with(Given::new(), "recorded_a", column(&|row| row.recorded[0]));
    let given = with(given, "recorded_b", column(&|row| row.recorded[1]));
    let given = with(given, "predicted_a", column(&|row| row.predicted[0]));
    let given = with(given, "predicted_b", column(&|row| row.predicted[1]));
    let answer = ask("ride.outcome", &given)?;
    let bin = |key: &str| answer.get(&format!("bins.0.{key}"));
    let (recorded, predicted) =
        (bin("recorded_change").unwrap_or_default(), bin("predicted_change").unwrap_or_default());
    view.came = match answer.at("verdict").and_then(Value::as_str) {
        Some("held") => Came::Held,
        Some("missed") => Came::Missed,
        _ => Came::CannotSay,
    };
    let points = |value: f64| format!("{} points", signed(value, 1));
    let [old, new] = &view.pairs;
    let change = format!(
        "clutch-slip time by speed changed by {} from {old} to {new}, {} were forecast, over {} matched rides",
        points(recorded),
        points(predicted),
        rows.len()
    );
    view.headline = match view.came {
        Came::Held => format!("It held: {change}."),
        Came::Missed => format!("It missed: {change}."),
        Came::CannotSay => format!("Cannot say: {change}; the rides differ too much among themselves, or are too few."),
    };
    let sure = match (bin("change_low"), bin("change_high"), answer.get("coverage_pct")) {
        (Some(low), Some(high), Some(cover)) => {
            format!("between {} and {} at {} %", signed(low, 1), signed(high, 1), number(cover, 0))
        }
        _ => "too few rides for an interval".to_owned(),
    };
    view.facts = vec![
        Fact::new("recorded_change_pct", "Recorded change", points(recorded), recorded)
            .because(format!("chance that nothing changed: {}", chance(bin("p_no_change"))))
            .sure(sure)
            .unless("more rides on like ground, ridden in turns on both pairs")
            .says("ride.outcome"),
        Fact::new("predicted_change_pct", "Forecast change", points(predicted), predicted)
            .because(format!(
                "from the rides on {old} alone; chance that it came as forecast: {}",
                chance(bin("p_as_forecast"))
            ))
            .sure("speeds as ridden on the old pair: a taller or shorter pair may change how fast one rides")
            .unless("a logger with rpm, which knows the gear")
            .says("ride.outcome"),
    ];
    view.notes.extend(answer.notices.iter().map(|notice| notice.text.clone()));
    Ok(())
}

fn chance(value: Option<f64>) -> String {
    value.map_or_else(|| "not known".to_owned(), |value| format!("{} %", number(100.0 * value, 0)))
}

fn notes(before: usize, after: usize) -> Vec<String> {
    let mut notes = vec![
        "Rides are matched outwards from the change: the latest before it with the first after it.".to_owned(),
        "Rider, trail and day change too: ride the same loop on one pair, the other, the other, the one.".to_owned(),
    ];
    if before.max(after) > before.min(after) {
        notes.push(format!("{} rides before and {} after: the rest has no partner and is left out.", before, after));
    }
    notes
}

fn table(rows: &[Match], [old, new]: &[String; 2]) -> Table {
    let columns = vec![
        Column::words("before", format!("On {old}")),
        Column::words("after", format!("On {new}")),
        Column::numbers("recorded_a_pct", "Slips before, %"),
        Column::numbers("predicted_b_pct", "Forecast, %"),
        Column::numbers("recorded_b_pct", "Slips after, %"),
    ];
    let mut table = Table::new("outcome", "Moving time slower than first gear with the clutch out", columns);
    table.rows.extend(rows.iter().map(|row| {
        vec![
            Cell::words(row.names[0].clone()),
            Cell::words(row.names[1].clone()),
            Cell::number(row.recorded[0], 1),
            Cell::number(row.predicted[1], 1),
            Cell::number(row.recorded[1], 1),
        ]
    }));
    table
}

impl OutcomeView {
    /// The verdict that faces may show: only a forecast that held is ready.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        match self.came {
            Came::Held => Verdict::Ready,
            Came::Missed => Verdict::Care,
            Came::CannotSay => Verdict::Unknown,
        }
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let word = match self.came {
            Came::Held => "Held",
            Came::Missed => "Missed",
            Came::CannotSay => "Cannot say",
        };
        vec![
            Block::Heading("Did it do what was promised?"),
            Block::Verdict(self.verdict(), word, self.headline.clone()),
            Block::Facts(&self.facts),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}
