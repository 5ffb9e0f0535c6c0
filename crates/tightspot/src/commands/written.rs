//! What every command that writes a fact down has in common: its time, the meter beside it, what is said afterwards.

use advice::Block;
use jiff::Timestamp;
use jiff::civil::DateTime;
use measure::bounds::record as bounds;
use serde::Serialize;
use store::{ChangeId, NewEntry, Post, StoreError};
use upkeep::bike::{Bike, Fault};
use upkeep::record::{Fact, Meter};

use super::show;
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::noted;
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
pub(super) fn time(field: &'static str, text: &str, now: DateTime, hour: i8) -> Result<DateTime, Problem> {
    noted::time(field, text, now, hour).map_err(|fault| vec![fault].into())
}

impl When {
    /// Parses what was typed.
    pub(super) fn of(place: &Place, args: &WhenArgs, hour: i8) -> Result<Self, Problem> {
        let now = Garage::clock(place);
        let at = noted::past("at", args.at.as_deref(), now, hour).map_err(|fault| Problem::from(vec![fault]))?;
        let mut door = Door::of_command();
        let meter = door.number("meter", args.meter.as_deref(), &bounds::METER);
        door.closed()?;
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

    /// Writes facts down, in one change, unless the meter would go back or a part go from where it never was.
    pub(super) fn write(&self, garage: &mut Garage, bike: &Bike, facts: Vec<Fact>) -> Result<ChangeId, Problem> {
        let entries = self.entries(facts);
        meter_runs_on(garage, bike, &entries)?;
        noted::part::was_there(&*garage.log(&bike.id)?, &entries).map_err(|fault| Problem::from(vec![fault]))?;
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
    noted::meter_runs_on(&*garage.log(&bike.id)?, new).map_err(|gap| went_back(gap.text))
}

/// A meter that went back: what was it.
pub(super) fn went_back(text: String) -> Problem {
    Problem::Usage(vec![
        text,
        "Changed the meter? tightspot drive meter --swap OLD NEW. Mistyped before? Correct that entry with --corrects N."
            .to_owned(),
    ])
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
