//! The hour meter: what it shows, or that it is another one.

use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::record::Fact;

use super::form;
use crate::asked::{Door, Faulty};
use crate::frame::field::{Field, tick};
use crate::frame::{Head, Place};
use crate::noted::reading;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

const HEAD: Head<'static> = Head::new("Read the hour meter", Place::Drive);

/// `GET /drive/measure/meter`.
pub(super) async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    Ok(visit.show(HEAD, &page(&visit, visit.bike()?, &typed)))
}

/// `POST /drive/measure/meter`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    form::save(&visit, &state, &posted, HEAD, read, page).await
}

fn read(typed: &Typed) -> Result<Vec<Fact>, Vec<Faulty>> {
    let swap = (!typed.text("swapped").is_empty()).then(|| [typed.text("old"), typed.text("new")]);
    Ok(vec![reading::meter(Door::default(), typed.text("hours"), swap)?])
}

fn page(visit: &Visit, _: &Bike, typed: &Typed) -> Markup {
    let swapped = !typed.text("swapped").is_empty();
    let how = html! { p { "Total hours go on through a change of meter: the old one's last figure and the new one's first are kept." } };
    let fields = html! {
        (typed.field(Field::decimal("hours", "The meter shows", "h")))
        fieldset class="field" {
            legend { "Or it was changed" }
            (tick("swapped", "yes", "It is another meter", swapped))
            div class="form-grid" {
                (typed.field(Field::decimal("old", "The old one showed last", "h").optional()))
                (typed.field(Field::decimal("new", "The new one began at", "h").value("0").optional()))
            }
        }
    };
    form::sheet(visit, typed, HEAD.title, "/drive/measure/meter", &how, &fields)
}
