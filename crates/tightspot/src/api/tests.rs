//! The description agrees with what is declared, and holds together as a document.

use std::collections::BTreeSet;

use figures::{Field, Kind, Need};
use measure::Edge;
use serde_json::Value;

use super::{describe, openapi};

/// Every `$ref` in a document.
fn references<'a>(value: &'a Value, into: &mut Vec<&'a str>) {
    match value {
        Value::Object(members) => {
            if let Some(Value::String(reference)) = members.get("$ref") {
                into.push(reference);
            }
            members.values().for_each(|member| references(member, into));
        }
        Value::Array(items) => items.iter().for_each(|item| references(item, into)),
        _ => {}
    }
}

#[test]
fn every_reference_leads_somewhere() {
    let document = openapi::document();
    let mut found = Vec::new();
    references(&document, &mut found);
    assert!(!found.is_empty());
    for reference in found {
        let pointer = reference.strip_prefix('#').expect("inside the document");
        assert!(document.pointer(pointer).is_some(), "{reference}");
    }
}

#[test]
fn every_figure_has_its_operation_under_its_own_name() {
    let document = openapi::document();
    let paths = document["paths"].as_object().expect("paths");
    let mut ids = BTreeSet::new();
    for operations in paths.values() {
        for operation in operations.as_object().expect("operations").values() {
            assert!(ids.insert(operation["operationId"].as_str().expect("an id").to_owned()));
            assert!(operation["responses"]["200"]["description"].is_string());
        }
    }
    assert!(figures::all().count() > 0);
    for figure in figures::all() {
        assert!(ids.contains(figure.name), "{}", figure.name);
        assert!(paths.contains_key(&format!("/api/v1/figures/{}", figure.name)));
    }
}

/// The schema of a field says no more and no less than its declaration.
fn agrees(field: &Field, schema: &Value, path: &str) {
    match &field.kind {
        Kind::Number(bound) | Kind::Whole(bound) => {
            let end = |name: &str| schema.get(name).and_then(Value::as_f64);
            let low = match bound.low {
                Edge::At(low) => (Some(low), None),
                Edge::Beyond(low) => (None, Some(low)),
                Edge::Open => (None, None),
            };
            let high = match bound.high {
                Edge::At(high) => (Some(high), None),
                Edge::Beyond(high) => (None, Some(high)),
                Edge::Open => (None, None),
            };
            assert_eq!((end("minimum"), end("exclusiveMinimum")), low, "{path}");
            assert_eq!((end("maximum"), end("exclusiveMaximum")), high, "{path}");
            let whole = matches!(field.kind, Kind::Whole(_));
            assert_eq!(schema["type"], if whole { "integer" } else { "number" }, "{path}");
        }
        Kind::Object(members) => object_agrees(members, schema, path),
        _ => {}
    }
}

fn object_agrees(fields: &[Field], schema: &Value, path: &str) {
    assert_eq!(schema["additionalProperties"], false, "{path}");
    let required: BTreeSet<&str> =
        schema["required"].as_array().expect("required").iter().filter_map(Value::as_str).collect();
    let members = schema["properties"].as_object().expect("properties");
    assert_eq!(members.len(), fields.len(), "{path}");
    for field in fields {
        assert_eq!(required.contains(field.name), field.need == Need::Required, "{path}.{}", field.name);
        agrees(field, &members[field.name], &format!("{path}.{}", field.name));
    }
}

#[test]
fn the_schema_of_every_field_is_its_declaration() {
    for figure in figures::all() {
        object_agrees(figure.given, &describe::object(figure.given), figure.name);
    }
}
