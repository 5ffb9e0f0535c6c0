//! What to order by when: which parts the drive needs next, at what cost per hour, and how often they come round.
//!
//! Two reasons to order: the decision about the set asks for a new part now, or a part nears its life. The day is the
//! early end of what the riding habit says, so that nine times of ten the part is there in time.

use jiff::civil::Date;
use serde::Serialize;
use upkeep::due::order_by;

use super::replace::{self, Known, ReplaceView};
use super::{Record, due};
use crate::ask::Gap;
use crate::block::Block;
use crate::fact::{Cell, Column, Table};
use crate::money;
use crate::words::number;

/// One part with its dates.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// What.
    pub part: &'static str,
    /// Whether the decision about the set buys it now.
    pub now: bool,
    /// Hours left of its life, where both are known.
    pub left_h: Option<f64>,
    /// The day on which it must be there.
    pub needed: Option<String>,
    /// The last day to order it; `null` without days of delivery.
    pub order_by: Option<String>,
    /// Whether that day is past.
    pub too_late: bool,
    /// What a new one costs, minor units.
    pub price_minor: Option<i64>,
    /// Money for each hour of its life, whole units.
    pub cost_per_h: Option<f64>,
    /// Days after which it comes round at the present habit.
    pub repeat_d: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OrderView {
    /// The answer in a sentence.
    pub sentence: String,
    /// Days of delivery as given.
    pub lead_d: Option<u16>,
    /// The parts.
    pub lines: Vec<Line>,
    /// The same as a table.
    pub table: Table,
    /// What it rests on.
    pub notes: Vec<String>,
}

/// Answers for the drive's parts.
///
/// # Errors
/// As the decision about the set.
pub fn view(record: &Record<'_>, asked: &replace::Asked, lead_d: Option<u16>) -> Result<OrderView, Gap> {
    let set = replace::decision(record, asked)?;
    let needed_now = record.log.next_planned(record.now).map(|entry| entry.at.date());
    let currency = set.currency.clone().unwrap_or_default();
    let mut lines = Vec::new();
    for (part, now) in set.parts.iter().zip(set.bought()) {
        lines.push(line(record, part, now, needed_now, (lead_d, &currency))?);
    }
    let mut notes = vec![format!(
        "Dates are the early end of your riding habit of the last {} days: nine times of ten later.",
        due::WINDOW_D
    )];
    if lead_d.is_none() {
        notes.push("Type the days of delivery to get the last day to order.".to_owned());
    }
    notes.extend(set.notes.iter().cloned());
    Ok(OrderView { sentence: sentence(record, &lines, &set), lead_d, table: table(&lines, &set), lines, notes })
}

fn line(
    record: &Record<'_>,
    part: &Known,
    now: bool,
    needed_now: Option<Date>,
    (lead_d, currency): (Option<u16>, &str),
) -> Result<Line, Gap> {
    let [low, high] = part.level;
    let known = low == high;
    let left_h = known.then(|| part.life_h * (1.0 - f64::from(low) / f64::from(replace::AT_LIMIT)));
    let early = left_h.map(|left| due::days(record, left)).transpose()?.and_then(|[early, ..]| early);
    let by_habit = early.and_then(|days| day_after(record.now.date(), days));
    let needed = if now { needed_now.or(Some(record.now.date())) } else { by_habit };
    let last = needed.zip(lead_d).and_then(|(needed, lead)| order_by(needed, lead));
    let repeat_d = due::days(record, part.life_h)?[1];
    Ok(Line {
        part: part.part,
        now,
        left_h,
        needed: needed.map(|day| day.to_string()),
        order_by: last.map(|day| day.to_string()),
        too_late: last.is_some_and(|day| day < record.now.date()),
        price_minor: part.price_minor,
        cost_per_h: part.price_minor.and_then(|minor| money::per_hour(minor, currency, part.life_h)),
        repeat_d,
    })
}

/// The day so many days later, rounded down; none beyond a hundred years.
pub(super) fn day_after(from: Date, days: f64) -> Option<Date> {
    if !(0.0..=36_500.0).contains(&days) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, reason = "between 0 and 36500, checked above")]
    from.checked_add(jiff::Span::new().days(days.floor() as i32)).ok()
}

fn sentence(record: &Record<'_>, lines: &[Line], set: &ReplaceView) -> String {
    let now: Vec<&Line> = lines.iter().filter(|line| line.now).collect();
    if now.is_empty() && set.best.is_none() && set.safest.is_none() {
        return set.sentence.clone();
    }
    let names =
        |lines: &[&Line]| crate::words::list(&lines.iter().map(|line| name(line.part).to_owned()).collect::<Vec<_>>());
    let late: Vec<&Line> = now.iter().copied().filter(|line| line.too_late).collect();
    if let Some(first) = late.first() {
        let day = first.order_by.clone().unwrap_or_default();
        return format!(
            "Too late by post for {}: {day} was the last day to order for {}. Borrow, fetch it yourself, or do not ride on what is worn.",
            names(&late),
            first.needed.clone().unwrap_or_default()
        );
    }
    if let Some(first) = now.first() {
        let by = first.order_by.as_ref().map_or_else(|| "now".to_owned(), |day| format!("by {day}"));
        return format!("Order {} {by}.", names(&now));
    }
    let next = lines.iter().filter(|line| line.needed.is_some()).min_by(|a, b| a.needed.cmp(&b.needed));
    next.map_or_else(
        || format!("Nothing to order on {}; when the next part is due is not known.", record.now.date()),
        |line| {
            let day = line.order_by.clone().or_else(|| line.needed.clone()).unwrap_or_default();
            format!("Nothing to order now; next the {}, by {day}.", name(line.part))
        },
    )
}

pub(crate) fn name(part: &str) -> &str {
    match part {
        "front" => "front sprocket",
        "rear" => "rear sprocket",
        other => other,
    }
}

fn table(lines: &[Line], set: &ReplaceView) -> Table {
    let columns = vec![
        Column::words("part", "Part"),
        Column::words("when", "Needed by"),
        Column::words("order_by", "Order by"),
        Column::words("price", "New costs"),
        Column::words("cost_per_h", "Each hour"),
        Column::words("repeat", "Comes round after"),
    ];
    let mut table = Table::new("order", "What to order by when", columns);
    let currency = set.currency.clone().unwrap_or_default();
    let unknown = || "not known".to_owned();
    table.rows = lines
        .iter()
        .map(|line| {
            let late = if line.too_late { " (past)" } else { "" };
            let cells = [
                name(line.part).to_owned(),
                line.needed.clone().unwrap_or_else(unknown),
                line.order_by.as_ref().map_or_else(|| "–".to_owned(), |day| format!("{day}{late}")),
                line.price_minor.map_or_else(unknown, |minor| money::money(minor, &currency)),
                line.cost_per_h.map_or_else(unknown, |cost| format!("{} {currency}", number(cost, 2))),
                line.repeat_d.map_or_else(unknown, |days| format!("{} days", number(days, 0))),
            ];
            cells.map(Cell::words).to_vec()
        })
        .collect();
    table
}

impl OrderView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("What do I order by when?"),
            Block::Text(self.sentence.clone()),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}
