//! A ride taken out, and brought back: both are the undoing of a change.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{ChangeId, RideId, StoreError};

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
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.id.clone();
    let save = async {
        match undone(&state, &bike, &posted) {
            Ok(to) => Redirect::to(&to).into_response(),
            Err(cause) => {
                visit.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Nothing was changed", &fault(&cause.to_string()))
            }
        }
    };
    Ok(state.once().run(&posted, save).await)
}

/// Takes a ride of this bike out, or brings one back; no other change can be undone from here. Says where to go.
fn undone(state: &AppState, bike: &str, posted: &Posted) -> Result<String, StoreError> {
    let number = |name: &str| posted.text(name).parse::<i64>().ok();
    let post = posted.at(&state.clock().now());
    let mut garage = state.writing();
    if let Some(id) = number("ride") {
        let ride = garage.store().ride(id)?;
        if ride.bike != bike {
            return Err(StoreError::NoSuchRide { id });
        }
        let done = garage.store_mut().undo(ride.change, &post)?;
        return Ok(done.change.map_or_else(|| "/rides".to_owned(), |change| format!("/rides?undone={change}")));
    }
    let id = number("change").unwrap_or_default();
    let past = garage.store().past(bike)?;
    let undoing = past.iter().find(|one| one.id == id).and_then(|one| one.undoes);
    if !past.iter().any(|one| Some(one.id) == undoing && !one.rides.is_empty()) {
        return Err(StoreError::NoSuchChange { id });
    }
    garage.store_mut().undo(id, &post)?;
    Ok("/rides?back=1".to_owned())
}
