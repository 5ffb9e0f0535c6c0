//! Sheet → file. Every number is written so that it reads back digit for digit.

use std::fmt::Write as _;

use super::SCHEMA;
use crate::bike::{Bike, BikeField, Ratio, Section, Value};

/// The column at which comments begin, where the value leaves room.
const COMMENT_AT: usize = 34;

impl Bike {
    /// The sheet as its file, commented with word and unit; reading it gives the same sheet again.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut out = format!("# Bike sheet. A line left out means: not known.\nschema = {SCHEMA}\n");
        for section in Section::ALL {
            let lines: Vec<_> = self.entries().filter(|(field, _)| field.section == section).collect();
            if lines.is_empty() && section != Section::Bike {
                continue;
            }
            let _ = writeln!(out, "\n[{}]", section.word());
            if section == Section::Bike {
                line(&mut out, "id", &quoted(&self.id), "in addresses and commands");
                line(&mut out, "name", &quoted(&self.name), "as you call it");
                line(&mut out, "invented", &self.invented.to_string(), "true: figures made up, for show only");
            }
            for (field, entry) in lines {
                line(&mut out, field.name, &written(&entry.value), &comment(field));
            }
        }
        self.sources(&mut out);
        out
    }

    fn sources(&self, out: &mut String) {
        let mut lines =
            self.entries().filter_map(|(field, entry)| Some((field.name, entry.source.as_ref()?))).peekable();
        if lines.peek().is_some() {
            out.push_str("\n[source]  # where each figure stands, or how it was measured\n");
        }
        for (name, source) in lines {
            let _ = writeln!(out, "{name} = {}", quoted(source));
        }
    }
}

fn line(out: &mut String, name: &str, value: &str, comment: &str) {
    let _ = writeln!(out, "{:<COMMENT_AT$}  # {comment}", format!("{name} = {value}"));
}

fn comment(field: &BikeField) -> String {
    if field.unit.is_empty() { field.word.to_owned() } else { format!("{}, {}", field.word, field.unit) }
}

fn written(value: &Value) -> String {
    match value {
        Value::Number(number) => format!("{number:?}"),
        Value::Whole(count) => count.to_string(),
        Value::Word(text) | Value::Text(text) => quoted(text),
        Value::Flag(flag) => flag.to_string(),
        Value::Ratio(one) => ratio(*one),
        Value::Ratios(ratios) => list(ratios.iter().map(|one| ratio(*one))),
        Value::Curve(points) => list(points.iter().map(|[rpm, torque]| format!("[{rpm:?}, {torque:?}]"))),
    }
}

fn ratio(ratio: Ratio) -> String {
    match ratio {
        Ratio::Number(number) => format!("{number:?}"),
        Ratio::Teeth { driver, driven } => format!("[{driver}, {driven}]"),
    }
}

fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

/// A basic string; the sheet's texts hold no control characters.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
