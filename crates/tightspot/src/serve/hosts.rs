//! Which names this server answers to: checked before anything is routed, against pages that rebind a name to us.

use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::http::header::HOST;
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::{AppState, Fault};

/// The authorities, `name:port`, that a request may be meant for.
pub(crate) struct Hosts {
    allowed: Vec<String>,
}

impl Hosts {
    /// The names of this machine to itself.
    pub(crate) fn loopback(port: u16) -> Self {
        let names = ["127.0.0.1", "localhost", "[::1]"];
        let mut allowed: Vec<String> = names.iter().map(|name| format!("{name}:{port}")).collect();
        if port == 80 {
            allowed.extend(names.map(str::to_owned));
        }
        Self { allowed }
    }

    /// Whether an authority is one of ours, letter case aside.
    pub(crate) fn knows(&self, authority: &str) -> bool {
        self.allowed.iter().any(|allowed| allowed.eq_ignore_ascii_case(authority))
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
