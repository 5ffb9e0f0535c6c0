//! What the record says of bikes: the list, a sheet, its history, its file.

use std::io::{self, Write};
use std::path::Path;

use measure::shown::written;
use serde_json::{Map, Value as Json, json};
use store::Store;
use upkeep::bike::{Bike, FIELDS, Section, Value};

use crate::args::Place;
use crate::folders;
use crate::problem::Problem;
use crate::terminal::{WIDTH, wrapped};

pub(super) fn list(out: &mut dyn Write, place: &Place, store: &Store) -> Result<(), Problem> {
    let mut bikes = Vec::new();
    for listed in store.bikes()? {
        bikes.push(store.bike(&listed.id)?);
    }
    if place.json {
        let all: Vec<_> = bikes
            .iter()
            .map(|bike| json!({"id": bike.id, "name": bike.name, "invented": bike.invented, "known": bike.entries().count()}))
            .collect();
        writeln!(out, "{}", Json::from(all))?;
        return Ok(());
    }
    for bike in &bikes {
        let known = bike.entries().count();
        if place.plain {
            writeln!(out, "{}\t{}\t{}\t{known}", bike.id, bike.name, bike.invented)?;
        } else {
            writeln!(
                out,
                "{:<20}  {}{}, {known} of {} figures known",
                bike.id,
                bike.name,
                invented(bike),
                FIELDS.len()
            )?;
        }
    }
    if bikes.is_empty() && !place.plain {
        let _ = writeln!(io::stderr(), "There is no bike yet: bring one in with `tightspot bike import FILE`.");
    }
    Ok(())
}

pub(super) const fn invented(bike: &Bike) -> &'static str {
    if bike.invented { " (invented figures)" } else { "" }
}

pub(super) fn show(out: &mut dyn Write, place: &Place, bike: &Bike, missing: bool) -> Result<(), Problem> {
    if place.json {
        writeln!(out, "{}", as_json(bike))?;
    } else if place.plain {
        for (field, entry) in bike.entries() {
            let source = entry.source.as_deref().unwrap_or_default();
            writeln!(out, "{}\t{}\t{}\t{source}", field.name, store::json(&entry.value), field.unit)?;
        }
    } else {
        writeln!(out, "{} ({}){}", bike.name, bike.id, invented(bike))?;
        for section in Section::ALL {
            show_section(out, bike, section)?;
        }
        show_missing(out, bike, missing)?;
    }
    Ok(())
}

fn as_json(bike: &Bike) -> Json {
    let fields: Map<_, _> =
        bike.entries().map(|(field, entry)| (field.name.to_owned(), store::json(&entry.value))).collect();
    let sources: Map<_, _> = bike
        .entries()
        .filter_map(|(field, entry)| Some((field.name.to_owned(), Json::from(entry.source.as_deref()?))))
        .collect();
    json!({"id": bike.id, "name": bike.name, "invented": bike.invented, "fields": fields, "sources": sources})
}

fn show_section(out: &mut dyn Write, bike: &Bike, section: Section) -> io::Result<()> {
    let mut lines = bike.entries().filter(|(field, _)| field.section == section).peekable();
    if lines.peek().is_some() {
        writeln!(out, "\n{}", section.title())?;
    }
    for (field, entry) in lines {
        // A curve says its own units, point by point.
        let value = match &entry.value {
            Value::Number(number) => written(*number, field.unit),
            Value::Curve(_) => entry.value.to_string(),
            other => format!("{other} {}", field.unit).trim_end().to_owned(),
        };
        let source = entry.source.as_ref().map(|source| format!("  ({source})")).unwrap_or_default();
        fitted(out, &format!("  {:<28}  ", field.name), &format!("{value}{source}"))?;
    }
    Ok(())
}

/// A line as it stands, or wrapped where it is longer than what the terminal keeps to.
fn fitted(out: &mut dyn Write, lead: &str, words: &str) -> io::Result<()> {
    let fits = lead.chars().count() + words.chars().count() <= WIDTH;
    if fits { writeln!(out, "{lead}{words}") } else { wrapped(out, lead, words) }
}

fn show_missing(out: &mut dyn Write, bike: &Bike, how_to: bool) -> io::Result<()> {
    let missing: Vec<_> = FIELDS.iter().filter(|field| bike.get(field.name).is_none()).collect();
    if missing.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nNot known: {} of {} figures", missing.len(), FIELDS.len())?;
    if how_to {
        for field in missing {
            fitted(out, &format!("  {:<28}  ", field.name), &format!("{}: {}", field.word, field.how_to))?;
        }
    } else {
        writeln!(out, "  `tightspot bike show {} --missing` says of each how to get it.", bike.id)?;
    }
    Ok(())
}

pub(super) fn history(out: &mut dyn Write, place: &Place, store: &Store, bike: &Bike) -> Result<(), Problem> {
    let facts = store.history(&bike.id)?;
    if place.json {
        let all: Vec<_> = facts
            .iter()
            .map(|fact| {
                json!({"change": fact.change, "at": fact.at.to_string(), "field": fact.field,
                       "value": fact.value.as_ref().map(store::json), "source": fact.source, "undone": fact.undone})
            })
            .collect();
        writeln!(out, "{}", Json::from(all))?;
        return Ok(());
    }
    for fact in facts {
        let value = fact.value.as_ref().map_or_else(|| "taken off".to_owned(), ToString::to_string);
        let (source, undone) = (fact.source.as_deref().unwrap_or_default(), if fact.undone { "undone" } else { "" });
        if place.plain {
            writeln!(out, "{}\t{}\t{}\t{value}\t{source}\t{undone}", fact.change, fact.at, fact.field)?;
        } else {
            let source = if source.is_empty() { String::new() } else { format!("  ({source})") };
            let undone = if undone.is_empty() { "" } else { "  [undone]" };
            let lead = format!("{:>5}  {:.0}  ", fact.change, fact.at);
            fitted(out, &lead, &format!("{} = {value}{source}{undone}", fact.field))?;
        }
    }
    Ok(())
}

pub(super) fn export(out: &mut dyn Write, bike: &Bike, output: Option<&Path>) -> Result<(), Problem> {
    let text = bike.to_toml();
    match output.filter(|file| *file != Path::new("-")) {
        None => out.write_all(text.as_bytes())?,
        Some(file) => {
            folders::write_new(file, text.as_bytes()).map_err(|why| {
                let advice = if why.kind() == io::ErrorKind::AlreadyExists { " Name another file." } else { "" };
                Problem::failed(format!("{} cannot be written: {why}.{advice}", file.display()))
            })?;
            writeln!(out, "Written: {}", file.display())?;
        }
    }
    Ok(())
}
