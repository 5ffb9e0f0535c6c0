//! The API for people who write programs: every route, what it takes and a line to try it; from the description itself.

use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use serde_json::Value;

use crate::api::openapi;
use crate::frame::table::{Column, Row, table};
use crate::frame::{Head, details};
use crate::serve::{AppState, Page, Visit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::list("/pages/api", "For programs: the API", || get(show))];

/// One operation of the description.
struct Operation<'d> {
    document: &'d Value,
    path: &'d str,
    method: &'d str,
    told: &'d Value,
}

/// One member that an operation takes.
struct Taken {
    name: String,
    place: String,
    required: bool,
    possible: String,
}

async fn show(State(state): State<AppState>, visit: Visit) -> Response {
    let page = state.api_page(|| page(&openapi::document(), state.address()));
    visit.show(Head::titled("For programs: the API"), page)
}

fn page(document: &Value, address: &str) -> Markup {
    let figures = paths(document).filter(|path| is_figure(path)).count();
    html! {
        h1 { "For programs: the API" }
        p { (text(&document["info"], "summary")) }
        p { (text(&document["info"], "description").replace('`', "")) }
        ul class="list" {
            li { a href="/api/v1/openapi.json" { "The whole description (OpenAPI 3.1)" } }
            li { a href="/api/v1/figures" { "Every figure with what it takes, as JSON" } }
            li { a href="/figures" { "The " (figures) " figures, each with its fields, bounds and a form" } " " code { "POST /api/v1/figures/NAME" } }
        }
        h2 { "Routes" }
        @for (at, operation) in operations(document).iter().enumerate() { (one(operation, at, address)) }
    }
}

fn is_figure(path: &str) -> bool {
    path.starts_with("/api/v1/figures/")
}

fn paths(document: &Value) -> impl Iterator<Item = &str> {
    document["paths"].as_object().into_iter().flatten().map(|(path, _)| path.as_str())
}

/// Every operation but those of single figures, which have pages of their own.
fn operations(document: &Value) -> Vec<Operation<'_>> {
    let all = document["paths"].as_object().into_iter().flatten().filter(|(path, _)| !is_figure(path));
    let methods = all.flat_map(|(path, item)| item.as_object().into_iter().flatten().map(move |one| (path, one)));
    methods.map(|(path, (method, told))| Operation { document, path, method, told }).collect()
}

fn one(operation: &Operation<'_>, at: usize, address: &str) -> Markup {
    let title = format!("{} {}: {}", operation.verb(), operation.path, text(operation.told, "summary"));
    let caption = format!("What {} {} takes", operation.verb(), operation.path);
    let columns = ["Name", "Where", "Must be there", "What is possible"].map(Column::words);
    let taken = operation.taken();
    let cells = |one: &Taken| {
        let must = if one.required { "yes" } else { "no" };
        Row::of([html! { code { (one.name) } }, html! { (one.place) }, html! { (must) }, html! { (one.possible) }])
    };
    let rows: Vec<Row> = taken.iter().map(cells).collect();
    details(
        &title,
        &html! {
            @if rows.is_empty() { p { "Takes nothing." } } @else { (table(&format!("takes-{at}"), &caption, &columns, &rows)) }
            p { "Try it:" }
            pre tabindex="0" { (operation.line(address, &taken)) }
        },
    )
}

impl Operation<'_> {
    fn verb(&self) -> String {
        self.method.to_uppercase()
    }

    /// Parameters, then the members of the body.
    fn taken(&self) -> Vec<Taken> {
        let parameters = self.told["parameters"].as_array().into_iter().flatten();
        let mut taken: Vec<Taken> = parameters
            .map(|one| Taken {
                name: text(one, "name").to_owned(),
                place: text(one, "in").to_owned(),
                required: one["required"] == true,
                possible: possible(&one["schema"], text(one, "description")),
            })
            .collect();
        let body = self.resolved(&self.told["requestBody"]["content"]["application/json"]["schema"]);
        let required: Vec<&str> = body["required"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
        taken.extend(body["properties"].as_object().into_iter().flatten().map(|(name, schema)| Taken {
            name: name.clone(),
            place: "body".to_owned(),
            required: required.contains(&name.as_str()),
            possible: possible(self.resolved(schema), ""),
        }));
        taken
    }

    /// A schema, or the one that it points at.
    fn resolved<'s>(&'s self, schema: &'s Value) -> &'s Value {
        let at = schema["$ref"].as_str().and_then(|at| at.strip_prefix('#'));
        at.and_then(|at| self.document.pointer(at)).unwrap_or(schema)
    }

    /// A line for a terminal. Where it writes, the body is for the one who writes it.
    fn line(&self, address: &str, taken: &[Taken]) -> String {
        let mut words = vec!["curl".to_owned()];
        if self.method != "get" {
            words.push(format!("-X {}", self.verb()));
        }
        for one in taken.iter().filter(|one| one.place == "header") {
            words.push(format!("-H '{}: …'", one.name));
        }
        let members: Vec<String> = taken
            .iter()
            .filter(|one| one.place == "body" && one.required)
            .map(|one| format!("\"{}\": …", one.name))
            .collect();
        if !self.told["requestBody"].is_null() {
            words.push(format!("-H 'Content-Type: application/json' -d '{{{}}}'", members.join(", ")));
        }
        words.push(format!("'{address}{}'", self.path));
        words.join(" ")
    }
}

fn text<'v>(value: &'v Value, member: &str) -> &'v str {
    value[member].as_str().unwrap_or_default()
}

/// What a schema lets through, in words.
fn possible(schema: &Value, means: &str) -> String {
    let mut words: Vec<String> = Vec::new();
    words.extend(schema["type"].as_str().map(str::to_owned));
    if let Some(all) = schema["enum"].as_array() {
        words.push(
            all.iter()
                .map(|one| one.as_str().map_or_else(|| one.to_string(), str::to_owned))
                .collect::<Vec<_>>()
                .join(" / "),
        );
    }
    let edges = [
        ("minimum", "from"),
        ("exclusiveMinimum", "above"),
        ("maximum", "to"),
        ("exclusiveMaximum", "below"),
        ("minLength", "letters from"),
        ("maxLength", "letters to"),
        ("minItems", "items from"),
        ("maxItems", "items to"),
    ];
    words.extend(edges.iter().filter_map(|(name, word)| {
        let edge = &schema[*name];
        (!edge.is_null()).then(|| format!("{word} {edge}"))
    }));
    words.extend([text(schema, "description"), means].into_iter().filter(|one| !one.is_empty()).map(str::to_owned));
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::serve::driven::{fetch, server, wait};

    #[test]
    fn every_route_and_every_member_that_it_takes_stands_on_the_page() {
        let document = openapi::document();
        let told = wait(async { fetch(&server(), "/pages/api").await });
        let text = told.text();
        let all = operations(&document);
        assert!(all.len() > 30, "{}", all.len());
        for operation in &all {
            let head = format!("{} {}: ", operation.verb(), operation.path);
            assert!(text.contains(&head), "{head}");
            for one in operation.taken() {
                assert!(told.body.contains(&format!("<code>{}</code>", one.name)), "{}", one.name);
                assert!(!one.possible.is_empty(), "{} {}: {}", operation.verb(), operation.path, one.name);
            }
        }
        for words in ["integer, from ", "number, above ", "Content-Type: application/json"] {
            assert!(text.contains(words), "{words}");
        }
    }

    #[test]
    fn a_line_that_only_reads_is_answered_when_it_is_tried() {
        let document = openapi::document();
        let reads = operations(&document).into_iter().filter(|one| one.method == "get" && !one.path.contains('{'));
        let server = server();
        let mut tried = 0;
        for operation in reads {
            let line = operation.line("http://127.0.0.1:4717", &operation.taken());
            let path = line.split("4717").nth(1).and_then(|rest| rest.strip_suffix('\'')).expect("an address");
            let told = wait(async { fetch(&server, path).await });
            assert!(matches!(told.status.as_u16(), 200 | 422), "{line}: {}", told.status);
            tried += 1;
        }
        assert!(tried > 10, "{tried}");
    }
}
