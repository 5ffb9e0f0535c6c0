//! What every command that writes a fact down has in common: its time, the meter beside it, what is said afterwards.

use advice::{Block, record};
use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use measure::bounds::record as bounds;
use serde::Serialize;
use store::{ChangeId, NewEntry, Post, StoreError};
use upkeep::bike::{Bike, Fault};
use upkeep::record::{Entry, Fact, Log, Meter};

use super::show;
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::problem::Problem;
use crate::record_args::WhenArgs;

/// When a fact was so, with what the meter showed.
pub(super) struct When {
    pub(super) at: DateTime,
    pub(super) meter: Option<Meter>,
    pub(super) corrects: Option<i64>,
    pub(super) note: Option<String>,
}

/// A fault of a fact, as a command's fault.
pub(super) fn fault(fault: Fault) -> Problem {
    Problem::usage(fault.text)
}

/// A day or time; a day of its own stands for its evening, today for now.
pub(super) fn time(field: &str, text: &str, now: DateTime, hour: i8) -> Result<DateTime, Problem> {
    let text = text.trim();
    if let Ok(day) = text.parse::<Date>()
        && !text.contains(['T', ' '])
    {
        return Ok(if day == now.date() { now } else { day.at(hour, 0, 0, 0) });
    }
    text.parse().map_err(|_| {
        Problem::usage(format!("{field}: \"{text}\" is no day; write 2026-09-24, or 2026-09-24T18:00 with its time."))
    })
}

impl When {
    /// Parses what was typed.
    pub(super) fn of(place: &Place, args: &WhenArgs, hour: i8) -> Result<Self, Problem> {
        let now = Garage::clock(place);
        let at = args.at.as_deref().map_or(Ok(now), |text| time("at", text, now, hour))?;
        if at > now {
            return Err(Problem::usage(format!("at: {at} is still to come; what was done or read lies before now.")));
        }
        let mut door = Door::of_command();
        let meter = door.number("meter", args.meter.as_deref(), &bounds::METER);
        if !door.faults.is_empty() {
            return Err(door.faults.into());
        }
        let meter = meter.map(Meter::read).transpose().map_err(fault)?;
        Ok(Self { at, meter, corrects: args.corrects, note: args.note.clone() })
    }

    /// The facts as entries, the meter first; the note and what is corrected belong to the first fact.
    pub(super) fn entries(&self, facts: Vec<Fact>) -> Vec<NewEntry> {
        let meter = self.meter.map(|meter| NewEntry::new(self.at, Fact::Meter(meter)));
        let mut own: Vec<NewEntry> = facts.into_iter().map(|fact| NewEntry::new(self.at, fact)).collect();
        if let Some(first) = own.first_mut() {
            first.corrects = self.corrects;
            first.note.clone_from(&self.note);
        }
        meter.into_iter().chain(own).collect()
    }

    /// Writes facts down, in one change, unless the meter would go back.
    pub(super) fn write(&self, garage: &mut Garage, bike: &Bike, facts: Vec<Fact>) -> Result<ChangeId, Problem> {
        let entries = self.entries(facts);
        meter_runs_on(garage, bike, &entries)?;
        let done = garage.store_mut().note(&bike.id, &entries, &Post::at(Timestamp::now())).map_err(asked)?;
        done.change.ok_or_else(|| Problem::failed("Nothing was written."))
    }
}

/// A store's refusal of what was asked is a fault of the asking.
pub(super) fn asked(why: StoreError) -> Problem {
    match why {
        StoreError::Entry { .. } | StoreError::Ride { .. } => Problem::usage(why.to_string()),
        _ => why.into(),
    }
}

/// Refuses hours that lie below those before them.
pub(crate) fn meter_runs_on(garage: &Garage, bike: &Bike, new: &[NewEntry]) -> Result<(), Problem> {
    if !new.iter().any(|entry| matches!(entry.fact, Fact::Meter(_))) {
        return Ok(());
    }
    let log = garage.store().log(&bike.id)?;
    let mut all: Vec<Entry> = log.entries().to_vec();
    let next = all.iter().map(|entry| entry.id).max().unwrap_or_default() + 1;
    all.extend((next..).zip(new).map(|(id, entry)| Entry {
        id,
        change: 0,
        at: entry.at,
        corrects: entry.corrects,
        note: None,
        fact: entry.fact.clone(),
    }));
    let Some(last) = all.iter().map(|entry| entry.at).max() else { return Ok(()) };
    match record::total(&Log::new(all, Vec::new()).clock(last)) {
        Ok(_) => Ok(()),
        Err(gap) => Err(Problem::Usage(vec![
            gap.text,
            "Changed the meter? tightspot drive meter --swap OLD NEW. Mistyped before? Correct that entry with --corrects N."
                .to_owned(),
        ])),
    }
}

/// What was written, and the answer that follows from it.
#[derive(Serialize)]
pub(super) struct Written<'a, V> {
    pub(super) change: ChangeId,
    pub(super) answer: &'a V,
    #[serde(skip)]
    pub(super) next: &'static str,
}

impl<V: Serialize> Written<'_, V> {
    /// Says what was written, the answer, how to take it back and what to do next.
    pub(super) fn show(&self, place: &Place, answer: &[Block<'_>]) -> Result<(), Problem> {
        let mut blocks = vec![Block::Text(format!(
            "Saved as change {}. To take it back: tightspot bike undo {}",
            self.change, self.change
        ))];
        blocks.extend_from_slice(answer);
        if !self.next.is_empty() {
            blocks.push(Block::Text(format!("Next: {}", self.next)));
        }
        show(place, self, &blocks)
    }
}
