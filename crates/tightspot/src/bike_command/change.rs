//! What changes the record: figures set, a file read. What differs is said before it is stored.

use std::io::{self, IsTerminal as _, Read as _, Write};
use std::path::Path;

use jiff::Timestamp;
use measure::shown::{Units, in_units, written_digits};
use store::{ChangeId, Post, Store, StoreError};
use upkeep::bike::{self, Bike, Change, FIELDS, Fault};

use super::show::invented;
use crate::problem::Problem;

/// What `bike set` asks for.
pub(super) struct Wanted {
    name: Option<String>,
    changes: Vec<Change>,
    /// What was understood of each value that is put.
    echoes: Vec<String>,
}

impl Wanted {
    /// Parses every `FIELD=VALUE`; all faults are named together.
    pub(super) fn of(figures: &[String], source: Option<&str>) -> Result<Self, Problem> {
        let mut wanted = Self { name: None, changes: Vec::new(), echoes: Vec::new() };
        let mut faults = Vec::new();
        for figure in figures {
            if let Err(fault) = wanted.add(figure, source) {
                faults.push(fault);
            }
        }
        if faults.is_empty() { Ok(wanted) } else { Err(Problem::Usage(said(&faults))) }
    }

    /// The changes; a value that stands there already keeps its source if none is given.
    fn said_anew(&self, before: &Bike) -> Vec<Change> {
        let keeps = |change: &&Change| {
            let there = before.get(&change.field).map(|entry| &entry.value);
            change.value.is_none() || change.source.is_some() || there != change.value.as_ref()
        };
        self.changes.iter().filter(keeps).cloned().collect()
    }

    fn add(&mut self, figure: &str, source: Option<&str>) -> Result<(), Fault> {
        let Some((name, text)) = figure.split_once('=') else {
            let text = format!("\"{figure}\" has no value; write FIELD=VALUE, such as front_teeth=13.");
            return Err(Fault::new(figure, "no_value", text));
        };
        let (name, text) = (name.trim(), text.trim());
        if self.changes.iter().any(|change| change.field == name) || (name == "name" && self.name.is_some()) {
            return Err(Fault::new(name, "twice", format!("{name} is given twice. Give it once.")));
        }
        if name == "name" {
            bike::check_name(text)?;
            self.name = Some(text.to_owned());
            return Ok(());
        }
        let field = bike::known(name)?;
        let (value, source) = if text.is_empty() {
            (None, None)
        } else {
            let typed = field.typed(text)?;
            self.echoes.push(format!("{name} {}", typed.understood));
            (Some(typed.value), source.map(str::to_owned))
        };
        self.changes.push(Change { field: name.to_owned(), value, source });
        Ok(())
    }
}

fn said(faults: &[Fault]) -> Vec<String> {
    faults.iter().map(ToString::to_string).collect()
}

pub(super) fn set(
    out: &mut dyn Write,
    store: &mut Store,
    id: &str,
    wanted: &Wanted,
    dry_run: bool,
    now: Timestamp,
) -> Result<(), Problem> {
    let before = store.bike(id)?;
    let changes = wanted.said_anew(&before);
    let mut after = before.clone();
    after.change(&changes).map_err(|faults| Problem::Usage(said(&faults)))?;
    if let Some(name) = &wanted.name {
        after.name.clone_from(name);
    }
    for echo in &wanted.echoes {
        let _ = writeln!(io::stderr(), "Understood: {echo}");
    }
    if !announce(out, &before.id, &differences(Some(&before), &after), dry_run)? {
        return Ok(());
    }
    // The figures alone are written, so that what another program changed meanwhile stays.
    let post = Post::at(now);
    let mut last = None;
    if let Some(name) = &wanted.name {
        last = store.rename_bike(id, name, &post)?.change;
    }
    if !changes.is_empty() {
        last = store.set_fields(id, &changes, &post)?.change.or(last);
    }
    stored(out, id, last)
}

pub(super) fn import(
    out: &mut dyn Write,
    store: &mut Store,
    file: &Path,
    dry_run: bool,
    now: Timestamp,
) -> Result<(), Problem> {
    let text = read(file)?;
    let after = Bike::from_toml(&text).map_err(|faults| {
        let heading = format!("{} is not taken:", file.display());
        Problem::Failed(std::iter::once(heading).chain(said(&faults)).collect())
    })?;
    let before = match store.bike(&after.id) {
        Ok(bike) => Some(bike),
        Err(StoreError::NoSuchBike { .. }) => None,
        Err(why) => return Err(why.into()),
    };
    if announce(out, &after.id, &differences(before.as_ref(), &after), dry_run)? {
        let done = store.put_bike(&after, &Post::at(now))?;
        stored(out, &after.id, done.change)?;
    }
    Ok(())
}

/// The largest bike's file; a sheet is a few kilobytes.
const LARGEST_FILE: u64 = 1 << 20;

fn read(file: &Path) -> Result<String, Problem> {
    let cannot = |why: io::Error| Problem::failed(format!("{} cannot be read: {why}.", file.display()));
    let mut bytes = Vec::new();
    if file == Path::new("-") {
        let input = io::stdin().lock();
        if input.is_terminal() {
            return Err(Problem::usage(
                "Nothing comes from standard input. Give a file, or: … | tightspot bike import -",
            ));
        }
        input.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(cannot)?;
    } else {
        let open = std::fs::File::open(file).map_err(cannot)?;
        open.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(cannot)?;
    }
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(Problem::failed(format!(
            "{} is larger than 1 MiB; a bike's file has a few kilobytes.",
            file.display()
        )));
    }
    String::from_utf8(bytes).map_err(|_| Problem::failed(format!("{} is not UTF-8 text.", file.display())))
}

/// Says what differs; whether it is to be stored.
fn announce(out: &mut dyn Write, id: &str, lines: &[String], dry_run: bool) -> io::Result<bool> {
    for line in lines {
        writeln!(out, "{line}")?;
    }
    if lines.is_empty() {
        writeln!(out, "Nothing changes: {id} already says so.")?;
    } else if dry_run {
        writeln!(out, "Nothing is written: --dry-run.")?;
    }
    Ok(!lines.is_empty() && !dry_run)
}

/// Says that it is stored, and how it is taken back.
pub(super) fn stored(out: &mut dyn Write, id: &str, change: Option<ChangeId>) -> Result<(), Problem> {
    let undo = change.map(|change| format!("; to take it back: tightspot bike undo {change}")).unwrap_or_default();
    writeln!(out, "Stored. The sheet: tightspot bike show {id}{undo}")?;
    Ok(())
}

/// What differs, a line each.
/// A value without its unit, with no more digits than can be set.
fn value_words(field: &bike::BikeField, value: &bike::Value) -> String {
    match value {
        bike::Value::Number(number) => in_units(Units::Metric, || written_digits(*number, field.unit)),
        other => other.to_string(),
    }
}

fn differences(before: Option<&Bike>, after: &Bike) -> Vec<String> {
    let mut lines = Vec::new();
    match before {
        None => lines.push(format!("{}: new bike \"{}\"{}", after.id, after.name, invented(after))),
        Some(before) => {
            if before.name != after.name {
                lines.push(format!("name: {} → {}", before.name, after.name));
            }
            if before.invented != after.invented {
                lines.push(format!("invented: {} → {}", before.invented, after.invented));
            }
        }
    }
    for field in FIELDS {
        let old = before.and_then(|bike| bike.get(field.name));
        let new = after.get(field.name);
        if old == new {
            continue;
        }
        let shown = |entry: Option<&bike::Entry>| match entry {
            Some(entry) => match &entry.source {
                Some(source) => format!("{} ({source})", value_words(field, &entry.value)),
                None => value_words(field, &entry.value),
            },
            None => "not known".to_owned(),
        };
        lines.push(format!("{}: {} → {}", field.name, shown(old), shown(new)));
    }
    lines
}
