//! Another password; the present one is needed for it.

use std::time::Instant;

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

use super::{browsers, refuse};
use crate::frame::actions;
use crate::frame::field::{Field, secret_field};
use crate::serve::gate::password::{self, Kept, log};
use crate::serve::gate::wait_first;
use crate::serve::{AppState, Fault, Peer, Posted, Visit};

/// What is wrong with the two fields.
#[derive(Default)]
pub(super) struct Faults {
    pub(super) present: String,
    pub(super) new: String,
}

/// The form.
pub(super) fn form(visit: &Visit, faults: &Faults) -> Markup {
    let present = Field::text("present", "Present password").fault(&faults.present);
    let new = Field::text("new", "New password").hint("8 characters at least, 15 or more are better. Any characters.");
    html! {
        form method="post" action="/access/password" {
            (visit.form_key_of("password"))
            (secret_field(&present, "current-password"))
            (secret_field(&new.fault(&faults.new), "new-password"))
            (actions(&html! { button type="submit" class="button" { "Change the password" } }))
        }
    }
}

/// `POST /access/password`: every other browser is signed out.
pub(super) async fn change(State(state): State<AppState>, visit: Visit, peer: Peer, posted: Posted) -> Response {
    let gate = state.gate();
    let _alone = gate.one_at_a_time.lock().await;
    let Some(kept) = gate.password() else { return Redirect::to("/access").into_response() };
    if let Some(wait) = gate.tries.wait(peer, Instant::now()) {
        return wait_first("Too many wrong passwords", wait.as_secs() + 1);
    }
    let (present, new) = (posted.text("present").to_owned(), posted.text("new").to_owned());
    if let Err(why) = password::check(&new) {
        return browsers::again(&state, &visit, &Faults { new: why, ..Faults::default() });
    }
    let hashing = move || kept.is(&present).then(|| Kept::new(&new));
    let hashed = match tokio::task::spawn_blocking(hashing).await {
        Ok(hashed) => hashed,
        Err(cause) => return Fault::broken(&cause).into_response(),
    };
    let new = match hashed {
        None => {
            refuse(&state, peer, "password");
            let present = "This is not the present password. Nothing was changed.".to_owned();
            return browsers::again(&state, &visit, &Faults { present, ..Faults::default() });
        }
        Some(Err(cause)) => return Fault::broken(&cause).into_response(),
        Some(Ok(new)) => new,
    };
    if let Err(problem) = new.write() {
        return Fault::broken(&problem.lines().join(" ")).into_response();
    }
    gate.change(new);
    state.sessions().end_others(visit.session_id());
    log(&format!("{peer} changed the password; every other browser is signed out"));
    Redirect::to("/access?changed=1").into_response()
}
