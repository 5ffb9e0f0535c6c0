//! Typed text → the given object of a figure, then its answer; every fault at its field.

use figures::{Answer, Field, Figure, Kind, Need, NoTracks};
use measure::{Bound, entry};
use serde_json::{Map, Number, Value};

/// A field's fault.
pub(super) struct Faulty {
    /// The field.
    pub(super) field: String,
    /// The sentence.
    pub(super) text: String,
    /// Whether it is only not typed yet.
    pub(super) missing: bool,
}

/// What was typed, and what came of it.
pub(super) struct Asked {
    typed: Vec<(String, String)>,
    /// How typed numbers in other units were understood: field and echo.
    pub(super) echoes: Vec<(&'static str, String)>,
    /// All faults; empty if nothing was asked yet or the figure answered.
    pub(super) faults: Vec<Faulty>,
    /// The answer, if it was asked and answered.
    pub(super) answer: Option<Answer>,
    /// What was given, if it was understood.
    pub(super) given: Map<String, Value>,
}

impl Asked {
    /// Reads the address's fields and asks the figure, if anything was typed.
    pub(super) fn read(figure: &'static Figure, typed: &[(String, String)]) -> Self {
        let typed = typed.to_vec();
        let mut asked = Self { typed, echoes: Vec::new(), faults: Vec::new(), answer: None, given: Map::new() };
        if asked.typed.is_empty() {
            return asked;
        }
        for field in figure.given {
            asked.take(field);
        }
        if asked.faults.is_empty() {
            match figures::ask(figure.name, &asked.given, &NoTracks) {
                Ok(answer) => asked.answer = Some(answer),
                Err(refusal) => {
                    let outer = refusal.field.split('.').next().unwrap_or_default();
                    let known = figure.given.iter().any(|field| field.name == outer);
                    let field = if known { outer.to_owned() } else { "answer".to_owned() };
                    asked.faults.push(Faulty { field, text: refusal.text, missing: false });
                }
            }
        }
        asked
    }

    /// The text as typed.
    pub(super) fn text(&self, name: &str) -> &str {
        self.typed.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str())
    }

    /// The fault of a field; empty if it has none.
    pub(super) fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }

    fn take(&mut self, field: &'static Field) {
        let text = self.text(field.name).trim().to_owned();
        if text.is_empty() {
            if field.need == Need::Required {
                let text = format!("{} is missing. Give it, or ask for a figure that does not need it.", field.name);
                self.faults.push(Faulty { field: field.name.to_owned(), text, missing: true });
            }
            return;
        }
        match self.value(field, &text) {
            Ok(value) => {
                self.given.insert(field.name.to_owned(), value);
            }
            Err(text) => self.faults.push(Faulty { field: field.name.to_owned(), text, missing: false }),
        }
    }

    fn value(&mut self, field: &'static Field, text: &str) -> Result<Value, String> {
        match field.kind {
            Kind::Number(bound) => {
                let typed = entry::number(text, bound).map_err(|fault| fault.text)?;
                if typed.converted {
                    self.echoes.push((field.name, typed.understood));
                }
                Ok(Value::from(typed.value))
            }
            Kind::Whole(bound) => {
                let typed = entry::whole(text, bound).map_err(|fault| fault.text)?;
                whole(typed.value).ok_or_else(|| format!("{} is no whole number.", field.name))
            }
            Kind::Numbers(bound) => list(text, bound, false),
            Kind::NumbersOrNull(bound) => list(text, bound, true),
            Kind::Flag => Ok(Value::from(text == "true")),
            Kind::Word(_) | Kind::Text => Ok(Value::from(text)),
            Kind::Nested | Kind::Object(_) => json(text),
            Kind::Any => Ok(serde_json::from_str(text).unwrap_or_else(|_| Value::from(text))),
        }
    }
}

/// A whole number as JSON has it.
fn whole(value: f64) -> Option<Value> {
    let text = format!("{value:.0}");
    text.parse::<i64>().ok().map(|value| Value::Number(Number::from(value)))
}

/// Numbers with blanks or semicolons between them, or a JSON list; `-` for a missing one where that is possible.
fn list(text: &str, bound: &'static Bound, gaps: bool) -> Result<Value, String> {
    if text.starts_with('[') {
        return json(text);
    }
    let parts = text.split(|c: char| c.is_whitespace() || c == ';').filter(|part| !part.is_empty());
    parts
        .map(|part| {
            if gaps && matches!(part, "-" | "–" | "null") {
                return Ok(Value::Null);
            }
            entry::number(part, bound).map(|typed| Value::from(typed.value)).map_err(|fault| fault.text)
        })
        .collect()
}

fn json(text: &str) -> Result<Value, String> {
    serde_json::from_str(text).map_err(|why| format!("This is no JSON: {why}. Type a list [ … ] or an object {{ … }}."))
}
