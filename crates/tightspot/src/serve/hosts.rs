//! Which names this server answers to: checked before anything is routed, against pages that rebind a name to us.

use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::http::header::HOST;
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::{AppState, Fault};

/// The authorities, `name:port`, that a request may be meant for.
pub(crate) struct Hosts {
    scheme: &'static str,
    allowed: Vec<String>,
}

impl Hosts {
    /// The names of this machine to itself, and those that were added; `secure` where what passes is encrypted.
    pub(crate) fn new(port: u16, names: &[String], secure: bool) -> Self {
        let (scheme, usual) = if secure { ("https://", 443) } else { ("http://", 80) };
        let own = ["127.0.0.1", "localhost", "[::1]"].into_iter().chain(names.iter().map(String::as_str));
        let mut allowed: Vec<String> = own.clone().map(|name| format!("{name}:{port}")).collect();
        if port == usual {
            allowed.extend(own.map(str::to_owned));
        }
        Self { scheme, allowed }
    }

    /// Whether an authority is one of ours, letter case aside.
    pub(crate) fn knows(&self, authority: &str) -> bool {
        self.allowed.iter().any(|allowed| allowed.eq_ignore_ascii_case(authority))
    }

    /// Whether an origin, `http://name:port`, is one of ours.
    pub(crate) fn is_origin(&self, origin: &str) -> bool {
        origin.strip_prefix(self.scheme).is_some_and(|authority| self.knows(authority))
    }
}

/// Refuses a request whose `Host` is missing, doubled or not ours.
pub(crate) async fn check(State(state): State<AppState>, request: Request, next: Next) -> Response {
    let mut hosts = request.headers().get_all(HOST).iter();
    let meant_for_us = match (hosts.next(), hosts.next()) {
        (Some(host), None) => host.to_str().is_ok_and(|host| state.hosts().knows(host)),
        _ => false,
    };
    let target_is_ours = request.uri().authority().is_none_or(|target| state.hosts().knows(target.as_str()));
    if meant_for_us && target_is_ours {
        return next.run(request).await;
    }
    Fault::new(
        StatusCode::MISDIRECTED_REQUEST,
        "This server does not answer to that name",
        "Open the address that the program printed when it started.",
    )
    .into_response()
}
