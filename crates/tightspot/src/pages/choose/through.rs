//! Ride it or miss it: hours and mud of the coming ride, the chance that chain and slack hold, what raises it.

use advice::record::through;
use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};

use super::{elsewhere, of_record};
use crate::asked::Door;
use crate::choosing;
use crate::frame::field::Field;
use crate::frame::{Head, Place, actions};
use crate::pages::answer::{blocks, gap};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Visit};

const HEAD: Head<'static> = Head::new("Ride it or miss it", Place::Drive);

pub(super) fn visits(_: &AppState) -> Vec<String> {
    ["", "?hours_h=3&mud_h=1,5&slack_mm=84", "?hours_h=2&mud_h=3", "?hours_h=long"]
        .map(|query| format!("/drive/through{query}"))
        .to_vec()
}

/// `GET /drive/through`.
pub(super) async fn show(visit: Visit, State(state): State<AppState>, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let mut door = Door::default();
    let asked = choosing::through(&mut door, |field| typed.given(field));
    typed.take(door.faults);
    let view = of_record(state, bike, move |record| through::view(record, &asked)).await?;
    // Hours that do not fit together are a fault of what was typed; that none are planned is only asked for.
    let asked_anything = ["hours_h", "mud_h", "sand_h"].iter().any(|name| typed.given(name).is_some());
    if let Err(why) = &view
        && why.field == "hours_h"
        && asked_anything
        && !typed.is_faulty()
    {
        typed.fault_at("hours_h", &why.text);
    }
    let main = html! {
        (typed.not_answered())
        h1 { (HEAD.title) }
        @match &view {
            Ok(view) if !typed.is_faulty() => { (blocks(&view.blocks()[1..])) }
            Err(why) if !typed.is_faulty() => { (gap(why)) }
            _ => {}
        }
        (form(&typed))
        (elsewhere())
    };
    Ok(typed.answer(&visit, HEAD, &main))
}

fn form(typed: &Typed) -> Markup {
    html! {
        h2 { "The coming ride" }
        form method="get" action="/drive/through" {
            (typed.field(Field::decimal("hours_h", "Hours in all", "h").hint("Left empty: the next ride that is planned.").optional()))
            (typed.field(Field::decimal("mud_h", "Of them in mud", "h").optional()))
            (typed.field(Field::decimal("sand_h", "Of them in sand", "h").optional()))
            (typed.field(Field::decimal("slack_mm", "Slack now", "mm").hint("On the stand, mid lower run. Left empty: the last reading that still holds.").optional()))
            (actions(&html! { button type="submit" class="button primary" { "Will it last?" } }))
        }
    }
}
