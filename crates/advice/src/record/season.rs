//! What a span of riding cost: hours, rides, parts with their price, money per hour; gaps are named, never filled.

use jiff::civil::Date;
use serde::Serialize;
use upkeep::record::{Entry, Fact as Noted, Part};

use super::{Record, forecast, sets, span};
use crate::ask::Gap;
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::money::{money, per_hour, real, units};
use crate::ready;
use crate::verdict::Verdict;
use crate::words::{count, number};

/// A span of riding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeasonView {
    /// From and to, both days included.
    pub from_to: [String; 2],
    /// Rides.
    pub rides: usize,
    /// Hours between the two ends, by the meter or the rides.
    pub hours_h: Option<f64>,
    /// Money by currency, minor units.
    pub cost_minor: Vec<(String, i64)>,
    /// Whether a part without a price makes it a least.
    pub at_least: bool,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// Parts fitted.
    pub parts: Table,
    /// What is not known.
    pub gaps: Vec<String>,
    /// Hours by ground.
    pub grounds: Table,
    /// Chains and sprockets that ran in the span.
    pub sets: Table,
    /// What each ground cost the chain that is fitted; a ground of fewer than 8 h claims nothing.
    pub wear: Table,
    /// What seemed odd or was found.
    pub faults: Table,
    /// Jobs done and looked at again.
    pub jobs: Table,
    /// What lies ahead.
    pub next: Vec<String>,
}

/// Fewer rides than this make no season: the short form.
const FEW_RIDES: usize = 3;

/// Answers for a span of days.
///
/// # Errors
/// The meter went back.
pub fn view(record: &Record<'_>, from: Date, to: Date) -> Result<SeasonView, Gap> {
    let inside = |day: Date| (from..=to).contains(&day);
    let rides = span::rides(record, from, to);
    let before = record.hours_at(from.at(0, 0, 0, 0))?;
    let after = record.hours_at(to.at(23, 59, 59, 0))?;
    let ridden: f64 = rides.iter().filter_map(|ride| ride.hours_h).sum();
    let hours_h = match (before, after) {
        (Some(before), Some(after)) => Some(after - before),
        _ => (ridden > 0.0).then_some(ridden),
    };
    let pick = |fact: &'_ Noted| matches!(fact, Noted::Part(_));
    let fitted = record.log.entries().iter().filter(|entry| pick(&entry.fact) && inside(entry.at.date()));
    let parts: Vec<_> = fitted
        .filter_map(|entry| if let Noted::Part(part) = &entry.fact { Some((entry, part)) } else { None })
        .collect();
    let mut cost_minor: Vec<(String, i64)> = Vec::new();
    for (minor, currency) in parts.iter().filter_map(|(_, part)| part.price()) {
        match cost_minor.iter_mut().find(|(known, _)| known == currency) {
            Some((_, sum)) => *sum = sum.saturating_add(minor),
            None => cost_minor.push((currency.to_owned(), minor)),
        }
    }
    let unpriced = parts.iter().filter(|(_, part)| part.price().is_none()).count();
    let mut gaps = span::gaps(&rides);
    if unpriced > 0 {
        let parts = if unpriced == 1 { "part has" } else { "parts have" };
        gaps.push(format!("{unpriced} {parts} no price: the cost is at least what stands here."));
    }
    let mut table = table();
    table.rows.extend(parts.iter().map(|(entry, part)| {
        let price = part.price().map_or_else(|| "no price".to_owned(), |(minor, currency)| money(minor, currency));
        vec![Cell::words(entry.at.date().to_string()), Cell::words(part.name()), Cell::words(price)]
    }));
    Ok(SeasonView {
        from_to: [from.to_string(), to.to_string()],
        facts: facts(rides.len(), hours_h, &cost_minor, (unpriced > 0, &days_of(&parts))),
        rides: rides.len(),
        hours_h,
        cost_minor,
        at_least: unpriced > 0,
        parts: table,
        gaps,
        grounds: span::grounds(&rides),
        sets: sets::table(&ran(record, from, to)?),
        wear: forecast::ground_table(&forecast::grounds(record)?.0),
        faults: span::faults(record, from, to),
        jobs: span::jobs(record, from, to),
        next: next(record),
    })
}

/// Chains and sprockets that ran in the span.
fn ran(record: &Record<'_>, from: Date, to: Date) -> Result<Vec<sets::Ran>, Gap> {
    let (from, to) = (from.to_string(), to.to_string());
    let mut all = sets::all(record)?;
    all.retain(|one| one.from <= to && one.to.as_ref().is_none_or(|end| *end >= from));
    Ok(all)
}

/// What lies ahead: what stands against riding, and what falls due.
fn next(record: &Record<'_>) -> Vec<String> {
    let reasons = ready::reasons(record);
    let against = reasons.iter().filter(|reason| reason.verdict > Verdict::Ready);
    let mut list: Vec<String> = against
        .map(|reason| match &reason.clear {
            Some(clear) => format!("{} {}, about {} min.", reason.text, clear.act, clear.minutes_min),
            None => reason.text.clone(),
        })
        .collect();
    if let Ok(ahead) = record.forecast() {
        list.push(format!("Chain: {}", ahead.sentence));
    }
    list
}

fn table() -> Table {
    let columns = vec![Column::words("day", "Day"), Column::words("part", "Part"), Column::words("price", "Price")];
    Table::new("parts", "Parts fitted", columns)
}

/// When prices were entered: the first day and the last.
fn days_of(parts: &[(&Entry, &Part)]) -> String {
    let mut days = parts.iter().filter(|(_, part)| part.price().is_some()).map(|(entry, _)| entry.at.date());
    let Some(first) = days.next() else { return String::new() };
    match days.next_back() {
        Some(last) if last != first => format!("{first} to {last}"),
        _ => first.to_string(),
    }
}

fn facts(rides: usize, hours_h: Option<f64>, cost: &[(String, i64)], (at_least, entered): (bool, &str)) -> Vec<Fact> {
    let lead = if at_least { "at least " } else { "" };
    let hours = hours_h.map_or_else(
        || Fact::unknown("hours_h", "Hours", format!("not recorded, {}", count(rides, "ride"))),
        |hours| Fact::new("hours_h", "Hours", format!("{} h in {}", number(hours, 1), count(rides, "ride")), hours),
    );
    let mut facts = vec![hours.because("meter or rides at both ends of the span").says("wear.hours")];
    for (currency, minor) in cost {
        let per_hour = hours_h.and_then(|hours| per_hour(*minor, currency, hours));
        let text = format!("{lead}{}", money(*minor, currency));
        let parts = Fact { value: units(real(*minor), currency), ..Fact::unknown("cost", "Parts", text) };
        facts.push(parts.because("prices of the parts that were fitted").entered(entered));
        if let Some(per_hour) = per_hour {
            let text = format!("{lead}{} {currency} each hour", number(per_hour, 2));
            facts.push(
                Fact::new("cost_per_h", "Parts per hour", text, per_hour)
                    .because("parts only, your own time left out")
                    .entered(entered),
            );
        }
    }
    facts
}

impl SeasonView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![
            Block::Heading("What did it cost?"),
            Block::Text(format!("{} to {}.", self.from_to[0], self.from_to[1])),
            Block::Facts(&self.facts),
        ];
        if self.rides < FEW_RIDES {
            blocks.push(Block::Text(format!(
                "{}: too few for a season, so only the sums stand here.",
                count(self.rides, "ride")
            )));
            blocks.push(Block::List(self.gaps.clone()));
            return blocks;
        }
        let tables = [&self.grounds, &self.sets, &self.wear, &self.parts, &self.jobs, &self.faults];
        blocks.extend(tables.into_iter().map(Block::Table));
        if !self.gaps.is_empty() {
            blocks.push(Block::Heading("What is not known"));
            blocks.push(Block::List(self.gaps.clone()));
        }
        blocks.push(Block::Heading("Open now, before the next ride"));
        blocks.push(Block::List(self.next.clone()));
        blocks
    }
}
