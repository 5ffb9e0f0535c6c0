//! Replace together or singly: the decision first, then what the rider can say to sharpen it.

use advice::record::replace;
use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};

use super::{elsewhere, of_record};
use crate::asked::Door;
use crate::choosing::{self, LIVES, PRICES};
use crate::frame::field::Field;
use crate::frame::notice::{Level, caution};
use crate::frame::{Head, Place, actions};
use crate::pages::answer::{blocks, gap};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Visit};

const HEAD: Head<'static> = Head::new("Replace together or singly", Place::Drive);
const NAMES: [&str; 3] = ["Chain", "Front sprocket", "Rear sprocket"];

pub(super) fn visits(_: &AppState) -> Vec<String> {
    ["", "?labour=30+EUR&trail=200+EUR", "?rear_teeth=51", "?chain_price=cheap&rear_life_h=-3"]
        .map(|query| format!("/drive/replace{query}"))
        .to_vec()
}

/// `GET /drive/replace`: asking changes nothing, so the whole question stands in the address.
pub(super) async fn show(visit: Visit, State(state): State<AppState>, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let mut door = Door::default();
    let asked = choosing::replace(&mut door, &bike, |field| typed.given(field));
    typed.take(door.faults);
    let view = of_record(state, bike, |record| asked.and_then(|asked| replace::view(record, &asked))).await?;
    let main = html! {
        (typed.not_answered())
        h1 { (HEAD.title) }
        @match &view {
            Ok(view) if !typed.is_faulty() => { (blocks(&view.blocks()[1..])) }
            Ok(_) => {}
            Err(why) => { (gap(why)) }
        }
        (caution(Level::Stop, "Hooked, cracked or missing teeth and a worn or damaged chain are changed, whatever it costs."))
        (form(&typed))
        (elsewhere())
    };
    Ok(typed.answer(&visit, HEAD, &main))
}

fn form(typed: &Typed) -> Markup {
    let money =
        |name: &'static str, label: &'static str, hint| typed.field(Field::text(name, label).hint(hint).optional());
    let prices = html! {
        p { "With its currency, such as 92 EUR. Left empty: the last price recorded." }
        @for (name, label) in PRICES.into_iter().zip(NAMES) { (money(name, label, "")) }
    };
    let lives = html! {
        p { "Left empty: the chain by its own readings, the sprockets by the tool's guess." }
        @for (name, label) in LIVES.into_iter().zip(NAMES) {
            (typed.field(Field::decimal(name, label, "h").optional()))
        }
    };
    let counts = html! {
        p { "What is wanted anyway, for its ratio. Left empty: what is fitted." }
        (typed.field(Field::whole("front_teeth", "Front teeth", "").optional()))
        (typed.field(Field::whole("rear_teeth", "Rear teeth", "").optional()))
        (typed.field(Field::whole("links", "Links", "").optional()))
    };
    html! {
        h2 { "What you know better" }
        form method="get" action="/drive/replace" {
            (money("labour", "Opening the drive is worth", "Your time, a seal, a weekend: such as 30 EUR."))
            (money("trail", "Being stranded is worth", "A broken chain out there: such as 200 EUR."))
            (typed.unfolding("Prices of new parts", &PRICES, &prices))
            (typed.unfolding("Lives in riding hours", &LIVES, &lives))
            (typed.unfolding("Another pair", &["front_teeth", "rear_teeth", "links"], &counts))
            (actions(&html! { button type="submit" class="button primary" { "Weigh it" } }))
        }
    }
}
