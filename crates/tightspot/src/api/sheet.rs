//! The schema of a bike's sheet, made of the same table that checks every figure put on it.

use serde_json::{Map, Value, json};
use upkeep::bike::{BikeField, FIELDS, Kind};

use super::describe::number;

/// `Sheet` as it is answered, `WholeSheet` as it is put, `SheetChange` as it is patched.
pub(super) fn schemas() -> Map<String, Value> {
    let each = |null: bool| -> Map<String, Value> {
        FIELDS.iter().map(|field| (field.name.to_owned(), entry(field, null))).collect()
    };
    let answered: Map<String, Value> =
        FIELDS.iter().map(|field| (field.name.to_owned(), json!({"type": "object", "required": ["value"]}))).collect();
    let all = [
        ("Sheet", json!({"type": "object", "properties": answered})),
        ("WholeSheet", json!({"type": "object", "properties": each(false), "additionalProperties": false})),
        ("SheetChange", json!({"type": "object", "properties": each(true), "additionalProperties": false})),
    ];
    all.into_iter().map(|(name, schema)| (name.to_owned(), schema)).collect()
}

fn entry(field: &BikeField, null: bool) -> Value {
    let unit = if field.unit.is_empty() { String::new() } else { format!(", in {}", field.unit) };
    let entry = json!({
        "type": "object",
        "required": ["value"],
        "additionalProperties": false,
        "description": format!("{}{unit}", field.word),
        "properties": {
            "value": value(field.kind),
            "source": {"type": "string", "minLength": 1, "maxLength": 200, "description": "where it stands: manual, p. 12"},
        },
    });
    if null { json!({"anyOf": [entry, {"type": "null"}]}) } else { entry }
}

fn value(kind: Kind) -> Value {
    match kind {
        Kind::Number(bound) => number("number", bound),
        Kind::Whole(bound) => number("integer", bound),
        Kind::Word(words) => json!({"type": "string", "enum": words}),
        Kind::Text => json!({"type": "string", "minLength": 1, "maxLength": 200}),
        Kind::Flag => json!({"type": "boolean"}),
        Kind::Ratio(bound) => ratio(&number("number", bound)),
        Kind::Ratios(bound) => {
            json!({"type": "array", "minItems": 1, "maxItems": 8, "items": ratio(&number("number", bound))})
        }
        Kind::Curve => json!({
            "type": "array", "minItems": 3, "description": "points of engine speed and torque, the speed rising",
            "items": {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"}},
        }),
    }
}

/// A ratio by its number, or by its teeth, driver first.
fn ratio(number: &Value) -> Value {
    let teeth = json!({"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "integer", "minimum": 0}});
    json!({"anyOf": [number, teeth]})
}
