//! Headers that every answer carries.

use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderMap, HeaderValue, REFERRER_POLICY, SET_COOKIE, VARY,
    X_CONTENT_TYPE_OPTIONS,
};
use axum::middleware::Next;
use axum::response::Response;

use super::AppState;

/// Everything from here, nothing inline, in nobody's frame.
const POLICY: HeaderValue = HeaderValue::from_static(
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
     form-action 'self'; frame-ancestors 'none'; base-uri 'none'",
);

/// Sets the headers of safety, and caching where the handler said nothing.
pub(crate) async fn set(State(state): State<AppState>, request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    if state.gate().secure() {
        only_encrypted(headers);
    }
    headers.insert(CONTENT_SECURITY_POLICY, POLICY);
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("same-origin"));
    headers.insert("cross-origin-opener-policy", HeaderValue::from_static("same-origin"));
    headers.insert("cross-origin-resource-policy", HeaderValue::from_static("same-origin"));
    if !headers.contains_key(CACHE_CONTROL) {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("private, no-cache"));
        headers.append(VARY, HeaderValue::from_static("x-part, cookie"));
    }
    response
}

/// Where what passes is encrypted, a cookie is sent in no other way.
fn only_encrypted(headers: &mut HeaderMap) {
    let cookies: Vec<HeaderValue> = headers.get_all(SET_COOKIE).iter().cloned().collect();
    headers.remove(SET_COOKIE);
    for cookie in cookies {
        let secure = cookie.to_str().ok().map(|cookie| format!("{cookie}; Secure"));
        if let Some(cookie) = secure.and_then(|cookie| HeaderValue::from_str(&cookie).ok()) {
            headers.append(SET_COOKIE, cookie);
        }
    }
}
