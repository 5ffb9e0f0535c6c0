//! One part, consumable or look: what lies there, was ordered, came, costs, how long it takes, the rider's own chance.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::supply::Item;

use crate::asked::Door;
use crate::frame::field::{Field, Room};
use crate::frame::{Head, Place, actions};
use crate::noted::supply::{HAPPENED, facts};
use crate::pages::bike::capital;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Posted, Visit};
use crate::shopping::Stock;

const HEAD: Head<'static> = Head::new("The shelf", Place::Parts);
/// What of the list's address is kept.
pub(super) const KEPT: [&str; 6] = ["job", "front_teeth", "rear_teeth", "links", "front_retention", "by"];

pub(super) fn visits(_: &AppState) -> Vec<String> {
    ["", "?role=chain", "?hold=chain-wear"].map(|query| format!("/parts/note{query}")).to_vec()
}

/// The address of a form with what is known of a part already; what is empty is left out.
pub(in crate::pages) fn address(known: &[(&str, &str)]) -> String {
    let encoded = |text: &str| -> String {
        let one = |byte: u8| match byte {
            b' ' => "+".to_owned(),
            _ if byte.is_ascii_alphanumeric() || byte == b'-' => char::from(byte).to_string(),
            _ => format!("%{byte:02X}"),
        };
        text.bytes().map(one).collect()
    };
    let said = known.iter().filter(|(_, text)| !text.trim().is_empty());
    let said: Vec<String> = said.map(|(name, text)| format!("{name}={}", encoded(text))).collect();
    format!("/parts/note?{}", said.join("&"))
}

/// `GET /parts/note`.
pub(super) async fn show(State(state): State<AppState>, visit: Visit, typed: Typed) -> Result<Response, Response> {
    let stock = stock(&state, visit.bike()?)?;
    Ok(visit.show(HEAD, &page(&visit, &stock, &typed)))
}

/// `POST /parts/note`.
pub(super) async fn send(State(state): State<AppState>, visit: Visit, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async { save(&state, &visit, &bike, &posted).unwrap_or_else(|refused| refused) };
    Ok(state.once().run(&posted, saving).await)
}

fn stock(state: &AppState, bike: &Bike) -> Result<Stock, Fault> {
    Ok(Stock::of(&state.garage(), bike, state.clock().now().datetime())?)
}

fn save(state: &AppState, visit: &Visit, bike: &Bike, posted: &Posted) -> Result<Response, Response> {
    let stock = stock(state, bike)?;
    // A look is noted under its own name.
    let text = |name: &str| match (name, posted.text("hold")) {
        ("role", hold) if !hold.is_empty() => Some(hold),
        _ => Some(posted.text(name)),
    };
    let facts = facts(Door::default(), &stock.shelf, text).map_err(|faults| {
        let typed = Typed::posted(posted).faulty(faults);
        visit.show_faults(HEAD, &page(visit, &stock, &typed))
    })?;
    let now = state.clock().now();
    let post = posted.at(&now);
    let done = state.writing().store_mut().supply(&bike.id, now.datetime(), &facts, &post);
    let done = done.map_err(Fault::from)?;
    let kept = KEPT.iter().map(|name| (*name, posted.text(&format!("for_{name}"))));
    let kept = kept.filter(|(_, text)| is_plain(text)).map(|(name, text)| format!("{name}={text}&"));
    let change = done.change.map_or_else(String::new, |change| format!("saved={change}"));
    Ok(Redirect::to(&format!("/parts?{}{change}", kept.collect::<String>())).into_response())
}

/// Whether a text stands in an address as it is.
fn is_plain(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
}

fn page(visit: &Visit, stock: &Stock, typed: &Typed) -> Markup {
    let text = |name: &str| typed.text(name);
    let hold = text("hold");
    let about = typed.text_or("hold", text("role"));
    let one = |of: Field<'static>| typed.field(of.optional());
    let short = |of: Field<'static>| one(Field { room: Room::Twelve, ..of });
    html! {
        (typed.not_saved())
        h1 { @if about.is_empty() { "The shelf" } @else { (capital(&about.replace('-', " "))) } }
        (standing(stock.shelf.item(about)))
        form method="post" action="/parts/note" {
            (visit.form_key())
            @for name in KEPT { @let name = format!("for_{name}"); @if !text(&name).is_empty() { input type="hidden" name=(name) value=(text(&name)); } }
            @if hold.is_empty() {
                (typed.field(Field::text("role", "Part or consumable")))
                p { "One of these at least." }
                (typed.select(Field::text("event", "What happened"), &HAPPENED))
                (one(Field::whole("qty", "Pieces", "")))
                (short(Field::text("price", "Price of one").hint("With its currency: 89.50 EUR.")))
                (short(Field::text("price_to", "Up to").hint("Where you know it only as a range.")))
                (one(Field::whole("lead_d", "Delivery", "d")))
                (short(Field::text("use_by", "Use by").hint("Of a tube or bottle: 2027-05-01.")))
            } @else {
                input type="hidden" name="hold" value=(hold);
                p { "Your own guess that this look fails and brings its part. Nobody else's figure stands in for it." }
                (one(Field::decimal("chance_low", "At least", "%")))
                (one(Field::decimal("chance_high", "At most", "%")))
            }
            (actions(&html! { button type="submit" class="button primary" { "Note it" } }))
        }
        p { a href="/parts" { "Back to the list" } }
    }
}

/// What is noted of it so far.
fn standing(item: Option<&Item>) -> Markup {
    let Some(item) = item else { return html! { p { "Nothing is noted of it yet." } } };
    html! { p { "So far: " (advice::supplies::standing(item)) "." } }
}
