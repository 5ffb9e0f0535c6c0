//! Before buying: what is thought of in a few fields, the answer above them, printable; nothing is booked.

use advice::buying::{self, BuyView, What};
use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use upkeep::bike::{self, Kind};

use super::elsewhere;
use crate::asked::Door;
use crate::choosing::{self, JOINTS, PRICES};
use crate::frame::field::{Field, Room};
use crate::frame::{Head, Place, actions};
use crate::pages::answer::{blocks, gap};
use crate::pages::bike::motorcycles_first;
use crate::pages::parts::note::address;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Visit, beside};
use crate::shopping::Stock;

const HEAD: Head<'static> = Head::new("Before buying", Place::Parts);
const NAMES: [&str; 3] = ["Price of the chain", "Price of the front sprocket", "Price of the rear sprocket"];
/// Fields that an answer may find at fault.
const FIELDS: [&str; 6] = ["front_teeth", "rear_teeth", "links", "pitch_mm", "inner_width_mm", "what"];

pub(super) fn visits(_: &AppState) -> Vec<String> {
    [
        "",
        "?what=chain&links=118&size=520&sealed=yes&joint=rivet&outer_width_mm=24.5&chain_price=92+EUR&lead_d=1",
        "?what=rear&rear_teeth=52&size=525&rear_price=48+EUR",
        "?what=set&front_teeth=13&size=520",
        "?what=chain&links=117&pitch_mm=15.9",
        "?what=bell&rear_teeth=4x&chain_price=cheap",
    ]
    .map(|query| format!("/parts/check{query}"))
    .to_vec()
}

/// `GET /parts/check`: asking changes nothing, so the whole question stands in the address.
pub(super) async fn show(visit: Visit, State(state): State<AppState>, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let mut door = Door::default();
    let asked = choosing::buying(&mut door, &bike, |field| typed.given(field));
    typed.take(door.faults);
    let asked = asked.ok().flatten().filter(|_| !typed.is_faulty());
    let now = state.clock().now().datetime();
    let asking = move || {
        let Some(asked) = asked else { return Ok(None) };
        let garage = state.garage();
        let record = garage.record_at(&bike, now)?;
        let stock = Stock::of(&garage, &bike, now)?;
        drop(garage);
        Ok::<_, Fault>(Some(buying::view(&record, &stock.shelf, &asked)))
    };
    let mut view = beside(asking).await??;
    if let Some(Err(wrong)) = &view
        && let Some(field) = FIELDS.into_iter().find(|field| *field == wrong.field && !wrong.missing)
    {
        typed.fault_at(field, &wrong.text);
        view = None;
    }
    let main = html! {
        (typed.not_answered())
        h1 { (HEAD.title) }
        @match &view {
            Some(Ok(view)) => { (answered(view, &typed)) }
            Some(Err(why)) => { (gap(why)) }
            None => { p { "Type what stands on the box or the page: the answer says whether it fits this bike, what else goes with it, and what an hour of it costs." } }
        }
        (form(&typed, view.is_some()))
        (elsewhere())
    };
    Ok(typed.answer(&visit, HEAD, &main))
}

/// The answer, and where to note what comes of it; price and delivery go along, so that they are typed once.
fn answered(view: &BuyView, typed: &Typed) -> Markup {
    let roles = ["chain", "front sprocket", "rear sprocket"].into_iter().zip(PRICES);
    let bought = roles.zip(view.what.buys()).filter(|(_, buys)| *buys).map(|(role, _)| role);
    html! {
        (blocks(&view.blocks()[1..]))
        p class="buttons" {
            @for (role, price) in bought {
                @let known = [("role", role), ("price", typed.text(price)), ("lead_d", typed.text("lead_d"))];
                a class="button small" href=(address(&known)) { "Note the " (role) ": ordered, came, price" }
            }
        }
    }
}

fn form(typed: &Typed, again: bool) -> Markup {
    let what: Vec<(&str, &str)> = What::WORDS.iter().map(|(word, words, _)| (*word, *words)).collect();
    let sizes: Vec<&str> = match bike::field("size").map(|field| field.kind) {
        Some(Kind::Word(names)) => motorcycles_first(names),
        _ => Vec::new(),
    };
    let sizes: Vec<(&str, &str)> =
        std::iter::once(("", "not known")).chain(sizes.iter().map(|size| (*size, *size))).collect();
    let joints: Vec<(&str, &str)> =
        std::iter::once(("", "not said")).chain(JOINTS.map(|joint| (joint, joint))).collect();
    let count = |name: &'static str, label: &'static str| typed.field(Field::whole(name, label, "").optional());
    let mm = |name: &'static str, label: &'static str, hint| {
        typed.field(Field::decimal(name, label, "mm").hint(hint).optional())
    };
    let caliper = html! {
        p { "Where no number stands on it: both, measured on new parts." }
        (mm("pitch_mm", "Pitch, pin to pin", "Over ten pitches, divided by ten."))
        (mm("inner_width_mm", "Width between the inner plates", "Of a sprocket: as wide as its tooth, and a little more."))
    };
    let money = html! {
        @for (name, label) in PRICES.into_iter().zip(NAMES) {
            (typed.field(Field { room: Room::Twelve, ..Field::text(name, label).hint("With its currency: 92 EUR.").optional() }))
        }
        (typed.field(Field::whole("lead_d", "Delivery", "d").hint("For the last day to order before your next planned ride.").optional()))
    };
    html! {
        h2 { @if again { "Ask about something else" } @else { "What do you think of buying?" } }
        form method="get" action="/parts/check" {
            (typed.select(Field::text("what", "What"), &what))
            p { "Left empty: as fitted." }
            div class="trio" { (count("front_teeth", "Front teeth")) (count("rear_teeth", "Rear teeth")) (count("links", "Links")) }
            (typed.select(Field::text("size", "The number on it").hint("Stamped on plates and sprockets, such as 520.").optional(), &sizes))
            (typed.unfolding("No number on it: by caliper", &["pitch_mm", "inner_width_mm"], &caliper))
            fieldset class="field" {
                legend { "If it is a chain" }
                (typed.select(Field::text("sealed", "Seal rings").optional(), &[("", "not said"), ("yes", "sealed"), ("no", "plain")]))
                (typed.select(Field::text("joint", "Closed by").optional(), &joints))
                (mm("outer_width_mm", "Outer width", "Over the pin ends of the connecting link: the widest place."))
            }
            (typed.unfolding("Price and delivery", &["chain_price", "front_price", "rear_price", "lead_d"], &money))
            (actions(&html! { button type="submit" class="button primary" { "Check it" } }))
        }
    }
}
