//! A ride taken out, and brought back: both are the undoing of a change.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{ChangeId, Post, RideId, StoreError};

use crate::frame::notice::fault;
use crate::serve::{AppState, Posted, Visit};

/// The form that takes a ride out.
pub(super) fn take_out(visit: &Visit, ride: RideId, words: &str) -> Markup {
    form(visit, "ride", ride, words)
}

/// The form that brings one back.
pub(super) fn bring_back(visit: &Visit, change: ChangeId) -> Markup {
    form(visit, "change", change, "Bring it back")
}

fn form(visit: &Visit, name: &str, number: i64, words: &str) -> Markup {
    html! {
        form method="post" action="/rides/undo" {
            (visit.form_key())
            input type="hidden" name=(name) value=(number);
            button type="submit" class="button" { (words) }
        }
    }
}

/// `POST /rides/undo`, with the ride to take out or the change to undo.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        match undone(&state, &posted) {
            Ok(to) => Redirect::to(&to).into_response(),
            Err(cause) => {
                visit.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Nothing was changed", &fault(&cause.to_string()))
            }
        }
    };
    state.once().run(&posted, save).await
}

/// Undoes, and says where to go.
fn undone(state: &AppState, posted: &Posted) -> Result<String, StoreError> {
    let number = |name: &str| posted.text(name).parse::<i64>().ok();
    let post = Post { now: state.clock().now().timestamp(), key: Some(posted.key()) };
    let mut garage = state.garage();
    match (number("ride"), number("change")) {
        (Some(ride), _) => {
            let change = garage.store().ride(ride)?.change;
            let done = garage.store_mut().undo(change, &post)?;
            Ok(done.change.map_or_else(|| "/rides".to_owned(), |change| format!("/rides?undone={change}")))
        }
        (None, change) => {
            garage.store_mut().undo(change.unwrap_or_default(), &post)?;
            Ok("/rides?back=1".to_owned())
        }
    }
}
