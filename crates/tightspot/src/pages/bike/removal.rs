//! A bike taken off the list with its whole record, and brought back: nothing of it is deleted.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::StoreError;

use super::not_stored;
use super::standing::Standing;
use crate::frame::details;
use crate::serve::{AppState, Posted, Visit};

/// `POST /bike/remove`.
pub(super) async fn remove(State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let post = posted.at(&state.clock().now());
        let done = state.writing().store_mut().remove_bike(posted.text("bike"), &post);
        done.map_or_else(|why| not_stored(&why), |_| Redirect::to("/bike#removed").into_response())
    };
    state.once().run(&posted, save).await
}

/// `POST /bike/bring-back`: only what took a bike off can be undone here.
pub(super) async fn bring_back(State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let post = posted.at(&state.clock().now());
        let mut garage = state.writing();
        let id = posted.text("bike");
        let back = garage.store().removed_bikes().and_then(|all| {
            let known = garage.store().bikes()?.into_iter().map(|bike| bike.id).collect();
            let found = all.into_iter().find(|one| one.id == id);
            found.ok_or_else(|| StoreError::NoSuchBike { id: id.to_owned(), known })
        });
        let done = back.and_then(|one| garage.store_mut().undo(one.change, &post).map(|_| one.id));
        match done {
            Ok(id) => super::bikes::looked_at(&id, Redirect::to("/bike").into_response()),
            Err(why) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

/// The way off the list, and what was taken off with the way back.
pub(super) fn off(visit: &Visit, standing: &Standing) -> Markup {
    html! {
        @if let Some(bike) = &standing.bike {
            (details("Take this bike off the list", &html! {
                p { "Its sheet, rides and readings go out of sight together. Nothing is deleted: it stands below, and one tap brings it back." }
                form method="post" action="/bike/remove" {
                    (visit.form_key_of("remove"))
                    input type="hidden" name="bike" value=(bike.id);
                    button type="submit" class="button small" { "Take " (bike.name) " off the list" }
                }
            }))
        }
        @if !standing.removed.is_empty() {
            h2 id="removed" { "Taken off the list" }
            ul class="list" {
                @for one in &standing.removed {
                    li {
                        (one.name) ", " (standing.zone.to_datetime(one.at).strftime("%Y-%m-%d").to_string()) " "
                        form method="post" action="/bike/bring-back" {
                            (visit.form_key_of(&format!("back-{}", one.id)))
                            input type="hidden" name="bike" value=(one.id);
                            button type="submit" class="button small" { "Bring it back" span class="unseen" { ", " (one.name) } }
                        }
                    }
                }
            }
        }
    }
}
