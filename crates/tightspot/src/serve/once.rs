//! A form sent twice is stored once: the key in the form remembers what the first post answered.

use std::future::Future;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};

use axum::http::StatusCode;
use axum::http::header::LOCATION;
use axum::response::{IntoResponse as _, Redirect, Response};

use super::slots::Slots;
use super::{Fault, Posted};

/// What the first post of a key answered: its body's mark and where it led.
#[derive(Clone)]
struct Answered {
    body: u64,
    location: String,
}

/// The posts that were answered.
#[derive(Default)]
pub(crate) struct Once {
    slots: Slots<Answered>,
}

impl Once {
    /// Runs `save` unless this very post was already answered with a redirect; then that redirect is repeated.
    ///
    /// A second post that comes while the first still runs waits for it. The same key with another body is refused.
    pub(crate) async fn run(&self, posted: &Posted, save: impl Future<Output = Response>) -> Response {
        let slot = self.slots.slot(posted.key());
        let mut answered = slot.lock().await;
        let body = mark(posted);
        if let Some(first) = answered.as_ref() {
            return if first.body == body { Redirect::to(&first.location).into_response() } else { used_up() };
        }
        let response = save.await;
        if response.status() == StatusCode::SEE_OTHER {
            let location = response.headers().get(LOCATION).and_then(|to| to.to_str().ok());
            *answered = location.map(|to| Answered { body, location: to.to_owned() });
        }
        response
    }
}

fn mark(posted: &Posted) -> u64 {
    let mut hasher = DefaultHasher::new();
    posted.fields().hash(&mut hasher);
    hasher.finish()
}

fn used_up() -> Response {
    Fault::new(
        StatusCode::UNPROCESSABLE_ENTITY,
        "This form was already sent with other entries",
        "The first entries are stored. Open the page anew to enter more.",
    )
    .into_response()
}
