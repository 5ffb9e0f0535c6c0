//! Who may come in when the server can be reached from the home network; on this machine alone nobody is asked.
//!
//! Layout: [`password`] what it must be and how it is kept · [`tries`] wrong ones wait longer and longer · [`pairing`] a phone
//! comes in by a picture · [`links`] one page for somebody else, for a while · [`flow`] how much one address may ask ·
//! [`peer`] who is at the other end · here the check of every request.

pub(crate) mod flow;
pub(crate) mod links;
pub(crate) mod pairing;
pub(crate) mod password;
pub(crate) mod peer;
pub(crate) mod tries;

use std::sync::{PoisonError, RwLock};
use std::time::Instant;

use axum::extract::{FromRequest as _, Request, State};
use axum::http::header::{CONTENT_TYPE, HeaderValue, RETRY_AFTER, WWW_AUTHENTICATE};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::html;

use self::flow::Flow;
use self::links::Helpers;
use self::pairing::Pairing;
use self::password::Kept;
use self::peer::Peer;
use self::tries::Tries;
use super::fault::is_api;
use super::{AppState, Fault, Visit, encoded};

/// What stands at the door.
#[derive(Default)]
pub(crate) struct Gate {
    password: RwLock<Option<Kept>>,
    secure: bool,
    /// Wrong passwords and codes.
    pub(crate) tries: Tries,
    /// The code of a phone that is being paired.
    pub(crate) pairing: Pairing,
    /// Links for helpers.
    pub(crate) helpers: Helpers,
    /// How much was asked.
    pub(crate) flow: Flow,
    /// One password is checked at a time: whoever guesses waits for the guess before.
    pub(crate) one_at_a_time: tokio::sync::Mutex<()>,
}

impl Gate {
    /// A gate that asks for this password.
    pub(crate) fn asking(password: Kept) -> Self {
        Self { password: RwLock::new(Some(password)), ..Self::default() }
    }

    /// The same gate, with what passes encrypted or not.
    pub(crate) fn encrypted(self, secure: bool) -> Self {
        Self { secure, ..self }
    }

    /// Whether anybody must sign in.
    pub(crate) fn asks(&self) -> bool {
        self.password.read().unwrap_or_else(PoisonError::into_inner).is_some()
    }

    /// Whether what passes is encrypted.
    pub(crate) const fn secure(&self) -> bool {
        self.secure
    }

    /// The password, to check one against.
    pub(crate) fn password(&self) -> Option<Kept> {
        self.password.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Another password from now on; whoever was about to come in by a code of before does not.
    pub(crate) fn change(&self, password: Kept) {
        self.pairing.forget();
        *self.password.write().unwrap_or_else(PoisonError::into_inner) = Some(password);
    }
}

/// Whether an address is open to whoever is not signed in: it gives nothing of the record away.
fn open_to_all(path: &str) -> bool {
    matches!(path, "/sign-in" | "/pair" | "/theme" | "/units" | "/favicon.ico")
        || path.starts_with("/assets/")
        || path.starts_with("/help/")
}

/// Lets in who is signed in, where that is asked for.
pub(crate) async fn check(State(state): State<AppState>, request: Request, next: Next) -> Response {
    let gate = state.gate();
    if let Some(wait) = gate.flow.take(Peer::of(&request), Instant::now()) {
        return wait_first("That is a lot at once", wait.as_secs() + 1);
    }
    if !gate.asks() || open_to_all(request.uri().path()) || state.sessions().is_signed_in(request.headers()) {
        return next.run(request).await;
    }
    if is_api(request.uri().path()) {
        let fault = Fault::new(
            StatusCode::UNAUTHORIZED,
            "Not signed in",
            "Sign in by the form at /sign-in and send its cookie along.",
        );
        let mut response = fault.into_response();
        response.headers_mut().insert(WWW_AUTHENTICATE, HeaderValue::from_static("Cookie realm=\"tightspot\""));
        return response;
    }
    if matches!(*request.method(), Method::GET | Method::HEAD) {
        let asked = request.uri().path_and_query().map_or("/", |asked| asked.as_str());
        return Redirect::to(&format!("/sign-in?back={}", encoded(asked))).into_response();
    }
    keep_typed(&state, request).await
}

/// A refusal that says how long to wait.
pub(crate) fn wait_first(title: &str, seconds: u64) -> Response {
    let text = format!("Nothing was stored. Wait {seconds} s, then try again.");
    let mut response = Fault::new(StatusCode::TOO_MANY_REQUESTS, title, text).into_response();
    response.headers_mut().insert(RETRY_AFTER, HeaderValue::from(seconds));
    response
}

/// A form that was sent without being signed in (the program was started anew, say): nothing typed is lost.
async fn keep_typed(state: &AppState, request: Request) -> Response {
    let visit = Visit::of(state, request.headers(), request.uri());
    let path = request.uri().path().to_owned();
    let kind = request.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or("").to_owned();
    let fields = if kind.starts_with("application/x-www-form-urlencoded") {
        let form = axum::Form::<Vec<(String, String)>>::from_request(request, state).await;
        form.map(|axum::Form(fields)| fields).unwrap_or_default()
    } else {
        Vec::new()
    };
    let visit = match visit {
        Ok(visit) => visit,
        Err(cause) => return Fault::broken(&cause).into_response(),
    };
    let own = |name: &str| name == super::posted::TOKEN || name == super::posted::KEY;
    let text = html! {
        p { "Nothing was stored yet, and nothing you typed is lost. "
            a href="/sign-in" target="_blank" rel="noopener" { "Sign in in a new window" } ", come back here, and send it." }
        form method="post" action=(path) {
            (visit.form_key())
            @for (name, text) in fields.iter().filter(|(name, _)| !own(name)) {
                input type="hidden" name=(name) value=(text);
            }
            button type="submit" class="button primary" { "Send it now" }
        }
    };
    visit.refuse(StatusCode::UNAUTHORIZED, "Sign in first", &text)
}

/// Compares without telling by its time where two texts differ.
fn same(one: &str, other: &str) -> bool {
    let differ = one.bytes().zip(other.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b));
    one.len() == other.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_made_before_the_password_was_changed_lets_nobody_in() {
        let gate = Gate::asking(Kept::new("loose spoke gate").expect("a hash"));
        let code = gate.pairing.make(Instant::now()).expect("a code");
        gate.change(Kept::new("another gate of mine").expect("a hash"));
        assert!(!gate.pairing.redeem(&code, Instant::now()));
    }
}
