//! A work order read out of the record with all that it is shown from: the same for pages and commands.

use std::sync::Arc;

use advice::bench::take::{Trouble, bound_of};
use advice::bench::{Desk, Laid, close};
use advice::plan::{self, Wish};
use advice::{Gap, Setup};
use jiff::civil::DateTime;
use store::{Done, NewBench, NewEntry, NewLines, Post, StoreError};
use upkeep::bike::{self, Bike, Change};
use upkeep::job::bench::{Bench, Manual, Said, What};
use upkeep::job::handbook::{self, FigureEntry};
use upkeep::record::{Fact, Log, Work};
use upkeep::supply::{Shelf, Supply};

use crate::garage::Garage;

/// An order with all that it is shown from.
pub(crate) struct Loaded {
    pub(crate) bike: Bike,
    pub(crate) bench: Bench,
    pub(crate) before: Vec<Bench>,
    pub(crate) manual: Vec<Manual>,
    pub(crate) log: Arc<Log>,
    pub(crate) now: DateTime,
    pub(crate) who: Option<String>,
}

impl Loaded {
    /// The order of a number.
    ///
    /// # Errors
    /// There is none of that bike, or the store cannot be read.
    pub(crate) fn of(
        garage: &Garage,
        bike: Bike,
        now: DateTime,
        who: Option<String>,
        id: i64,
    ) -> Result<Self, StoreError> {
        let before = garage.store().benches(&bike.id)?;
        let bench = before.iter().find(|bench| bench.id == id).cloned().ok_or(StoreError::NoSuchBench { id })?;
        let (manual, log) = (garage.store().manual(&bike.id)?, garage.log(&bike.id)?);
        Ok(Self { bike, bench, before, manual, log, now, who })
    }

    /// The desk.
    pub(crate) fn desk(&self) -> Desk<'_> {
        Desk {
            bike: &self.bike,
            manual: &self.manual,
            bench: &self.bench,
            before: &self.before,
            handbook: handbook::in_use(),
            now: self.now,
            who: self.who.as_deref(),
        }
    }

    /// Writes lines with what follows from them.
    ///
    /// # Errors
    /// Somebody wrote meanwhile, or the store cannot be written.
    pub(crate) fn write(&self, garage: &mut Garage, post: &Post<'_>, lines: NewLines) -> Result<Done, StoreError> {
        let facts = work_of(&lines.what, self.now).into_iter().chain(lines.facts).collect();
        let supplies = if lines.what.contains(&What::Closed) { self.taken(garage)? } else { Vec::new() };
        let (seen, who) = (self.bench.last_line(), self.who.clone());
        let lines = NewLines { seen, at: self.now, who, facts, supplies, ..lines };
        garage.store_mut().write_bench(&self.bike.id, self.bench.id, &lines, post)
    }

    /// What giving it up writes.
    ///
    /// # Errors
    /// Something is open on the bike, in a sentence.
    pub(crate) fn dropped(&self, laid: &Laid) -> Result<NewLines, String> {
        close::dropping(&self.desk(), laid)?;
        let work = self.bench.jobs_now().into_iter().filter_map(|job| Work::new(job, "dropped").ok());
        let facts = work.map(|work| NewEntry::new(self.now, Fact::Work(work))).collect();
        Ok(NewLines { what: vec![What::Dropped], facts, ..NewLines::default() })
    }

    /// The change that closed it or gave it up.
    pub(crate) fn ended(&self) -> Option<i64> {
        let end = |what: &What| matches!(what, What::Closed | What::Dropped);
        self.bench.lines.iter().rev().find(|line| end(&line.what)).map(|line| line.change)
    }

    /// What closing takes off the shelf; opening the order again lays it back, for it is the same change.
    fn taken(&self, garage: &Garage) -> Result<Vec<Supply>, StoreError> {
        let kept = garage.store().supplies(&self.bike.id)?;
        let shelf = Shelf::of(kept.iter().map(|kept| (kept.at.date(), &kept.supply)));
        Ok(self.desk().lay_out().map(|laid| close::taken(&laid, &shelf)).unwrap_or_default())
    }

    /// Whether somebody ticked a step after a line that was seen.
    pub(crate) fn ticked_since(&self, step: &str, seen: i64) -> bool {
        let is = |what: &What| matches!(what, What::Ticked { step: known, .. } if known == step);
        self.bench.lines.iter().any(|line| line.id > seen && is(&line.what))
    }
}

/// A new order with the work that begins with it.
///
/// # Errors
/// It cannot be planned, or a job is none of the library.
pub(crate) fn begun(bike: &Bike, setup: Setup, wish: &Wish, at: DateTime) -> Result<(NewBench, Vec<NewEntry>), Gap> {
    plan::view(bike, setup, wish)?;
    let names: Vec<&str> = wish.jobs.iter().map(String::as_str).collect();
    let facts = close::begun(&names).map_err(|fault| Gap {
        figure: "",
        field: "jobs".to_owned(),
        missing: false,
        text: fault.text,
        how_to: String::new(),
    })?;
    let setup = [setup.front_teeth, setup.rear_teeth, setup.links];
    let new = NewBench { at, jobs: wish.jobs.clone(), choices: plan::answers(bike, wish), setup };
    Ok((new, facts.into_iter().map(|fact| NewEntry::new(at, fact)).collect()))
}

/// Work that begins because a job came into an order.
fn work_of(what: &[What], now: DateTime) -> Vec<NewEntry> {
    let begun = what.iter().filter_map(|what| match what {
        What::Added { job, .. } => Work::new(job, "begun").ok(),
        _ => None,
    });
    begun.map(|work| NewEntry::new(now, Fact::Work(work))).collect()
}

/// A figure of the manual as it was typed: for the sheet, or beside it.
pub(crate) enum TypedFigure {
    /// Fields of the sheet.
    Sheet(Vec<Change>),
    /// A figure that the sheet has no field for.
    Manual(Manual),
}

impl TypedFigure {
    /// Reads a figure of the library; `asked` gives what was typed under a name: `value`, `value_to`, `source`, or the
    /// sheet's own fields.
    ///
    /// # Errors
    /// Everything wrong, each with its field.
    pub(crate) fn read(id: &str, asked: impl Fn(&str) -> String) -> Result<Self, Vec<Trouble>> {
        let source = asked("source").trim().to_owned();
        let Some(entry) = handbook::in_use().figure(id) else {
            return Err(vec![at("source", format!("\"{id}\" is no figure of the library."))]);
        };
        let mut troubles = Vec::new();
        if source.is_empty() {
            troubles.push(at("source", "Say where it stands: document and page."));
        }
        let missing = advice::bench::figure::missing(entry);
        let mut changes = Vec::new();
        for field in missing.entries.iter().filter(|one| one.on_sheet).filter_map(|one| bike::field(&one.name)) {
            match field.typed(asked(field.name).trim()) {
                Ok(typed) => changes.push(Change {
                    field: field.name.to_owned(),
                    value: Some(typed.value),
                    source: Some(source.clone()),
                }),
                Err(fault) => troubles.push(at(field.name, fault.text)),
            }
        }
        if !troubles.is_empty() {
            return Err(troubles);
        }
        if !changes.is_empty() {
            return Ok(Self::Sheet(changes));
        }
        let said = said(entry, asked("value").trim(), asked("value_to").trim()).map_err(|trouble| vec![trouble])?;
        Manual::new(id, said, &source).map(Self::Manual).map_err(|fault| vec![at(fault.field, fault.text)])
    }

    /// Reads a figure given by its value alone, or by both ends of a range.
    ///
    /// # Errors
    /// As [`TypedFigure::read`].
    pub(crate) fn of_values(id: &str, [value, to]: [&str; 2], source: &str) -> Result<Self, Vec<Trouble>> {
        let names = handbook::in_use().figure(id).map(advice::bench::figure::missing);
        let fields: Vec<String> =
            names.into_iter().flat_map(|missing| missing.entries).map(|entry| entry.name).collect();
        Self::read(id, |name| match name {
            "source" => source.to_owned(),
            "value_to" => to.to_owned(),
            // A band of the sheet has two fields: the second one is its upper end.
            name if fields.iter().position(|known| known == name) == Some(1) => to.to_owned(),
            _ => value.to_owned(),
        })
    }

    /// Keeps it.
    ///
    /// # Errors
    /// The store cannot be written, or the sheet does not take it.
    pub(crate) fn keep(&self, garage: &mut Garage, bike: &str, post: &Post<'_>) -> Result<Done, StoreError> {
        match self {
            Self::Sheet(changes) => garage.store_mut().set_fields(bike, changes, post),
            Self::Manual(manual) => garage.store_mut().put_manual(bike, manual, post),
        }
    }
}

fn at(field: impl Into<String>, text: impl Into<String>) -> Trouble {
    Trouble { field: field.into(), text: text.into() }
}

fn said(entry: &FigureEntry, value: &str, to: &str) -> Result<Said, Trouble> {
    if advice::bench::figure::is_words(entry) {
        return Ok(Said::Words(value.to_owned()));
    }
    let bound = bound_of(&entry.unit);
    let number = |field: &str, text: &str| {
        let read = measure::entry::number(text, bound);
        read.map(|typed| typed.value).map_err(|fault| at(field, fault.to_string()))
    };
    let low = number("value", value)?;
    let high = if to.is_empty() { low } else { number("value_to", to)? };
    Ok(Said::Number { low, high })
}
