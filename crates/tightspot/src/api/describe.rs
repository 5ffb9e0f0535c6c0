//! A figure's declarations in words for programs: the list of figures and the schema of what each takes.

use figures::{Field, Figure, Kind, Need};
use measure::{Bound, Edge};
use serde_json::{Map, Value, json};

/// Every figure with its inputs, units, bounds, answer, formula and sources.
pub(crate) fn all() -> Value {
    json!({ "figures": figures::all().map(figure).collect::<Vec<_>>() })
}

fn figure(figure: &Figure) -> Value {
    let answer = figure.answer.iter().map(|(name, means)| json!({"name": name, "means": means}));
    let sources = figure.sources.iter().filter_map(|id| measure::source(id));
    let sources = sources.map(|one| json!({"id": one.id, "standing": one.standing.word(), "words": one.words}));
    json!({
        "name": figure.name,
        "says": figure.says,
        "given": figure.given.iter().map(field).collect::<Vec<_>>(),
        "answer": answer.collect::<Vec<_>>(),
        "formula": figure.formula,
        "sources": sources.collect::<Vec<_>>(),
    })
}

fn field(field: &Field) -> Value {
    let mut told = json!({"name": field.name, "required": field.need == Need::Required});
    if let Need::Optional(default) = field.need {
        told["if_absent"] = default.into();
    }
    if !field.meaning.is_empty() {
        told["means"] = field.meaning.into();
    }
    if let Some(bound) = bound(&field.kind) {
        told["word"] = bound.word.into();
        told["unit"] = bound.unit.into();
        told["range"] = bound.range().into();
    }
    told["schema"] = schema(field);
    told
}

/// The bound of a kind that has one.
pub(crate) const fn bound(kind: &Kind) -> Option<&'static Bound> {
    match kind {
        Kind::Number(bound) | Kind::Whole(bound) | Kind::Numbers(bound) | Kind::NumbersOrNull(bound) => Some(bound),
        _ => None,
    }
}

/// The schema (JSON Schema 2020-12) of an object with these members and no others.
pub(crate) fn object(fields: &[Field]) -> Value {
    let members: Map<String, Value> = fields.iter().map(|field| (field.name.to_owned(), schema(field))).collect();
    let required: Vec<&str> =
        fields.iter().filter(|field| field.need == Need::Required).map(|field| field.name).collect();
    json!({"type": "object", "properties": members, "required": required, "additionalProperties": false})
}

/// The schema of one field.
pub(super) fn schema(field: &Field) -> Value {
    let mut schema = of_kind(&field.kind);
    let words = sentence(field);
    if !words.is_empty() {
        schema["description"] = words.into();
    }
    schema
}

fn of_kind(kind: &Kind) -> Value {
    match kind {
        Kind::Number(bound) => number("number", bound),
        Kind::Whole(bound) => number("integer", bound),
        Kind::Text => json!({"type": "string"}),
        Kind::Word(words) => json!({"type": "string", "enum": words}),
        Kind::Flag => json!({"type": "boolean"}),
        Kind::Numbers(bound) => json!({"type": "array", "items": number("number", bound)}),
        Kind::NumbersOrNull(bound) => {
            json!({"type": "array", "items": {"anyOf": [number("number", bound), {"type": "null"}]}})
        }
        Kind::Nested => json!({"type": ["array", "object"]}),
        Kind::Any => json!({}),
        Kind::Object(fields) => object(fields),
    }
}

/// The schema of a number inside a bound.
pub(super) fn number(kind: &str, bound: &Bound) -> Value {
    let mut schema = json!({"type": kind});
    match bound.low {
        Edge::At(low) => schema["minimum"] = low.into(),
        Edge::Beyond(low) => schema["exclusiveMinimum"] = low.into(),
        Edge::Open => {}
    }
    match bound.high {
        Edge::At(high) => schema["maximum"] = high.into(),
        Edge::Beyond(high) => schema["exclusiveMaximum"] = high.into(),
        Edge::Open => {}
    }
    schema
}

/// Meaning, unit and what holds if the field is left out.
fn sentence(field: &Field) -> String {
    let mut parts = Vec::new();
    if !field.meaning.is_empty() {
        parts.push(field.meaning.to_owned());
    }
    if let Some(bound) = bound(&field.kind) {
        let unit = if bound.unit.is_empty() { String::new() } else { format!(", in {}", bound.unit) };
        parts.push(format!("{}{unit}", bound.word));
    }
    if let Need::Optional(default) = field.need {
        parts.push(format!("if left out: {default}"));
    }
    parts.join("; ")
}
