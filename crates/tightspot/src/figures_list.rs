//! `tightspot figures --list` for a person: every figure with its inputs, units, bounds, answer, formula and source. Programs
//! get the API's own list.

use std::io::{self, Write};

use figures::{Field, Kind, Need};

use crate::terminal::{wrapped, wrapped_at};

/// Prints the list for a person.
pub(crate) fn print(out: &mut dyn Write) -> io::Result<()> {
    for figure in figures::all() {
        writeln!(out, "{}", figure.name)?;
        wrapped(out, "  ", figure.says)?;
        writeln!(out, "  given:")?;
        for field in figure.given {
            print_field(out, field, 4)?;
        }
        writeln!(out, "  answer:")?;
        for (name, meaning) in figure.answer {
            hanging(out, 4, &format!("{name}: {meaning}"))?;
        }
        hanging(out, 2, &format!("formula: {}", figure.formula))?;
        hanging(out, 2, &format!("sources: {}", figure.sources.join(", ")))?;
        writeln!(out)?;
    }
    Ok(())
}

/// A line whose later lines stand four columns further in.
fn hanging(out: &mut dyn Write, indent: usize, words: &str) -> io::Result<()> {
    let (first, rest) = words.split_once(' ').unwrap_or((words, ""));
    let lead = format!("{:indent$}{first}", "");
    if rest.is_empty() { writeln!(out, "{lead}") } else { wrapped_at(out, &format!("{lead} "), indent + 4, rest) }
}

fn print_field(out: &mut dyn Write, field: &Field, indent: usize) -> io::Result<()> {
    let need = match field.need {
        Need::Required => String::new(),
        Need::Optional(default) => format!(" (optional; left out: {default})"),
    };
    let meaning = if field.meaning.is_empty() { String::new() } else { format!(" – {}", field.meaning) };
    hanging(out, indent, &format!("{}: {}{need}{meaning}", field.name, possible(field.kind)))?;
    match field.kind {
        Kind::Object(members) => members.iter().try_for_each(|member| print_field(out, member, indent + 2)),
        _ => Ok(()),
    }
}

/// What a field takes, in words.
fn possible(kind: Kind) -> String {
    match kind {
        Kind::Number(bound) => format!("a number, {}", bound.range()),
        Kind::Whole(bound) => format!("a whole number, {}", bound.range()),
        Kind::Text => "text".to_owned(),
        Kind::Word(words) => format!("one of {}", words.join(", ")),
        Kind::Flag => "true or false".to_owned(),
        Kind::Numbers(bound) => format!("a list of numbers, each {}", bound.range()),
        Kind::NumbersOrNull(bound) => format!("a list of numbers, each {}, null where one is missing", bound.range()),
        Kind::Nested => "a list or object".to_owned(),
        Kind::Any => "a number or a list".to_owned(),
        Kind::Object(_) => "an object".to_owned(),
    }
}
