//! Sets as they were typed → facts: kept together, put on, taken off, kept no longer.

use advice::Gap;
use advice::record::Record;
use advice::record::kept_sets::{self, Exchange, Wanted};
use jiff::civil::DateTime;
use store::{Done, NewEntry, Post, StoreError};
use upkeep::bike::{Bike, Change, Value};
use upkeep::record::{Check, Entry, Fact, Log, Meter, Set};

use crate::garage::Garage;
use crate::problem::Problem;

/// What is done with sets.
pub(crate) enum Act<'t> {
    /// Put the set of this name on.
    On(&'t str),
    /// Take off what is on.
    Off,
}

/// A change of sets, ready to be written: facts in their order and what the sheet says afterwards.
pub(crate) struct Ready {
    /// The facts.
    pub(crate) entries: Vec<NewEntry>,
    /// What the sheet says afterwards.
    pub(crate) sheet: Vec<Change>,
    /// What goes where, in words.
    pub(crate) words: Vec<String>,
}

/// Works out what an act comes to at a time, the meter of that time counted in.
///
/// # Errors
/// What stands against it.
pub(crate) fn ready(
    garage: &Garage,
    bike: &Bike,
    act: &Act<'_>,
    (at, meter): (DateTime, Option<Meter>),
    checks: Vec<Check>,
) -> Result<Ready, Problem> {
    let meter = meter.map(|meter| NewEntry::new(at, Fact::Meter(meter)));
    let record = with_meter(garage, bike, at, meter.as_ref())?;
    let exchange = match act {
        Act::On(name) => kept_sets::put_on(&record, name),
        Act::Off => kept_sets::take_off(&record),
    };
    let exchange = exchange.map_err(refused)?;
    let facts = exchange.facts().map_err(refused)?;
    let own = facts.into_iter().chain(checks.into_iter().map(Fact::Check)).map(|fact| NewEntry::new(at, fact));
    let sheet = sheet(bike, &exchange, act);
    let mut words = exchange.words();
    words.extend(sheet.iter().map(|change| {
        let value = change.value.as_ref().map(ToString::to_string).unwrap_or_default();
        format!("On the bike sheet: {} = {value}", change.field)
    }));
    Ok(Ready { entries: meter.into_iter().chain(own).collect(), sheet, words })
}

/// The record at a time with what the meter shows then.
fn with_meter<'b>(
    garage: &Garage,
    bike: &'b Bike,
    at: DateTime,
    meter: Option<&NewEntry>,
) -> Result<Record<'b>, Problem> {
    let log = garage.log(&bike.id)?;
    let next = log.entries().iter().map(|entry| entry.id).max().unwrap_or_default() + 1;
    let entry = meter.map(|new| Entry { id: next, change: 0, at, corrects: None, note: None, fact: new.fact.clone() });
    let entries = log.entries().iter().cloned().chain(entry).collect();
    let log = Log::new(entries, log.rides().to_vec());
    Ok(Record::new(bike, &log, at).with_benches(garage.benches(&bike.id)?))
}

fn sheet(bike: &Bike, exchange: &Exchange, act: &Act<'_>) -> Vec<Change> {
    let source = match act {
        Act::On(name) => format!("the set \"{name}\" put on"),
        Act::Off => "taken off".to_owned(),
    };
    let change = |(field, count): (&str, u32)| Change {
        field: field.to_owned(),
        value: Some(Value::Whole(count)),
        source: Some(source.clone()),
    };
    exchange.sheet(bike).into_iter().map(change).collect()
}

/// A set put together out of what is named, role by role: nothing for the part that is on, `-` for none.
///
/// # Errors
/// What stands against it.
pub(crate) fn kept(record: &Record<'_>, name: &str, parts: [&str; 3]) -> Result<Fact, Gap> {
    let wanted = parts.map(|part| match part.trim() {
        "" => Wanted::Fitted,
        "-" => Wanted::None,
        part => Wanted::Named(part),
    });
    kept_sets::put_together(record, name, wanted).map(Fact::Set)
}

/// A set that is one no longer; its parts stay where they are.
///
/// # Errors
/// There is none of that name.
pub(crate) fn forgotten(record: &Record<'_>, name: &str) -> Result<Fact, Gap> {
    let set = kept_sets::named(record, name)?;
    let gone = Set::new(set.name().to_owned(), set.parts().to_vec(), true);
    gone.map(Fact::Set).map_err(|fault| Gap {
        figure: "",
        field: "set".to_owned(),
        missing: false,
        text: fault.text,
        how_to: String::new(),
    })
}

/// Writes a change of sets down, facts and sheet as one.
///
/// # Errors
/// The store cannot be written, or the sheet would not fit together.
pub(crate) fn write(garage: &mut Garage, bike: &Bike, ready: &Ready, post: &Post<'_>) -> Result<Done, StoreError> {
    garage.store_mut().note_on_sheet(&bike.id, &ready.entries, &ready.sheet, post)
}

fn refused(gap: Gap) -> Problem {
    Problem::usage(gap.text)
}
