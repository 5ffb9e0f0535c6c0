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
    if !changes || is_ours(&state, request.headers(), is_api(request.uri().path())) {
        return next.run(request).await;
    }
    foreign().into_response()
}

/// The refusal of what another site could have caused.
pub(crate) fn foreign() -> Fault {
    Fault::new(
        StatusCode::FORBIDDEN,
        "Sent from another site",
        "Nothing was changed. Open the page here and send the form from there.",
    )
}

/// Whether a change without a body says by itself that no form of another site made it: where it comes from, or JSON.
pub(crate) fn is_marked(headers: &HeaderMap) -> bool {
    let json = headers.get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or("");
    headers.contains_key("sec-fetch-site") || headers.contains_key(ORIGIN) || json.starts_with("application/json")
}

/// `Sec-Fetch-Site` decides where a browser sends it, else `Origin`; with neither, only the API is open: every browser
/// sends `Origin` along to another site, and the API itself takes JSON only, which needs a preflight that nobody answers.
fn is_ours(state: &AppState, headers: &HeaderMap, api: bool) -> bool {
    let word = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    if let Some(site) = word("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    if let Some(origin) = word(ORIGIN.as_str()) {
        return state.hosts().is_origin(origin);
    }
    api
}
