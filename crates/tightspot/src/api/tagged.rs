//! Answers with a strong tag: not sent again to whoever has them, not overwritten by whoever has not.

use axum::http::StatusCode;
use axum::http::header::{CONTENT_TYPE, ETAG, HeaderMap, HeaderValue, IF_MATCH, IF_NONE_MATCH, LOCATION};
use axum::response::{IntoResponse as _, Response};
use serde_json::Value;

use crate::serve::Fault;

/// An answer's text and its tag.
pub(super) struct Fixed {
    text: String,
    tag: String,
}

impl Fixed {
    /// A value as it is sent.
    pub(super) fn of(value: &Value) -> Self {
        let text = value.to_string();
        let tag = format!("\"{}\"", store::mark(text.as_bytes()));
        Self { text, tag }
    }

    /// The answer, or only that it is unchanged.
    pub(super) fn answer(&self, asked: &HeaderMap) -> Response {
        let known = asked.get(IF_NONE_MATCH).and_then(|tags| tags.to_str().ok());
        let same = known.is_some_and(|tags| tags == "*" || tags.split(',').any(|tag| opaque(tag) == self.tag));
        if same {
            return (StatusCode::NOT_MODIFIED, [(ETAG, self.tag.as_str())]).into_response();
        }
        self.with(StatusCode::OK)
    }

    /// The answer with another status.
    pub(super) fn with(&self, status: StatusCode) -> Response {
        let headers = [(ETAG, self.tag.as_str()), (CONTENT_TYPE, "application/json")];
        (status, headers, self.text.clone()).into_response()
    }

    /// Lets a change pass only if whoever makes it has seen what it changes.
    ///
    /// # Errors
    /// 428 if they do not say what they have seen, 412 with the present tag if it is something else.
    pub(super) fn seen(&self, asked: &HeaderMap) -> Result<(), Response> {
        let Some(tags) = asked.get(IF_MATCH) else {
            let fault = Fault::new(
                StatusCode::PRECONDITION_REQUIRED,
                "Say what you have seen",
                "Read it first, and send its ETag back as If-Match. Nothing was changed.",
            );
            return Err(self.tagged(fault));
        };
        let tags = tags.to_str().unwrap_or_default();
        if tags.trim() == "*" || tags.split(',').any(|tag| opaque(tag) == self.tag) {
            return Ok(());
        }
        let fault = Fault::new(
            StatusCode::PRECONDITION_FAILED,
            "Changed meanwhile",
            "It is not what you have seen any more. Read it again, then change it. Nothing was changed.",
        );
        Err(self.tagged(fault))
    }

    fn tagged(&self, fault: Fault) -> Response {
        let mut response = fault.into_response();
        if let Ok(tag) = HeaderValue::from_str(&self.tag) {
            response.headers_mut().insert(ETAG, tag);
        }
        response
    }
}

/// An answer that says where what was made stands.
pub(super) fn located(mut response: Response, place: &str) -> Response {
    if let Ok(place) = HeaderValue::from_str(place) {
        response.headers_mut().insert(LOCATION, place);
    }
    response
}

/// A tag without the mark of weakness: compression on the way weakens it.
fn opaque(tag: &str) -> &str {
    let tag = tag.trim();
    tag.strip_prefix("W/").unwrap_or(tag)
}
