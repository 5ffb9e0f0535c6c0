//! The API: figures for programs, refusals as problem documents.
//!
//! Layout: [`describe`] declarations for programs · [`openapi`] the document made of them · here the routes.

pub(crate) mod describe;
pub(crate) mod openapi;

#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::header::{CONTENT_TYPE, ETAG, HeaderMap, IF_NONE_MATCH};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Json, Response};
use axum::routing::{get, post};
use figures::NoTracks;
use serde::de::IgnoredAny;
use serde_json::{Value, json};

use crate::serve::assets::fnv1a;
use crate::serve::{AppState, Fault, Pointed};

/// The routes under `/api/v1`.
pub(crate) fn router() -> Router<AppState> {
    Router::new()
        .route("/api/v1/figures", get(list))
        .route("/api/v1/figures/{name}", post(ask))
        .route("/api/v1/openapi.json", get(describe_all))
        .route("/api/v1/routes", get(routes))
}

/// A document that stays as it is while the program runs: its text and its tag.
struct Fixed {
    text: String,
    tag: String,
}

impl Fixed {
    fn of(value: &Value) -> Self {
        let text = value.to_string();
        let tag = format!("\"{:016x}\"", fnv1a(text.as_bytes()));
        Self { text, tag }
    }

    fn answer(&self, asked: &HeaderMap) -> Response {
        let known = asked.get(IF_NONE_MATCH).and_then(|tags| tags.to_str().ok());
        let same = known.is_some_and(|tags| tags == "*" || tags.split(',').any(|tag| opaque(tag) == self.tag));
        let tag = (ETAG, self.tag.as_str());
        if same {
            return (StatusCode::NOT_MODIFIED, [tag]).into_response();
        }
        ([tag, (CONTENT_TYPE, "application/json")], self.text.clone()).into_response()
    }
}

/// A tag without the mark of weakness: compression on the way weakens it.
fn opaque(tag: &str) -> &str {
    let tag = tag.trim();
    tag.strip_prefix("W/").unwrap_or(tag)
}

async fn list(asked: HeaderMap) -> Response {
    static LIST: LazyLock<Fixed> = LazyLock::new(|| Fixed::of(&describe::all()));
    LIST.answer(&asked)
}

async fn describe_all(asked: HeaderMap) -> Response {
    static DOCUMENT: LazyLock<Fixed> = LazyLock::new(|| Fixed::of(&openapi::document()));
    DOCUMENT.answer(&asked)
}

/// Every address that a visitor can look at, from the list that routes the pages.
async fn routes(State(state): State<AppState>, asked: HeaderMap) -> Response {
    let pages = state.site().pages().iter().filter(|page| !page.title.is_empty());
    let pages = pages.map(|page| json!({"path": page.path, "title": page.title, "visits": page.visits(&state)}));
    Fixed::of(&json!({"pages": pages.collect::<Vec<_>>()})).answer(&asked)
}

/// Asks one figure: the body is its `given` object. It goes the way of a JSON line, so that both answer alike.
async fn ask(Path(name): Path<String>, headers: HeaderMap, body: Bytes) -> Result<Json<Value>, Fault> {
    if !is_json(&headers) {
        return Err(Fault::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "The body is not sent as JSON",
            "Send the given object with content-type application/json.",
        ));
    }
    let given = String::from_utf8(body.into()).map_err(|_| no_json("it is not UTF-8"))?;
    serde_json::from_str::<IgnoredAny>(&given).map_err(|why| no_json(&why.to_string()))?;
    let line = format!("{{\"figure\":{},\"given\":{given}}}", Value::from(name));
    let answering = tokio::task::spawn_blocking(move || figures::line::answer(&line, 1, &NoTracks));
    let mut told = answering.await.map_err(|cause| Fault::broken(&cause))?;
    if told.get("refused").is_some() {
        return Err(refused(&told["refused"]));
    }
    told.as_object_mut().map(|told| told.shift_remove("id"));
    Ok(Json(told))
}

fn is_json(headers: &HeaderMap) -> bool {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or("");
    kind.split(';').next().is_some_and(|kind| kind.trim().eq_ignore_ascii_case("application/json"))
}

fn no_json(why: &str) -> Fault {
    Fault::new(StatusCode::BAD_REQUEST, "The body is no JSON", format!("Send one JSON object; {why}."))
}

fn refused(refusal: &Value) -> Fault {
    let words = |key: &str| refusal[key].as_str().unwrap_or_default().to_owned();
    let (field, code, detail) = (words("field"), words("code"), words("text"));
    if code == "unknown_figure" {
        return Fault::new(StatusCode::NOT_FOUND, "There is no such figure", detail);
    }
    // `given` is the body itself: a fault of the whole points at its root.
    let pointer = if field == "given" { String::new() } else { format!("/{}", pointed(&field)) };
    Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "A field is refused", detail.clone()).pointed(vec![Pointed {
        pointer,
        code,
        detail,
    }])
}

/// `bike.mass_kg` as a JSON Pointer's path.
fn pointed(field: &str) -> String {
    field.replace('~', "~0").replace('/', "~1").replace('.', "/")
}
