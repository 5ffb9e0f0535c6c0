//! File → sheet, or every fault with its line. Nothing is repaired and nothing unknown is passed over.

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeArray, DeString, DeTable, DeValue};

use super::SCHEMA;
use crate::bike::{
    Bike, BikeField, Change, FIELDS, Fault, Kind, Ratio, Section, Value, check_id, check_name, field, unknown,
};

/// A value's line of its own outside `[source]`, as sheets written by hand have it.
const SOURCE_LINES: [(Section, &str, &str); 1] = [(Section::Tyre, "rollout_source", "rollout_m")];

type Member<'a, 'i> = (&'a Spanned<DeString<'i>>, &'a Spanned<DeValue<'i>>);

impl Bike {
    /// Reads a sheet from its file.
    ///
    /// # Errors
    /// Every fault of the file, by line: no TOML, unknown section or field, wrong kind, out of range, field against field.
    pub fn from_toml(text: &str) -> Result<Self, Vec<Fault>> {
        let (table, broken) = DeTable::parse_recoverable(text);
        let mut reader = Reader::new(text);
        if !broken.is_empty() {
            return Err(broken.iter().map(|why| reader.no_toml(why)).collect());
        }
        let table = table.into_inner();
        reader.schema(&table)?;
        for member in &table {
            reader.top(member);
        }
        reader.whole()
    }
}

/// What has been read so far.
struct Reader {
    line_starts: Vec<usize>,
    id: Option<String>,
    name: Option<String>,
    invented: bool,
    changes: Vec<Change>,
    /// The line of each field, for faults found on the whole sheet.
    lines: BTreeMap<String, usize>,
    /// Sources by field, with their line.
    sources: BTreeMap<String, (String, usize)>,
    /// Sources that stand for a whole section.
    section_sources: Vec<(Section, String)>,
    faults: Vec<Fault>,
}

impl Reader {
    fn new(text: &str) -> Self {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self {
            line_starts,
            id: None,
            name: None,
            invented: false,
            changes: Vec::new(),
            lines: BTreeMap::new(),
            sources: BTreeMap::new(),
            section_sources: Vec::new(),
            faults: Vec::new(),
        }
    }

    fn line(&self, at: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= at)
    }

    fn fault(&mut self, at: usize, fault: Fault) {
        let line = self.line(at);
        self.faults.push(fault.at(line));
    }

    fn no_toml(&self, why: &toml::de::Error) -> Fault {
        let fault = Fault::new("file", "no_toml", format!("the file is no TOML: {}.", why.message()));
        match why.span() {
            Some(span) => fault.at(self.line(span.start)),
            None => fault,
        }
    }

    fn schema(&self, table: &DeTable<'_>) -> Result<(), Vec<Fault>> {
        let given = table.iter().find(|(key, _)| key.get_ref() == "schema").map(|(_, value)| value);
        let Some(given) = given else {
            let text = format!("schema is missing. Begin a bike's file with: schema = {SCHEMA}");
            return Err(vec![Fault::new("schema", "missing", text)]);
        };
        match number(given.get_ref()) {
            Some(version) if version == f64::from(SCHEMA) => Ok(()),
            Some(version) => Err(vec![
                Fault::new(
                    "schema",
                    "newer_schema",
                    format!("schema is {version}; this version reads {SCHEMA}. Use the version that wrote the file."),
                )
                .at(self.line(given.span().start)),
            ]),
            None => Err(vec![
                Fault::new("schema", "wrong_type", format!("schema is no number; write: schema = {SCHEMA}"))
                    .at(self.line(given.span().start)),
            ]),
        }
    }

    /// One member of the file's top level.
    fn top(&mut self, (key, value): Member<'_, '_>) {
        let (name, at) = (key.get_ref().as_ref(), key.span().start);
        if name == "schema" {
            return;
        }
        let section = Section::ALL.into_iter().find(|section| section.word() == name);
        match (section, name, value.get_ref()) {
            (Some(section), _, DeValue::Table(members)) => {
                members.iter().for_each(|member| self.member(section, member));
            }
            (None, "source", DeValue::Table(members)) => members.iter().for_each(|member| self.source(member)),
            (Some(_), ..) | (None, "source", _) => {
                let text = format!("{name} is no table. Write [{name}] on a line of its own, its figures below.");
                self.fault(at, Fault::new(name, "wrong_type", text));
            }
            (None, ..) => {
                let possible = Section::ALL.map(Section::word).join(", ");
                let text = format!("{name} is no part of a bike's file; possible: {possible}, source.");
                self.fault(at, Fault::new(name, "unknown_section", text));
            }
        }
    }

    /// One line of a section.
    fn member(&mut self, section: Section, member: Member<'_, '_>) {
        let (key, value) = member;
        let (name, at) = (key.get_ref().as_ref(), key.span().start);
        if section == Section::Bike && self.identity(member) {
            return;
        }
        if name == "source" {
            if let Some(text) = self.text_of(member) {
                self.section_sources.push((section, text));
            }
            return;
        }
        if let Some((_, _, field)) = SOURCE_LINES.iter().find(|(place, line, _)| *place == section && *line == name) {
            if let Some(text) = self.text_of(member) {
                self.sources.insert((*field).to_owned(), (text, self.line(at)));
            }
            return;
        }
        let here =
            FIELDS.iter().find(|field| field.section == section && (field.name == name || field.also == Some(name)));
        match (here, field(name)) {
            (Some(field), _) => self.value(field, at, value.get_ref()),
            (None, Some(elsewhere)) => {
                let (wrong, right) = (section.word(), elsewhere.section.word());
                let text = format!("{name} stands in [{wrong}]; it belongs to [{right}]. Move the line there.");
                self.fault(at, Fault::new(name, "wrong_section", text));
            }
            (None, None) => self.fault(at, unknown(name)),
        }
    }

    /// The lines of `[bike]` that are no fields.
    fn identity(&mut self, (key, value): Member<'_, '_>) -> bool {
        let at = key.span().start;
        match key.get_ref().as_ref() {
            "id" => {
                if let Some(id) = self.text_of((key, value)) {
                    check_id(&id).unwrap_or_else(|fault| self.fault(at, fault));
                    self.id = Some(id);
                }
            }
            "name" => {
                if let Some(name) = self.text_of((key, value)) {
                    check_name(&name).unwrap_or_else(|fault| self.fault(at, fault));
                    self.name = Some(name);
                }
            }
            "invented" => match value.get_ref() {
                DeValue::Boolean(invented) => self.invented = *invented,
                other => {
                    let text = format!("invented is {}; write true or false.", kind_word(other));
                    self.fault(at, Fault::new("invented", "wrong_type", text));
                }
            },
            _ => return false,
        }
        true
    }

    fn text_of(&mut self, (key, value): Member<'_, '_>) -> Option<String> {
        if let DeValue::String(text) = value.get_ref() {
            return Some(text.to_string());
        }
        let (name, kind) = (key.get_ref(), kind_word(value.get_ref()));
        let text = format!("{name} is {kind}; text in quotes is wanted.");
        self.fault(key.span().start, Fault::new(name.to_string(), "wrong_type", text));
        None
    }

    fn source(&mut self, member: Member<'_, '_>) {
        let (key, at) = (member.0.get_ref(), member.0.span().start);
        if field(key).is_none() {
            self.fault(at, unknown(key));
        } else if let Some(text) = self.text_of(member) {
            self.sources.insert(key.to_string(), (text, self.line(at)));
        }
    }

    fn value(&mut self, field: &'static BikeField, at: usize, given: &DeValue<'_>) {
        let line = self.line(at);
        if self.lines.insert(field.name.to_owned(), line).is_some() {
            let text = format!("{} is given twice. Give it once.", field.name);
            return self.fault(at, Fault::new(field.name, "twice", text));
        }
        let Some(value) = converted(field, given) else {
            return self.fault(at, field.fault("wrong_type", kind_word(given)));
        };
        match field.check(&value) {
            Ok(()) => self.changes.push(Change { field: field.name.to_owned(), value: Some(value), source: None }),
            Err(fault) => self.fault(at, fault),
        }
    }

    /// Puts sources to their values and the values on the sheet.
    fn whole(mut self) -> Result<Bike, Vec<Fault>> {
        for change in &mut self.changes {
            let own = self.sources.remove(&change.field).map(|(text, _)| text);
            let section = field(&change.field).map(|field| field.section);
            let shared = self.section_sources.iter().find(|(place, _)| Some(*place) == section);
            change.source = own.or_else(|| shared.map(|(_, text)| text.clone()));
        }
        for (name, (_, line)) in std::mem::take(&mut self.sources) {
            if !self.lines.contains_key(&name) {
                let text = format!("{name} has a source but no value. Give the value, or take the source's line out.");
                self.faults.push(Fault::new(name, "source_alone", text).at(line));
            }
        }
        for (name, given) in [("id", &self.id), ("name", &self.name)] {
            if given.is_none() {
                self.faults.push(Fault::new(name, "missing", format!("{name} is missing. Give it in [bike].")));
            }
        }
        let (id, name) = (self.id.unwrap_or_default(), self.name.unwrap_or_default());
        let mut bike = Bike { id, name, invented: self.invented, sheet: BTreeMap::new() };
        if let Err(faults) = bike.change(&self.changes) {
            let lines = &self.lines;
            self.faults
                .extend(faults.into_iter().map(|fault| Fault { line: lines.get(&fault.field).copied(), ..fault }));
        }
        self.faults.sort_by_key(|fault| fault.line);
        if self.faults.is_empty() { Ok(bike) } else { Err(self.faults) }
    }
}

/// The value of a field's kind; `None` if the file gives another kind.
fn converted(field: &BikeField, given: &DeValue<'_>) -> Option<Value> {
    Some(match (field.kind, given) {
        (Kind::Number(_), _) => Value::Number(number(given)?),
        (Kind::Whole(_), _) => Value::Whole(whole(given)?),
        (Kind::Word(_), DeValue::String(text)) => Value::Word(text.to_string()),
        (Kind::Text, DeValue::String(text)) => Value::Text(text.to_string()),
        (Kind::Flag, DeValue::Boolean(flag)) => Value::Flag(*flag),
        (Kind::Ratio(_), _) => Value::Ratio(ratio(given)?),
        (Kind::Ratios(_), DeValue::Array(items)) => Value::Ratios(each(items, ratio)?),
        (Kind::Curve, DeValue::Array(items)) => Value::Curve(each(items, point)?),
        _ => return None,
    })
}

fn each<T>(items: &DeArray<'_>, one: impl Fn(&DeValue<'_>) -> Option<T>) -> Option<Vec<T>> {
    items.iter().map(|item| one(item.get_ref())).collect()
}

fn number(given: &DeValue<'_>) -> Option<f64> {
    match given {
        DeValue::Integer(whole) if whole.radix() == 10 => whole.as_str().parse().ok(),
        DeValue::Float(real) => real.as_str().parse().ok(),
        _ => None,
    }
}

fn whole(given: &DeValue<'_>) -> Option<u32> {
    match given {
        DeValue::Integer(whole) if whole.radix() == 10 => whole.as_str().parse().ok(),
        _ => None,
    }
}

fn ratio(given: &DeValue<'_>) -> Option<Ratio> {
    match given {
        DeValue::Array(pair) => match each(pair, whole)?.as_slice() {
            [driver, driven] => Some(Ratio::Teeth { driver: *driver, driven: *driven }),
            _ => None,
        },
        other => number(other).map(Ratio::Number),
    }
}

fn point(given: &DeValue<'_>) -> Option<[f64; 2]> {
    let DeValue::Array(pair) = given else { return None };
    each(pair, number)?.try_into().ok()
}

/// What the file gives, for a sentence.
fn kind_word(given: &DeValue<'_>) -> String {
    match given {
        DeValue::String(text) => format!("the text \"{text}\""),
        DeValue::Integer(whole) => whole.to_string(),
        DeValue::Float(real) => real.to_string(),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(_) => "a date".to_owned(),
        DeValue::Array(items) => format!("a list of {} that does not fit", items.len()),
        DeValue::Table(_) => "a table".to_owned(),
    }
}
