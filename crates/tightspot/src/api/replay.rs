//! A write that comes twice with one key is done once and answered alike; the same key with another body is refused.

use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::entries::key_of;
use super::refusal::{key_reused, refused};
use crate::serve::{AppState, BODY_LIMIT_BYTES, Fault};

/// What is kept of an answer.
#[derive(Clone)]
pub(crate) struct Answered {
    request: String,
    status: StatusCode,
    headers: HeaderMap,
    body: Vec<u8>,
}

/// Runs a write unless its key was answered before.
pub(super) async fn once(State(state): State<AppState>, request: Request, next: Next) -> Response {
    let figure = request.uri().path().starts_with("/api/v1/figures");
    if *request.method() != Method::POST || figure {
        return next.run(request).await;
    }
    let key = match key_of(request.headers()) {
        Ok(Some(key)) => key,
        Ok(None) => return next.run(request).await,
        Err(fault) => return fault.into_response(),
    };
    let (parts, body) = request.into_parts();
    let Ok(body) = to_bytes(body, BODY_LIMIT_BYTES).await else {
        return Fault::new(StatusCode::PAYLOAD_TOO_LARGE, "That is too large", "Send less at once.").into_response();
    };
    let asked = format!("{} {}", parts.uri, store::mark(&body));
    let slot = state.replay().slot(&key);
    let mut answered = slot.lock().await;
    if let Some(first) = answered.as_ref() {
        return if first.request == asked { again(first) } else { key_reused().into_response() };
    }
    let response = next.run(Request::from_parts(parts, Body::from(body))).await;
    if !response.status().is_success() {
        return response;
    }
    let (parts, body) = response.into_parts();
    let Ok(body) = to_bytes(body, usize::MAX).await else {
        return refused("", "broken", "The answer could not be read.").into_response();
    };
    let first = Answered { request: asked, status: parts.status, headers: parts.headers, body: body.to_vec() };
    let response = again(&first);
    *answered = Some(first);
    response
}

fn again(first: &Answered) -> Response {
    (first.status, first.headers.clone(), first.body.clone()).into_response()
}
