//! The description agrees with what is declared, and holds together as a document.

mod acts;
mod flows;
mod orders;
mod writes;

use std::collections::BTreeSet;

use axum::Router;
use axum::http::Method;
use figures::{Field, Kind, Need};
use measure::Edge;
use serde_json::Value;

use super::{describe, openapi};
use crate::serve::driven::{Told, fetch, send_from, server, wait};

/// What a program on this machine sends.
async fn send(server: &Router, method: Method, path: &str, headers: &[(&str, &str)], body: &str) -> Told {
    let all = [&[("content-type", "application/json")], headers].concat();
    send_from(server, "127.0.0.1", method, path, &all, body).await
}

async fn get(server: &Router, path: &str) -> Told {
    send_from(server, "127.0.0.1", Method::GET, path, &[], "").await
}

fn value(told: &Told) -> Value {
    serde_json::from_str(&told.body).expect("JSON")
}

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
            let good = ["200", "201"].iter().any(|status| operation["responses"][status]["description"].is_string());
            assert!(good, "{operation}");
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

/// Every member of an answer is described, and every described one is there.
fn is_described(schema: &Value, value: &Value, path: &str, document: &Value) {
    let schema = match schema["$ref"].as_str() {
        Some(reference) => document.pointer(&reference[1..]).expect(reference),
        None => schema,
    };
    if let Some(any) = schema["anyOf"].as_array() {
        let null = any.iter().any(|one| one["type"] == "null");
        if null && value.is_null() {
            return;
        }
        let gap = |one: &&Value| one["$ref"] == "#/components/schemas/Gap";
        let missing = value.get("how_to").is_some() && any.iter().any(|one| gap(&one));
        let one = any.iter().find(|one| gap(one) == missing && one["type"] != "null").expect(path);
        return is_described(one, value, path, document);
    }
    match (schema["properties"].as_object(), value) {
        (Some(properties), Value::Object(members)) => {
            for (name, member) in members {
                let known = properties.get(name);
                assert!(known.is_some() || path == "sheet" || name == "record", "{path}.{name} is not described");
                known.iter().for_each(|known| is_described(known, member, &format!("{path}.{name}"), document));
            }
            for name in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
                assert!(members.contains_key(name), "{path}.{name} is described and not there");
            }
        }
        (None, Value::Array(items)) if schema["items"].is_object() => {
            items.iter().for_each(|item| is_described(&schema["items"], item, path, document));
        }
        _ => {}
    }
}

#[test]
fn every_answer_of_the_demo_is_as_it_is_described() {
    wait(async {
        let (server, document) = (server(), openapi::document());
        let mut asked = 0;
        for (path, operations) in document["paths"].as_object().expect("paths") {
            let get = &operations["get"];
            if get.is_null() || path.contains('{') || path.contains("/figures") || path.ends_with(".json") {
                continue;
            }
            for more in [
                "",
                "?what=chain&size=520&outer_width_mm=24",
                "?slack_mm=70",
                "?front_teeth=13&rear_teeth=50",
                "?bike=sorrel-250",
                "?limit=2",
            ] {
                let told = fetch(&server, &format!("{path}{more}")).await;
                if told.status != 200 {
                    assert!(["400", "422"].contains(&told.status.as_str()), "{path}{more}: {}", told.body);
                    continue;
                }
                let value: Value = serde_json::from_str(&told.body).expect(path);
                let schema = &get["responses"]["200"]["content"]["application/json"]["schema"];
                is_described(schema, &value, path, &document);
                asked += 1;
            }
        }
        assert!(asked > 25, "only {asked} answers were looked at");
    });
}
