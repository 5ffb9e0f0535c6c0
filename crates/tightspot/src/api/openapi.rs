//! The description of the API (OpenAPI 3.1), made from the same declarations that check every request.

use figures::Figure;
use serde_json::{Map, Value, json};

use super::describe;

/// The whole document.
pub(crate) fn document() -> Value {
    let mut paths = Map::new();
    paths.insert("/api/v1/figures".into(), reading("listFigures", "Every figure with its inputs, bounds and sources"));
    paths.insert("/api/v1/routes".into(), reading("listRoutes", "Every page of this server"));
    paths.insert("/api/v1/openapi.json".into(), reading("describe", "This document"));
    for figure in figures::all() {
        paths.insert(format!("/api/v1/figures/{}", figure.name), json!({ "post": asking(figure) }));
    }
    json!({
        "openapi": "3.1.0",
        "jsonSchemaDialect": "https://json-schema.org/draft/2020-12/schema",
        "info": {
            "title": "tightspot",
            "version": env!("CARGO_PKG_VERSION"),
            "summary": "Figures of a chain drive: asked with numbers, answered with numbers, sources and notices.",
            "license": {"name": "MIT OR Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "paths": paths,
        "components": {"schemas": {"Problem": problem(), "Notice": notice()}},
    })
}

fn reading(id: &str, summary: &str) -> Value {
    json!({"get": {
        "operationId": id,
        "summary": summary,
        "responses": {
            "200": {"description": "The document", "content": {"application/json": {"schema": {"type": "object"}}}},
            "304": {"description": "Unchanged since the ETag given"},
        },
    }})
}

fn asking(figure: &Figure) -> Value {
    json!({
        "operationId": figure.name,
        "summary": figure.says,
        "description": format!("{}\n\nSources: {}.", figure.formula, figure.sources.join(", ")),
        "requestBody": {"required": true, "content": {"application/json": {"schema": describe::object(figure.given)}}},
        "responses": {
            "200": {"description": "The answer", "content": {"application/json": {"schema": answer(figure)}}},
            "400": fault("The body is no JSON"),
            "413": fault("The body is too large"),
            "415": fault("The body is not sent as JSON"),
            "422": fault("A field is refused: `errors` points at it"),
        },
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

fn fault(description: &str) -> Value {
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
