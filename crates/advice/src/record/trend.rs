//! Readings over total hours: elongation of each chain with its error, changes of meter, tight spots, the hours ahead.

use serde::Serialize;
use upkeep::record::{ElongationReading, Entry, Fact as Noted, Role};
use upkeep::wear::MeterEvent;

use super::elongation::Limit;
use super::worst::Judge;
use super::{Record, slack};
use crate::Setup;
use crate::ask::Gap;
use crate::block::Block;
use crate::fact::{Cell, Column, Table};
use crate::verdict::Verdict;
use crate::words::{count, digits, headed, number, quantity};

/// One reading over total hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spot {
    /// Total hours of the bike.
    pub total_h: f64,
    /// Elongation at the worst place.
    pub worst_pct: f64,
    /// Half the width that holds it with 95 %.
    pub u95_pct: f64,
}

/// The readings of one chain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChainLine {
    /// The chain's name.
    pub name: String,
    /// Its readings, oldest first.
    pub spots: Vec<Spot>,
}

/// Where the chain that is fitted meets its limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ahead {
    /// The last reading: total hours, elongation.
    pub from: [f64; 2],
    /// Total hours at the limit: low, middle, high; no bound where there is none.
    pub at_limit_h: [Option<f64>; 3],
}

/// Readings over total hours.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrendView {
    /// Chain by chain, oldest first.
    pub chains: Vec<ChainLine>,
    /// Total hours at which a meter was changed, with a word for the chart.
    pub swaps: Vec<(f64, String)>,
    /// The limit.
    pub limit: Limit,
    /// The hours ahead, where at least three readings speak for them.
    pub ahead: Option<Ahead>,
    /// What it comes to, in a sentence.
    pub finding: String,
    /// Every length reading.
    pub readings: Table,
    /// Every slack reading with how uneven it was.
    pub tight_spots: Table,
}

/// Answers from the record.
///
/// # Errors
/// The meter went back, or a field of the sheet is missing.
pub fn view(record: &Record<'_>) -> Result<TrendView, Gap> {
    newest(record, usize::MAX)
}

/// The same with the newest so many lines of both tables alone.
///
/// # Errors
/// As [`view`].
pub fn newest(record: &Record<'_>, lines: usize) -> Result<TrendView, Gap> {
    let limit = Limit::of(record.bike);
    let chains = chains(record)?;
    let ahead = ahead(record, &chains)?;
    let readings = readings(&chains);
    let finding = match (&ahead, chains.last().and_then(|chain| chain.spots.last())) {
        (_, None) => "No length reading yet.".to_owned(),
        (Some(ahead), Some(last)) => {
            format!("Last {} % at {} h; {}", number(last.worst_pct, 2), number(last.total_h, 1), reaches(ahead, &limit))
        }
        (None, Some(last)) => format!(
            "Last {} % at {} h; from {} the hours ahead are not told yet.",
            number(last.worst_pct, 2),
            number(last.total_h, 1),
            count(readings, "reading")
        ),
    };
    Ok(TrendView {
        readings: lengths(&chains, 0..lines),
        tight_spots: tight_spots(record, 0..lines)?,
        swaps: swaps(record)?,
        chains,
        limit,
        ahead,
        finding,
    })
}

fn reaches(ahead: &Ahead, limit: &Limit) -> String {
    if ahead.at_limit_h[2].is_some_and(|high| high - ahead.from[0] < 0.5) {
        return format!("no hours are left to {} %.", number(limit.limit_pct, 1));
    }
    let [low, _, high] = ahead.at_limit_h.map(|hours| hours.map(|hours| number(hours, 0)));
    let limit = number(limit.limit_pct, 1);
    match (low, high) {
        (Some(low), Some(high)) => format!("it meets {limit} % between {low} and {high} h, nine times of ten."),
        (Some(low), None) => format!("it meets {limit} % from {low} h on; no upper bound yet."),
        _ => format!("when it meets {limit} % is not known."),
    }
}

/// The length readings, each with the chain that was fitted then.
///
/// # Errors
/// As [`view`].
pub fn chains(record: &Record<'_>) -> Result<Vec<ChainLine>, Gap> {
    let mut judge = Judge::of(record.bike);
    let mut all: Vec<ChainLine> = Vec::new();
    let mut name = "chain".to_owned();
    for entry in record.log.entries() {
        match &entry.fact {
            Noted::Part(part) if part.role() == Role::Chain => {
                part.name().clone_into(&mut name);
                all.push(ChainLine { name: name.clone(), spots: Vec::new() });
            }
            Noted::Elongation(reading) => {
                let Some(spot) = spot(record, &mut judge, entry, reading)? else { continue };
                if all.is_empty() {
                    all.push(ChainLine { name: name.clone(), spots: Vec::new() });
                }
                if let Some(chain) = all.last_mut() {
                    chain.spots.push(spot);
                }
            }
            _ => {}
        }
    }
    all.retain(|chain| !chain.spots.is_empty());
    Ok(all)
}

fn spot(
    record: &Record<'_>,
    judge: &mut Judge<'_>,
    entry: &Entry,
    reading: &ElongationReading,
) -> Result<Option<Spot>, Gap> {
    let Some(total_h) = record.hours_at(entry.at)? else { return Ok(None) };
    let worst = judge.worst(reading)?;
    Ok(worst.map(|worst| Spot { total_h, worst_pct: worst.pct, u95_pct: worst.u95_pct }))
}

fn ahead(record: &Record<'_>, chains: &[ChainLine]) -> Result<Option<Ahead>, Gap> {
    let Some(last) = chains.last().and_then(|chain| chain.spots.last()) else { return Ok(None) };
    let view = record.forecast()?;
    // A chain just fitted has readings of its predecessor only: nothing is drawn ahead of those.
    let own = view.points.last().is_some_and(|point| (point.elongation_pct - last.worst_pct).abs() < 1e-9);
    Ok((own && view.verdict == Verdict::Ready).then(|| Ahead {
        from: [last.total_h, last.worst_pct],
        at_limit_h: view.left_h.map(|left| left.map(|left| last.total_h + left)),
    }))
}

fn swaps(record: &Record<'_>) -> Result<Vec<(f64, String)>, Gap> {
    let mut all = Vec::new();
    for entry in record.log.entries() {
        let Noted::Meter(meter) = &entry.fact else { continue };
        let MeterEvent::Swap { .. } = meter.event() else { continue };
        let words = "new meter".to_owned();
        all.extend(record.hours_at(entry.at)?.map(|hours| (hours, words)));
    }
    Ok(all)
}

/// As many length readings as all chains have.
#[must_use]
pub fn readings(chains: &[ChainLine]) -> usize {
    chains.iter().map(|chain| chain.spots.len()).sum()
}

/// The length readings, newest first: those at these places of the list.
#[must_use]
pub fn lengths(chains: &[ChainLine], places: std::ops::Range<usize>) -> Table {
    let columns = vec![
        Column::words("chain", "Chain"),
        Column::numbers("total_h", "Total hours"),
        Column::numbers("worst_pct", "Worst place, %"),
        Column::numbers("u95_pct", "± 19 of 20, %"),
    ];
    let mut table = Table::new("readings", "Length readings, newest first", columns);
    let all = chains.iter().rev().flat_map(|chain| chain.spots.iter().rev().map(move |spot| (chain, spot)));
    for (chain, spot) in all.skip(places.start).take(places.len()) {
        table.rows.push(vec![
            Cell::words(chain.name.clone()),
            Cell::number(spot.total_h, 1),
            Cell::number(spot.worst_pct, 2),
            Cell::number(spot.u95_pct, 2),
        ]);
    }
    table
}

/// As many slack readings as the record holds.
#[must_use]
pub fn slacks(record: &Record<'_>) -> usize {
    record.log.entries().iter().filter(|entry| matches!(entry.fact, Noted::Slack(_))).count()
}

/// Slack readings with how uneven they were, newest first: those at these places of the list.
///
/// # Errors
/// The meter went back.
pub fn tight_spots(record: &Record<'_>, places: std::ops::Range<usize>) -> Result<Table, Gap> {
    let columns = vec![
        Column::words("day", "Day"),
        Column::numbers("total_h", "Total hours"),
        Column::words("slack", headed("Slack", "mm")),
        Column::words("axle", "Uneven at the axle"),
    ];
    let mut table = Table::new("tight_spots", "Slack readings and how uneven they were, newest first", columns);
    // The sheet's present pair stands in for the pair of that day; where nothing can be judged nothing is said.
    let round = Setup::fitted(record.bike).and_then(|setup| slack::Loop::of(record.bike, setup)).ok();
    let all = record.log.entries().iter().rev().filter(|entry| matches!(entry.fact, Noted::Slack(_)));
    for entry in all.skip(places.start).take(places.len()) {
        let Noted::Slack(reading) = &entry.fact else { continue };
        let range = round.as_ref().and_then(|round| round.axle_range_mm(reading).ok().flatten());
        let most = reading.slack_mm().iter().copied().fold(0.0, f64::max);
        table.rows.push(vec![
            Cell::words(entry.at.date().to_string()),
            Cell::maybe(record.hours_at(entry.at)?, 1),
            Cell::words(match reading.slack_mm().len() {
                1 => digits(most, "mm", 1),
                places => {
                    format!("{} to {}, {places} places", digits(reading.tightest_mm(), "mm", 1), digits(most, "mm", 1))
                }
            }),
            Cell::words(range.map_or_else(|| "not known".to_owned(), |range| quantity(range, "mm", 2))),
        ]);
    }
    Ok(table)
}

impl TrendView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let swaps = self.swaps.iter().map(|(hours, words)| format!("{} h: {words}", number(*hours, 1))).collect();
        vec![
            Block::Heading("How the chain wears"),
            Block::Text(self.finding.clone()),
            Block::Table(&self.readings),
            Block::Table(&self.tight_spots),
            Block::List(swaps),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_the_limit_is_met_is_said_as_far_as_it_is_known() {
        let limit = Limit { limit_pct: 1.0, assumed: false, whose: String::new() };
        let said = |low: Option<f64>, high: Option<f64>| {
            reaches(&Ahead { from: [100.0, 0.9], at_limit_h: [low, None, high] }, &limit)
        };
        assert_eq!(said(Some(100.0), Some(100.4)), "no hours are left to 1.0 %.");
        assert!(said(Some(100.0), Some(100.5)).starts_with("it meets 1.0 % between 100 and "));
        assert_eq!(said(Some(110.0), Some(130.0)), "it meets 1.0 % between 110 and 130 h, nine times of ten.");
        assert_eq!(said(Some(110.0), None), "it meets 1.0 % from 110 h on; no upper bound yet.");
        assert_eq!(said(None, None), "when it meets 1.0 % is not known.");
    }
}
