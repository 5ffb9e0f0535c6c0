//! Did a change of gearing do what was promised: rides on the old pair against rides on the new one, on like ground.
//!
//! What decides is the share of the moving time slower than first gear with the clutch out, named before looking; the
//! gears' shares and the headroom stand beside it. The forecast for the new pair is made from the rides on the old
//! one, before anything was ridden on the new one.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, Given, ask, with};
use crate::demand::{self, Demand, Ride};
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
    /// Everything that was compared, with its band.
    pub judged: Table,
    /// How it felt, in the rider's own words.
    pub felt: Vec<String>,
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
        rows.push(Match {
            names: [before.name.clone(), after.name.clone()],
            before: demand::of(bike, before, old)?,
            after: demand::of(bike, after, new)?,
            forecast: demand::of(bike, before, new)?,
        });
    }
    let pairs = [old.pair_words(), new.pair_words()];
    let mut view = OutcomeView {
        matched: u32::try_from(rows.len()).unwrap_or(u32::MAX),
        came: Came::CannotSay,
        headline: String::new(),
        facts: Vec::new(),
        table: table(&rows, &pairs),
        judged: judged(),
        felt: felt(before, after, &pairs),
        notes: notes(before.len(), after.len()),
        pairs,
    };
    if rows.len() < FEWEST {
        view.headline = format!(
            "Whether {} did what {} did not is open: {} before and {} after the change are kept with their pair on this ground; at least {FEWEST} of each are needed, about 5 for an interval.",
            view.pairs[1],
            view.pairs[0],
            count(before.len(), "ride"),
            count(after.len(), "ride")
        );
        return Ok(view);
    }
    let slip = compared(&rows, &|demand| Value::from(demand.below_crawl_pct))?;
    judge(&mut view, &rows, &slip);
    aside(&mut view, &rows, &slip)?;
    Ok(view)
}

/// Two rides matched, laid against the pair that each was ridden on, and the earlier one against the new pair.
struct Match {
    names: [String; 2],
    before: Demand,
    after: Demand,
    forecast: Demand,
}

/// What the matched rides say of one thing; `pick` reads it off a demand, one bin or several.
fn compared(rows: &[Match], pick: &dyn Fn(&Demand) -> Value) -> Result<figures::Answer, Gap> {
    let column = |of: &dyn Fn(&Match) -> &Demand| rows.iter().map(|row| pick(of(row))).collect::<Vec<_>>();
    let given = with(Given::new(), "recorded_a", column(&|row| &row.before));
    let given = with(given, "recorded_b", column(&|row| &row.after));
    let given = with(given, "predicted_a", column(&|row| &row.before));
    ask("ride.outcome", &with(given, "predicted_b", column(&|row| &row.forecast)))
}

/// The gears' shares and the headroom, beside what decided.
fn aside(view: &mut OutcomeView, rows: &[Match], slip: &figures::Answer) -> Result<(), Gap> {
    view.judged.rows.push(judged_row("clutch-slip time by speed (decides)", slip, 0));
    let gears = compared(rows, &|demand| Value::from(demand.gear_pct.clone()))?;
    let count = rows.first().map_or(0, |row| row.before.gear_pct.len());
    view.judged.rows.extend((0..count).map(|gear| judged_row(&format!("gear {}", gear + 1), &gears, gear)));
    let headroom = compared(rows, &|demand| Value::from(demand.headroom_pct))?;
    view.judged.rows.push(judged_row("headroom over the fast end", &headroom, 0));
    view.notes.push(
        "Only the clutch-slip time was named before looking; among so many other lines one may miss by chance."
            .to_owned(),
    );
    Ok(())
}

fn judged() -> Table {
    let columns = vec![
        Column::words("what", "Of the moving time"),
        Column::numbers("recorded_points", "Recorded change, points"),
        Column::numbers("predicted_points", "Forecast, points"),
        Column::words("band", "Recorded lies between"),
        Column::words("verdict", "Forecast"),
    ];
    Table::new("judged", "Everything that was compared", columns)
}

fn judged_row(what: &str, answer: &figures::Answer, bin: usize) -> Vec<Cell> {
    let read = |key: &str| answer.get(&format!("bins.{bin}.{key}"));
    let band = match (read("change_low"), read("change_high")) {
        (Some(low), Some(high)) => format!("{} and {}", signed(low, 1), signed(high, 1)),
        _ => "too few rides".to_owned(),
    };
    let verdict = answer.at(&format!("bins.{bin}.verdict")).and_then(Value::as_str);
    vec![
        Cell::words(what),
        Cell::signed(read("recorded_change").unwrap_or_default(), 1),
        Cell::signed(read("predicted_change").unwrap_or_default(), 1),
        Cell::words(band),
        Cell::words(match verdict {
            Some("held") => "held",
            Some("missed") => "missed",
            _ => "cannot say",
        }),
    ]
}

/// What the rider wrote down of the rides, each with the pair that it was ridden on.
fn felt(before: &[&Ride], after: &[&Ride], [old, new]: &[String; 2]) -> Vec<String> {
    let words = |ride: &&Ride, pair: &str| {
        (!ride.note.is_empty()).then(|| format!("{} on {pair}, {}: “{}”", ride.name, ride.day, ride.note))
    };
    let before = before.iter().take(MOST).filter_map(|ride| words(ride, old));
    before.chain(after.iter().take(MOST).filter_map(|ride| words(ride, new))).collect()
}

fn judge(view: &mut OutcomeView, rows: &[Match], answer: &figures::Answer) {
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
        "Clutch-slip time by speed changed by {} from {old} to {new}, {} were forecast, over {} matched rides",
        points(recorded),
        points(predicted),
        rows.len()
    );
    view.headline = match view.came {
        Came::Held | Came::Missed => format!("{change}."),
        Came::CannotSay => format!("{change}; the rides differ too much among themselves, or are too few."),
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
            Cell::number(row.before.below_crawl_pct, 1),
            Cell::number(row.forecast.below_crawl_pct, 1),
            Cell::number(row.after.below_crawl_pct, 1),
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
            Block::Table(&self.judged),
            Block::Table(&self.table),
            Block::List(self.felt.clone()),
            Block::List(self.notes.clone()),
        ]
    }
}
