//! Where a change may come from: our own pages, or a program on this machine that speaks JSON.

use axum::extract::{Request, State};
use axum::http::header::{CONTENT_TYPE, HeaderMap, ORIGIN};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::fault::is_api;
use super::{AppState, Fault};

/// Refuses a change that another site could have caused.
pub(crate) async fn check(State(state): State<AppState>, request: Request, next: Next) -> Response {
    // No other method changes anything: the router knows none.
    let changes = matches!(*request.method(), Method::POST | Method::PUT | Method::PATCH | Method::DELETE);
    let posted = *request.method() == Method::POST;
    if !changes || is_ours(&state, request.headers(), is_api(request.uri().path()), posted) {
        return next.run(request).await;
    }
    Fault::new(
        StatusCode::FORBIDDEN,
        "Sent from another site",
        "Nothing was changed. Open the page here and send the form from there.",
    )
    .into_response()
}

/// `Sec-Fetch-Site` decides where a browser sends it, else `Origin`; with neither, only the API is open, and to a post
/// only if it is JSON: every browser sends `Origin` along to another site, and JSON and all methods but a post need a
/// preflight that nobody answers.
fn is_ours(state: &AppState, headers: &HeaderMap, api: bool, posted: bool) -> bool {
    let word = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    if let Some(site) = word("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    if let Some(origin) = word(ORIGIN.as_str()) {
        return state.hosts().is_origin(origin);
    }
    api && (!posted || word(CONTENT_TYPE.as_str()).is_some_and(|kind| kind.starts_with("application/json")))
}
