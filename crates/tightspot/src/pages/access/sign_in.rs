//! Signing in by password, and out.

use std::time::Instant;

use axum::extract::State;
use axum::http::header::HeaderMap;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

use super::{let_in, own_path, refuse, summary};
use crate::frame::field::{Field, secret_field};
use crate::frame::{Head, actions};
use crate::pages::typed::Typed;
use crate::serve::gate::wait_first;
use crate::serve::{AppState, Fault, Peer, Posted, Visit};

const TITLE: &str = "Sign in";

/// `GET /sign-in`.
pub(super) async fn show(State(state): State<AppState>, visit: Visit, typed: Typed) -> Response {
    let back = own_path(typed.text("back"));
    visit.show(Head::titled(TITLE), &page(&state, &visit, back, ""))
}

fn page(state: &AppState, visit: &Visit, back: &str, fault: &str) -> Markup {
    let password = Field::text("password", "Password").fault(fault);
    html! {
        (summary("password", fault))
        h1 { (TITLE) }
        @if state.gate().asks() {
            form method="post" action="/sign-in" {
                (visit.form_key())
                input type="hidden" name="back" value=(back);
                (secret_field(&password, "current-password"))
                (actions(&html! { button type="submit" class="button primary" { "Sign in" } }))
            }
            p { a href="/pair" { "Pair this phone with a code instead" } }
        } @else {
            p { "This server answers on this machine only; nobody needs to sign in." }
            p { a class="button primary" href=(back) { "Go on" } }
        }
    }
}

/// `POST /sign-in`.
pub(super) async fn enter(
    State(state): State<AppState>,
    visit: Visit,
    peer: Peer,
    headers: HeaderMap,
    posted: Posted,
) -> Response {
    let gate = state.gate();
    // One at a time: whoever sends many at once gains nothing.
    let _alone = gate.one_at_a_time.lock().await;
    if let Some(wait) = gate.tries.wait(peer, Instant::now()) {
        return wait_first("Too many wrong passwords", wait.as_secs() + 1);
    }
    let back = own_path(posted.text("back"));
    let Some(kept) = gate.password() else { return Redirect::to(back).into_response() };
    let typed = posted.text("password").to_owned();
    let right = match tokio::task::spawn_blocking(move || kept.is(&typed)).await {
        Ok(right) => right,
        Err(cause) => return Fault::broken(&cause).into_response(),
    };
    if right {
        return let_in(&state, &visit, peer, &headers, "password", back);
    }
    refuse(&state, peer, "password");
    let fault =
        "This is not the password. Look for capital letters and the language of the keyboard, and type it again.";
    visit.show_faults(Head::titled(TITLE), &page(&state, &visit, back, fault))
}

/// `POST /sign-out`.
pub(super) async fn leave(State(state): State<AppState>, visit: Visit, _posted: Posted) -> Response {
    state.sessions().end(visit.session_id());
    Redirect::to("/sign-in").into_response()
}
