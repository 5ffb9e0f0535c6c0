//! Pivot to axle on both sides: is the wheel straight, and how much room is left.

use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::record::Fact;

use super::form;
use super::picture;
use crate::asked::{Door, Faulty};
use crate::frame::field::Field;
use crate::frame::{Head, Place};
use crate::noted::reading;
use crate::pages::cautions;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

const HEAD: Head<'static> = Head::new("Measure the axle left and right", Place::Drive);

/// `GET /drive/measure/alignment`.
pub(super) async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    Ok(visit.show(HEAD, &page(&visit, visit.bike()?, &typed)))
}

/// `POST /drive/measure/alignment`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    form::save(&visit, &state, &posted, HEAD, read, page).await
}

fn read(typed: &Typed) -> Result<Vec<Fact>, Vec<Faulty>> {
    Ok(vec![reading::axle(Door::default(), typed.text("left_mm"), typed.text("right_mm"))?])
}

fn page(visit: &Visit, _: &Bike, typed: &Typed) -> Markup {
    let how = html! {
        (cautions::by_hand())
        (picture::sides())
        ol {
            li { "On each side measure from the centre of the swingarm pivot to the centre of the axle. Larger is further back." }
            li { "Marks on the swingarm are too coarse: half a millimetre between them already shows at the front sprocket." }
        }
    };
    let fields = html! {
        div class="form-grid" {
            (typed.field(Field::decimal("left_mm", "Left", "mm")))
            (typed.field(Field::decimal("right_mm", "Right", "mm")))
        }
    };
    form::sheet(visit, typed, HEAD.title, "/drive/measure/alignment", &how, &fields)
}
