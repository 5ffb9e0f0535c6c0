//! One reading judged: what was read, what it means, what to do; the same words after a form and after a command.

use serde::Serialize;
use upkeep::record::{
    AxleReading, Check, ElongationReading, Entry, Fact as Noted, Outcome, SlackKind, SlackReading, SlackState,
};

use super::elongation::{self, ElongationView, fell};
use super::forecast::ForecastView;
use super::slack::{self as places, TightSpotView};
use super::{Record, history};
use crate::Setup;
use crate::alignment;
use crate::ask::Gap;
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::fit::Slot;
use crate::sheet_band;
use crate::slack::{self, Read, SlackView};
use crate::verdict::{self, Reason, Verdict};
use crate::words::{capital, number};

/// Readings of one chain that a trend wants.
const TREND_READINGS: usize = 3;

/// A reading judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadingView {
    /// What kind: slack, elongation, axle, check, meter.
    pub kind: &'static str,
    /// What this reading alone makes of the bike.
    pub verdict: Verdict,
    /// What was read, in a sentence.
    pub sentence: String,
    /// Why, worst first.
    pub reasons: Vec<Reason>,
    /// How uneven the slack is.
    pub tight_spot: Option<TightSpotView>,
    /// What the tightest place means for the travel, and how far to turn.
    pub slack: Option<SlackView>,
    /// How long the chain is.
    pub elongation: Option<ElongationView>,
    /// How long it lasts.
    pub forecast: Option<ForecastView>,
    /// The wheel's alignment.
    pub facts: Vec<Fact>,
    /// Reading by reading.
    pub table: Option<Table>,
    /// What is not known, and what to know.
    pub not_known: Vec<String>,
}

/// Judges an entry of the record; `None` for an entry that is no reading.
///
/// # Errors
/// The meter went back, or the reading cannot be judged at all.
pub fn view(record: &Record<'_>, entry: &Entry) -> Result<Option<ReadingView>, Gap> {
    let mut view = ReadingView {
        kind: entry.fact.kind(),
        verdict: Verdict::Ready,
        sentence: history::words(&entry.fact),
        reasons: Vec::new(),
        tight_spot: None,
        slack: None,
        elongation: None,
        forecast: None,
        facts: Vec::new(),
        table: None,
        not_known: Vec::new(),
    };
    match &entry.fact {
        Noted::Slack(reading) => view.slack(record, reading),
        Noted::Elongation(reading) => {
            if let Err(gap) = view.elongation(record, entry, reading) {
                view.gap(&gap);
            }
        }
        Noted::Axle(reading) => view.axle(record, *reading),
        Noted::Check(check) => view.check(check),
        Noted::Meter(_) => {
            let total = record.hours_at(entry.at)?;
            let text = total.map_or_else(|| "not known".to_owned(), |hours| format!("{} h", number(hours, 1)));
            let fact = Fact { value: total, ..Fact::unknown("hours_h", "Total hours", text) };
            view.facts.push(fact.because("changes of meter counted in").says("wear.hours"));
        }
        _ => return Ok(None),
    }
    verdict::worst_first(&mut view.reasons);
    view.reasons.dedup();
    view.verdict = if view.reasons.is_empty() && !view.not_known.is_empty() {
        Verdict::Unknown
    } else {
        verdict::of(&view.reasons)
    };
    Ok(Some(view))
}

impl ReadingView {
    fn slack(&mut self, record: &Record<'_>, reading: &SlackReading) {
        self.table = Some(place_table(reading));
        let on_stand = reading.state() == SlackState::Stand;
        if reading.is_taut() || (on_stand && reading.kind() == SlackKind::Gap) {
            match sheet_band::alone(record.bike, reading.kind(), reading.tightest_mm()) {
                Some(reasons) => self.reasons.extend(reasons),
                None => self.not_known.push(
                    "The sheet holds the free kind of slack; a gap is never turned into it. Read the whole way up and down too."
                        .to_owned(),
                ),
            }
            return;
        }
        let setup = match Setup::fitted(record.bike) {
            Ok(setup) => setup,
            Err(gap) => return self.gap(&gap),
        };
        match places::view(record.bike, setup, reading) {
            Ok(spot) => {
                self.reasons.extend(spot.reasons.iter().cloned());
                self.tight_spot = Some(spot);
            }
            Err(gap) => self.gap(&gap),
        }
        let judged = places::comparable(record.bike, setup, reading).and_then(|slack_mm| {
            let read = Read { slack_mm: Some(slack_mm), ..Read::default() };
            slack::view(record.bike, setup, read).inspect_err(|gap| {
                // Without the geometry the sheet's own band still speaks; without that nobody knows.
                let alone = sheet_band::alone(record.bike, SlackKind::Free, slack_mm);
                self.reasons.extend(alone.unwrap_or_else(|| vec![gap.reason("Slack")]));
            })
        });
        match judged {
            Ok(view) => {
                self.reasons.extend(view.reasons.iter().cloned());
                self.slack = Some(view);
            }
            Err(gap) => self.gap(&gap),
        }
    }

    fn elongation(&mut self, record: &Record<'_>, entry: &Entry, reading: &ElongationReading) -> Result<(), Gap> {
        let judged = elongation::view(record.bike, reading)?;
        let all = elongation::of_this_chain(record);
        let before = all.iter().rev().find(|(one, _)| (one.at, one.id) < (entry.at, entry.id));
        let before = before.map(|(_, reading)| elongation::view(record.bike, reading)).transpose()?;
        let judged = match before.as_ref().and_then(|before| fell(before, &judged)) {
            Some(fall) => judged.and(Some(fall)),
            None => judged,
        };
        self.reasons.extend(judged.reasons.iter().cloned());
        match record.forecast() {
            Ok(ahead) => {
                if all.len() < TREND_READINGS {
                    self.not_known.push(format!("A trend needs {} more.", TREND_READINGS - all.len()));
                }
                self.forecast = Some(ahead.clone());
            }
            Err(gap) => self.gap(&gap),
        }
        self.elongation = Some(judged);
        Ok(())
    }

    fn axle(&mut self, record: &Record<'_>, reading: AxleReading) {
        let (left_mm, right_mm) = (reading.left_mm(), reading.right_mm());
        self.reasons.extend(alignment::reason(record.bike, [left_mm, right_mm]));
        let read = Read { slack_mm: None, left_mm: Some(left_mm), right_mm: Some(right_mm) };
        let place = Setup::fitted(record.bike).and_then(|setup| Slot::of(record.bike)?.place(setup));
        match place.and_then(|place| alignment::facts(record.bike, &place, read)) {
            Ok(facts) => self.facts.extend(facts),
            Err(gap) => self.gap(&gap),
        }
    }

    fn check(&mut self, check: &Check) {
        let verdict = match check.outcome() {
            Outcome::Good => Verdict::Ready,
            Outcome::Care => Verdict::Care,
            Outcome::Stop => Verdict::Stop,
        };
        let text = format!("{}: {}.", capital(check.kind().title), check.answer());
        let reason = Reason::new(verdict, "", text);
        self.reasons.push(match verdict {
            Verdict::Ready => reason,
            _ => reason.cleared_by("Put it right, then look again and record it", 30),
        });
    }

    fn gap(&mut self, gap: &Gap) {
        self.not_known.push(if gap.how_to.is_empty() {
            gap.text.clone()
        } else {
            format!("{} {}", gap.text, gap.how_to)
        });
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![
            Block::Verdict(self.verdict, self.verdict.words(), format!("{}.", capital(&self.sentence))),
            Block::Reasons(&self.reasons),
        ];
        if let Some(spot) = &self.tight_spot {
            blocks.push(Block::Heading("Where to set it, and is there a tight spot?"));
            blocks.push(Block::Facts(&spot.facts));
        }
        if let Some(slack) = &self.slack {
            blocks.extend(
                slack.blocks().into_iter().filter(|block| !matches!(block, Block::Reasons(_) | Block::Verdict(..))),
            );
        }
        if let Some(elongation) = &self.elongation {
            blocks.push(Block::Facts(&elongation.facts));
            blocks.push(Block::Table(&elongation.places));
        }
        if let Some(ahead) = &self.forecast {
            blocks.extend(ahead.blocks());
        }
        blocks.push(Block::Facts(&self.facts));
        blocks.extend(self.table.iter().map(Block::Table));
        blocks.push(Block::List(self.not_known.clone()));
        blocks
    }
}

fn place_table(reading: &SlackReading) -> Table {
    let columns = vec![
        Column::words("place", "Place"),
        Column::of("slack_mm", "Slack", "mm"),
        Column::words("at_links", "Links gone by"),
    ];
    let mut table = Table::new("slack", "Slack place by place; it is set at the tightest", columns);
    let tightest = reading.tightest_at();
    for (at, slack) in (1..).zip(reading.slack_mm()) {
        let word = if tightest.contains(&at) { format!("{at}, tightest") } else { at.to_string() };
        let links = reading.at_links().and_then(|links| links.get(at - 1));
        let links = links.map_or_else(|| "not counted".to_owned(), |links| number(*links, 0));
        table.rows.push(vec![Cell::words(word), Cell::of(*slack, "mm", 1), Cell::words(links)]);
    }
    table
}
