//! What went wrong, told in one place: a page for a person, a problem document for a program.

use std::any::Any;
use std::io::Write as _;

use axum::extract::{Request, State};
use axum::http::header::{ALLOW, CONTENT_TYPE, ETAG, HeaderValue, RETRY_AFTER, WWW_AUTHENTICATE};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde_json::{Value, json};
use store::StoreError;

use super::{AppState, Visit};
use crate::frame;
use crate::problem::Problem;

/// One field's fault, as the API names it.
#[derive(Debug, Clone)]
pub(crate) struct Pointed {
    /// JSON Pointer to the member.
    pub(crate) pointer: String,
    /// The stable word.
    pub(crate) code: String,
    /// The sentence.
    pub(crate) detail: String,
}

/// An answer that is a refusal of the request itself.
#[derive(Debug, Clone)]
pub(crate) struct Fault {
    status: StatusCode,
    title: String,
    text: String,
    errors: Vec<Pointed>,
}

impl Fault {
    /// A fault with its title and what to do.
    pub(crate) fn new(status: StatusCode, title: impl Into<String>, text: impl Into<String>) -> Self {
        Self { status, title: title.into(), text: text.into(), errors: Vec::new() }
    }

    /// There is nothing at this address.
    pub(crate) fn not_found(text: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, "There is no such page", text)
    }

    /// Something of ours broke: the cause goes to the log under a number, the number to the person.
    pub(crate) fn broken(cause: &dyn std::fmt::Display) -> Self {
        let number = number_of_fault();
        let _ = writeln!(std::io::stderr(), "fault {number}: {cause}");
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "Something broke here",
            format!("Nothing was saved. The program's log names the cause under {number}."),
        )
    }

    /// What the store did not do: what a person can cure is told, anything else is [`Fault::broken`].
    pub(crate) fn of_store(why: &StoreError) -> Self {
        let (status, title) = match why {
            StoreError::Busy | StoreError::ReadOnly => (StatusCode::SERVICE_UNAVAILABLE, "Nothing was saved"),
            StoreError::Full | StoreError::Disk { .. } => (StatusCode::INSUFFICIENT_STORAGE, "Nothing was saved"),
            StoreError::KeyReused | StoreError::Key => (StatusCode::UNPROCESSABLE_ENTITY, "This form was sent before"),
            why => return Self::broken(why),
        };
        Self::new(status, title, why.to_string())
    }

    /// The same fault with a pointer to each member at fault.
    pub(crate) fn pointed(self, errors: Vec<Pointed>) -> Self {
        Self { errors, ..self }
    }

    /// What a status says when nobody said more.
    fn of_status(status: StatusCode) -> Self {
        let (title, text) = match status {
            StatusCode::NOT_FOUND => {
                ("There is no such page", "Check the address, or start from the list of all pages.")
            }
            StatusCode::METHOD_NOT_ALLOWED => ("That cannot be done here", "This address takes other requests only."),
            StatusCode::REQUEST_TIMEOUT => ("That took too long", "Nothing was saved. Try again."),
            StatusCode::PAYLOAD_TOO_LARGE => ("That is too large", "Send less at once."),
            StatusCode::UNSUPPORTED_MEDIA_TYPE => {
                ("That kind of content is not read here", "Send a form to a page, JSON to the API.")
            }
            StatusCode::UNPROCESSABLE_ENTITY => ("That could not be understood", "Check what was sent."),
            status if status.is_server_error() => ("Something broke here", "Nothing was saved. Try again."),
            _ => ("That request was refused", "Check what was sent."),
        };
        Self::new(status, title, text)
    }

    /// The problem document (RFC 9457).
    fn problem(&self, instance: &str) -> Value {
        let mut problem = json!({
            "type": "about:blank",
            "title": self.title,
            "status": self.status.as_u16(),
            "detail": self.text,
            "instance": instance,
        });
        if !self.errors.is_empty() {
            let errors = self.errors.iter();
            let errors = errors.map(|one| json!({"pointer": one.pointer, "code": one.code, "detail": one.detail}));
            problem["errors"] = errors.collect();
        }
        problem
    }
}

/// Counts the faults of this run.
fn number_of_fault() -> u64 {
    use std::sync::atomic::{AtomicU64, Ordering};
    static COUNT: AtomicU64 = AtomicU64::new(1);
    COUNT.fetch_add(1, Ordering::Relaxed)
}

impl IntoResponse for Fault {
    /// The fault travels beside an empty body until [`tell`] knows who asked.
    fn into_response(self) -> Response {
        let mut response = self.status.into_response();
        response.extensions_mut().insert(self);
        response
    }
}

impl From<Fault> for Response {
    fn from(fault: Fault) -> Self {
        fault.into_response()
    }
}

impl From<StoreError> for Fault {
    fn from(why: StoreError) -> Self {
        Self::of_store(&why)
    }
}

impl From<Problem> for Fault {
    fn from(problem: Problem) -> Self {
        Self::broken(&problem.lines().join(" "))
    }
}

/// Whether a program asks.
pub(crate) fn is_api(path: &str) -> bool {
    path == "/api" || path.starts_with("/api/")
}

/// The answer of a handler that panicked.
pub(crate) fn of_panic(cause: Box<dyn Any + Send + 'static>) -> Response {
    let words = cause.downcast_ref::<String>().map(String::as_str).or_else(|| cause.downcast_ref::<&str>().copied());
    Fault::broken(&words.unwrap_or("panic without words")).into_response()
}

/// Gives every refusal its body: problem document under `/api`, else a page; no default body of a library gets out.
pub(crate) async fn tell(State(state): State<AppState>, request: Request, next: Next) -> Response {
    let (uri, headers) = (request.uri().clone(), request.headers().clone());
    let head_only = *request.method() == Method::HEAD;
    let mut response = next.run(request).await;
    let status = response.status();
    let told = response.extensions().get::<Told>().is_some();
    if told || !(status.is_client_error() || status.is_server_error()) {
        return response;
    }
    let fault = response.extensions_mut().remove::<Fault>().unwrap_or_else(|| Fault::of_status(status));
    let mut answer = if is_api(uri.path()) {
        let kind = (CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        (status, [kind], fault.problem(uri.path()).to_string()).into_response()
    } else if status == StatusCode::MISDIRECTED_REQUEST {
        // A page of another site may read this answer: it learns neither the bike nor a token.
        (status, format!("{}\n{}\n", fault.title, fault.text)).into_response()
    } else {
        match Visit::of(&state, &headers, &uri) {
            Ok(visit) => visit.refuse(status, &fault.title, &frame::notice::fault(&fault.text)),
            Err(_) => (status, fault.title).into_response(),
        }
    };
    for name in [ALLOW, RETRY_AFTER, WWW_AUTHENTICATE, ETAG] {
        if let Some(value) = response.headers_mut().remove(&name) {
            answer.headers_mut().insert(name, value);
        }
    }
    if head_only {
        *answer.body_mut() = axum::body::Body::empty();
    }
    answer
}

/// Marks a refusal that already carries its own page (a form shown again with its faults).
#[derive(Clone, Copy)]
pub(crate) struct Told;
