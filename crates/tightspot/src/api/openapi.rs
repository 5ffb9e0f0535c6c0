//! The description of the API (OpenAPI 3.1), made from the same declarations that check every request.

use figures::Figure;
use serde_json::{Map, Value, json};

use super::{answers, describe, operations, sheet};

/// What holds for all of it.
const WORDS: &str = "Lengths in millimetres, hours in hours, torque in newton metres: the unit stands in each name, and words beside a number \
    are in the same units, whatever a rider reads in on pages. Times \
    carry their offset. A member that is not described is refused when it is sent; answers may gain members. Writes take \
    application/json only, an `Idempotency-Key` makes them safe to repeat for a day, and a bike or a work order is changed \
    only by whoever sends its `ETag` back as `If-Match`. On the home network the cookie of a browser that signed in is needed.";

/// The whole document.
pub(crate) fn document() -> Value {
    let mut paths = Map::new();
    operations::add(&mut paths);
    for figure in figures::all() {
        paths.insert(format!("/api/v1/figures/{}", figure.name), json!({ "post": asking(figure) }));
    }
    let mut schemas = answers::shared();
    schemas.extend(sheet::schemas());
    schemas.extend([("Problem".to_owned(), problem()), ("Notice".to_owned(), notice())]);
    json!({
        "openapi": "3.1.0",
        "jsonSchemaDialect": "https://json-schema.org/draft/2020-12/schema",
        "info": {
            "title": "tightspot",
            "version": env!("CARGO_PKG_VERSION"),
            "summary": "Places, figures and the record of a chain drive: asked with numbers, answered with numbers.",
            "description": WORDS,
            "license": {"name": "MIT OR Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "paths": paths,
        "components": {"schemas": schemas},
    })
}

fn asking(figure: &Figure) -> Value {
    json!({
        "operationId": figure.name,
        "summary": figure.says,
        "description": format!("{}\n\nSources: {}.", figure.formula, figure.sources.join(", ")),
        "requestBody": {"required": true, "content": {"application/json": {"schema": describe::object(figure.given)}}},
        "responses": operations::responses("200", "The answer", answer(figure), &["400", "403", "413", "415", "422"]),
    })
}

fn answer(figure: &Figure) -> Value {
    let told = |(name, means): &(&str, &str)| ((*name).to_owned(), json!({"description": means}));
    let members: Map<String, Value> = figure.answer.iter().map(told).collect();
    json!({
        "type": "object",
        "required": ["figure", "answer", "notices", "sources"],
        "additionalProperties": false,
        "properties": {
            "figure": {"const": figure.name},
            "answer": {
                "type": "object",
                "description": "null: asked for, but there is no such value; absent: not asked for",
                "properties": members,
            },
            "notices": {"type": "array", "items": {"$ref": "#/components/schemas/Notice"}},
            "sources": {"type": "array", "items": {"type": "string"}},
        },
    })
}

/// A problem document.
pub(super) fn fault(description: &str) -> Value {
    let schema = json!({"$ref": "#/components/schemas/Problem"});
    json!({"description": description, "content": {"application/problem+json": {"schema": schema}}})
}

fn problem() -> Value {
    json!({
        "type": "object",
        "description": "Why a request is refused (RFC 9457)",
        "required": ["type", "title", "status", "detail", "instance"],
        "properties": {
            "type": {"type": "string"},
            "title": {"type": "string"},
            "status": {"type": "integer"},
            "detail": {"type": "string"},
            "instance": {"type": "string"},
            "errors": {"type": "array", "items": {
                "type": "object",
                "required": ["pointer", "code", "detail"],
                "properties": {
                    "pointer": {"type": "string", "description": "JSON Pointer to the member at fault"},
                    "code": {"type": "string"},
                    "detail": {"type": "string"},
                },
            }},
        },
    })
}

fn notice() -> Value {
    json!({
        "type": "object",
        "description": "Legal but odd",
        "required": ["code", "text"],
        "properties": {"code": {"type": "string"}, "text": {"type": "string"}},
    })
}
