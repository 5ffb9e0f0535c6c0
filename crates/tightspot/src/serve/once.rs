//! A form sent twice is stored once: the key in the form remembers what the first post answered.

use std::collections::HashMap;
use std::future::Future;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::http::StatusCode;
use axum::http::header::LOCATION;
use axum::response::{IntoResponse as _, Redirect, Response};

use super::{Fault, Posted};

/// How long an answer is kept.
const KEPT: Duration = Duration::from_secs(24 * 60 * 60);
/// How many answers are kept at most; the oldest give way.
const MOST: usize = 10_000;

/// What the first post of a key answered: its body's mark and where it led.
#[derive(Clone)]
struct Answered {
    body: u64,
    location: String,
}

struct Slot {
    since: Instant,
    answered: Arc<tokio::sync::Mutex<Option<Answered>>>,
}

/// The posts that were answered.
#[derive(Default)]
pub(crate) struct Once {
    slots: Mutex<HashMap<String, Slot>>,
}

impl Once {
    /// Runs `save` unless this very post was already answered with a redirect; then that redirect is repeated.
    ///
    /// A second post that comes while the first still runs waits for it. The same key with another body is refused.
    pub(crate) async fn run(&self, posted: &Posted, save: impl Future<Output = Response>) -> Response {
        let slot = self.slot(posted.key());
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

    fn slot(&self, key: &str) -> Arc<tokio::sync::Mutex<Option<Answered>>> {
        let mut slots = self.slots.lock().unwrap_or_else(PoisonError::into_inner);
        if slots.len() >= MOST {
            slots.retain(|_, slot| slot.since.elapsed() < KEPT);
        }
        if slots.len() >= MOST {
            let oldest = slots.iter().min_by_key(|(_, slot)| slot.since).map(|(key, _)| key.clone());
            oldest.map(|key| slots.remove(&key));
        }
        let fresh = || Slot { since: Instant::now(), answered: Arc::default() };
        Arc::clone(&slots.entry(key.to_owned()).or_insert_with(fresh).answered)
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
