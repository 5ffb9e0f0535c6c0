//! Figures by name: each asked with its `given` object.

use axum::body::Bytes;
use axum::extract::Path;
use axum::http::header::HeaderMap;
use axum::response::Json;
use figures::NoTracks;
use serde::de::IgnoredAny;
use serde_json::Value;

use super::given::{json_text, no_json};
use super::refusal::{refused, refused_inside};
use crate::serve::{Fault, beside};

/// Asks one figure: the body is its `given` object. It goes the way of a JSON line, so that both answer alike.
pub(super) async fn ask(Path(name): Path<String>, headers: HeaderMap, body: Bytes) -> Result<Json<Value>, Fault> {
    let given = json_text(&headers, body)?;
    serde_json::from_str::<IgnoredAny>(&given).map_err(|why| no_json(&why.to_string()))?;
    let line = format!("{{\"figure\":{},\"given\":{given}}}", Value::from(name));
    let mut told = beside(move || figures::line::answer(&line, 1, &NoTracks)).await?;
    if let Some(refusal) = told.get("refused") {
        let words = |key: &str| refusal[key].as_str().unwrap_or_default();
        let figure = told["figure"].as_str().and_then(figures::named);
        let declared = figure.is_some_and(|figure| figure.given.iter().any(|field| field.name == words("field")));
        let refuse = if declared { refused_inside } else { refused };
        return Err(refuse(words("field"), words("code"), words("text")));
    }
    told.as_object_mut().map(|told| told.shift_remove("id"));
    Ok(Json(told))
}
