//! Pairing a phone by the code of a picture. The code stands behind `#` in the picture's address, where no browser sends
//! it and no log keeps it; the script puts it into the field, without script it is typed.

use std::time::Instant;

use axum::extract::State;
use axum::http::header::HeaderMap;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

use super::{let_in, refuse, summary};
use crate::frame::field::{Field, field};
use crate::frame::{Head, actions};
use crate::serve::gate::wait_first;
use crate::serve::{AppState, Peer, Posted, Visit};

const TITLE: &str = "Pair a phone";

/// `GET /pair`.
pub(super) async fn show(State(state): State<AppState>, visit: Visit) -> Response {
    visit.show(Head::titled(TITLE), &page(&state, &visit, ""))
}

fn page(state: &AppState, visit: &Visit, fault: &str) -> Markup {
    let code = Field::text("code", "Code").hint("It stands below the picture, and is good once.").fault(fault);
    html! {
        (summary("code", fault))
        h1 { (TITLE) }
        @if state.gate().asks() {
            form method="post" action="/pair" data-behind-hash="code" {
                (visit.form_key())
                (field(&code))
                (actions(&html! { button type="submit" class="button primary" { "Pair this phone" } }))
            }
            p { a href="/sign-in" { "Sign in by password instead" } }
        } @else {
            p { "This server answers on this machine only. To open it to a phone, start it with an address of this machine:" }
            p { code { "tightspot serve --bind ADDRESS --tls" } }
        }
    }
}

/// `POST /pair`.
pub(super) async fn enter(
    State(state): State<AppState>,
    visit: Visit,
    peer: Peer,
    headers: HeaderMap,
    posted: Posted,
) -> Response {
    let gate = state.gate();
    let _alone = gate.one_at_a_time.lock().await;
    if !gate.asks() {
        return Redirect::to("/").into_response();
    }
    let now = Instant::now();
    if let Some(wait) = gate.tries.wait(peer, now) {
        return wait_first("Too many wrong codes", wait.as_secs() + 1);
    }
    if gate.pairing.redeem(posted.text("code"), now) {
        return let_in(&state, &visit, peer, &headers, "pairing", "/");
    }
    refuse(&state, peer, "code");
    let fault =
        "This code is not good, or no more. Make a new one under \"Who may look\" on a browser that is signed in.";
    visit.show_faults(Head::titled(TITLE), &page(&state, &visit, fault))
}
