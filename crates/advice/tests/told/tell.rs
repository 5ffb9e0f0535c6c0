//! A view as lines of text: its blocks in reading order, then everything that a program reads, numbers rounded.

use std::fmt::Write as _;

use advice::{Block, Gap, Table};
use serde::Serialize;
use serde_json::{Map, Value};

/// As long as a line may get before what it shows is told piece by piece.
const WIDE: usize = 200;
/// As much as is written of a line that is gone.
const SHORT: usize = 40;
/// Lists longer than this are told by their ends and sums: curves and outlines, no words.
const LONG: usize = 30;

/// A view with its blocks, or why there is none.
pub(crate) fn told<T: Serialize>(answer: &Result<T, Gap>, blocks: impl Fn(&T) -> Vec<Block<'_>>) -> Vec<String> {
    match answer {
        Ok(view) => {
            let mut lines: Vec<String> = blocks(view).iter().flat_map(block).collect();
            lines.extend(value(view));
            lines
        }
        Err(gap) => value(gap),
    }
}

/// A view without blocks.
pub(crate) fn plain<T: Serialize>(answer: &Result<T, Gap>) -> Vec<String> {
    told(answer, |_| Vec::new())
}

/// Whatever a program reads of it.
pub(crate) fn value<T: Serialize + ?Sized>(view: &T) -> Vec<String> {
    let mut lines = Vec::new();
    flat("", &serde_json::to_value(view).expect("it can be written"), &mut lines);
    lines
}

/// The words of blocks; facts and tables by name, for their words follow among what a program reads.
pub(crate) fn block(block: &Block<'_>) -> Vec<String> {
    match block {
        Block::Heading(words) => vec![format!("# {words}")],
        Block::Verdict(verdict, words, sentence) => vec![format!("= {} {words}: {sentence}", verdict.code())],
        Block::Reasons(reasons) => vec![format!("reasons {}", reasons.len())],
        Block::Facts(facts) => {
            vec![format!("facts {}", facts.iter().map(|fact| fact.key).collect::<Vec<_>>().join(" "))]
        }
        Block::Table(table) => vec![format!("table {} of {}", table.key, table.rows.len())],
        Block::Text(words) => vec![format!("> {words}")],
        Block::List(items) => items.iter().map(|words| format!("- {words}")).collect(),
    }
}

fn flat(path: &str, value: &Value, lines: &mut Vec<String>) {
    if let Some(table) = as_table(value) {
        lines.push(format!("{path} [{}] {}", table.0, table.1));
        lines.extend(table.2.iter().map(|row| format!("{path} | {row}")));
        return;
    }
    let short = short(value);
    match value {
        Value::Array(items) if items.len() > LONG && !items.iter().any(has_words) => {
            lines.push(format!("{path}: {}", summed(items)))
        }
        Value::Object(fields) if !fields.values().any(|value| value.is_array() || value.is_object()) => {
            lines.push(format!("{path}: {short}"));
        }
        _ if short.chars().count() <= WIDE => lines.push(format!("{path}: {short}")),
        Value::Object(fields) => fields.iter().for_each(|(name, value)| flat(&format!("{path}.{name}"), value, lines)),
        Value::Array(items) => items.iter().for_each(|value| flat(&format!("{path}[]"), value, lines)),
        _ => lines.push(format!("{path}: {short}")),
    }
}

/// Name, caption with heads, and rows of what is a table.
fn as_table(value: &Value) -> Option<(String, String, Vec<String>)> {
    let (columns, rows) = (value.get("columns")?.as_array()?, value.get("rows")?.as_array()?);
    let word = |value: &Value, key: &str| value[key].as_str().unwrap_or_default().to_owned();
    let head = |column: &Value| {
        let numeric = if column["numeric"] == Value::Bool(true) { "#" } else { "" };
        format!("{}{numeric} \"{}\"", word(column, "key"), word(column, "label"))
    };
    let heads: Vec<String> = columns.iter().map(head).collect();
    let cell = |cell: &Value| {
        let text = word(cell, "text");
        cell.get("value").map_or_else(|| text.clone(), |number| format!("{text} ({})", short(number)))
    };
    let row = |row: &Value| row.as_array().into_iter().flatten().map(cell).collect::<Vec<_>>().join(" | ");
    Some((
        word(value, "key"),
        format!("{}: {}", word(value, "caption"), heads.join(", ")),
        rows.iter().map(row).collect(),
    ))
}

/// A table alone.
pub(crate) fn table(table: &Table) -> Vec<String> {
    value(table)
}

fn has_words(value: &Value) -> bool {
    match value {
        Value::String(_) => true,
        Value::Array(items) => items.iter().any(has_words),
        Value::Object(fields) => fields.values().any(has_words),
        _ => false,
    }
}

/// A long list of numbers, or of what holds numbers.
fn summed(items: &[Value]) -> String {
    let mut sums: Map<String, Value> = Map::new();
    for item in items {
        add("", item, &mut sums);
    }
    let ends = [items.first(), items.last()].into_iter().flatten().map(short).collect::<Vec<_>>().join(" … ");
    format!("{} of them: {ends}; sums {}", items.len(), short(&Value::Object(sums)))
}

fn add(path: &str, value: &Value, sums: &mut Map<String, Value>) {
    match value {
        Value::Number(number) => {
            let before = sums.get(path).and_then(Value::as_f64).unwrap_or_default();
            sums.insert(path.to_owned(), Value::from(before + number.as_f64().unwrap_or_default()));
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(at, item)| add(&format!("{path}{}", at.min(3)), item, sums));
        }
        Value::Object(fields) => fields.iter().for_each(|(name, item)| add(&format!("{path}.{name}"), item, sums)),
        _ => {}
    }
}

/// One line of JSON, numbers to five figures, what is empty left out.
fn short(value: &Value) -> String {
    match value {
        Value::Number(number) => rounded(number.as_f64().unwrap_or_default()),
        Value::Array(items) => format!("[{}]", items.iter().map(short).collect::<Vec<_>>().join(", ")),
        Value::Object(fields) => {
            let told = fields.iter().filter(|(_, value)| value.as_str() != Some(""));
            format!(
                "{{{}}}",
                told.map(|(name, value)| format!("{name} {}", short(value))).collect::<Vec<_>>().join(", ")
            )
        }
        other => other.to_string(),
    }
}

/// To five figures; what is next to nothing is 0.
fn rounded(number: f64) -> String {
    let rounded: f64 = format!("{number:.4e}").parse().expect("a number");
    if rounded.abs() < 1e-9 { "0".to_owned() } else { rounded.to_string() }
}

/// What is told of several states one after the other: the first whole, of each later one what is new and what is gone.
pub(crate) fn one_after_another(states: &[(String, Vec<String>)]) -> String {
    let mut text = String::new();
    let mut before: &[String] = &[];
    for (name, lines) in states {
        writeln!(text, "=== {name}").expect("text");
        for line in changed(before, lines) {
            writeln!(text, "{line}").expect("text");
        }
        before = lines;
    }
    text
}

/// The lines that are gone (`-`) and new (`+`), in order; all of them where nothing stood before.
fn changed(before: &[String], after: &[String]) -> Vec<String> {
    if before.is_empty() {
        return after.to_vec();
    }
    let mut common = vec![vec![0_usize; after.len() + 1]; before.len() + 1];
    for one in (0..before.len()).rev() {
        for other in (0..after.len()).rev() {
            common[one][other] = if before[one] == after[other] {
                common[one + 1][other + 1] + 1
            } else {
                common[one + 1][other].max(common[one][other + 1])
            };
        }
    }
    let (mut lines, mut one, mut other) = (Vec::new(), 0, 0);
    while one < before.len() || other < after.len() {
        if one < before.len() && other < after.len() && before[one] == after[other] {
            (one, other) = (one + 1, other + 1);
        } else if other == after.len() || one < before.len() && common[one + 1][other] >= common[one][other + 1] {
            // It stood above in full: its beginning says which one it was.
            lines.push(format!("-{}", before[one].chars().take(SHORT).collect::<String>()));
            one += 1;
        } else {
            lines.push(format!("+{}", after[other]));
            other += 1;
        }
    }
    lines
}
