//! Where a change may come from: our own pages, or a program on this machine that speaks JSON.

use axum::extract::{Request, State};
use axum::http::header::{CONTENT_TYPE, HeaderMap, ORIGIN};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::fault::is_api;
use super::{AppState, Fault};

/// Refuses an unsafe method that another site could have caused.
pub(crate) async fn check(State(state): State<AppState>, request: Request, next: Next) -> Response {
    let safe = matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS | Method::TRACE);
    if safe || is_ours(&state, request.headers(), is_api(request.uri().path())) {
        return next.run(request).await;
    }
    Fault::new(
        StatusCode::FORBIDDEN,
        "Sent from another site",
        "Nothing was changed. Open the page here and send the form from there.",
    )
    .into_response()
}

/// `Sec-Fetch-Site` decides where a browser sends it, else `Origin`; with neither, only JSON to the API passes:
/// every browser sends `Origin` along with a post to another site, and JSON needs a preflight that nobody answers.
fn is_ours(state: &AppState, headers: &HeaderMap, api: bool) -> bool {
    let word = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    if let Some(site) = word("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    if let Some(origin) = word(ORIGIN.as_str()) {
        return state.hosts().is_origin(origin);
    }
    api && word(CONTENT_TYPE.as_str()).is_some_and(|kind| kind.starts_with("application/json"))
}
