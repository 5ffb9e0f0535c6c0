//! One part, consumable or look: what lies there, was ordered, came, costs, how long it takes, the rider's own chance.

use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::Post;
use upkeep::bike::Bike;
use upkeep::supply::Item;

use crate::asked::{Door, Faulty};
use crate::frame::field::{Fault as FieldFault, Field, Room, fault_summary, field, select};
use crate::frame::{Head, Place, actions};
use crate::noted::supply::{HAPPENED, facts};
use crate::pages::bike::sentence;
use crate::serve::{AppState, Fault, Posted, Visit};
use crate::shopping::Stock;

const HEAD: Head<'static> = Head::new("The shelf", Place::Parts);
/// What of the list's address is kept.
pub(super) const KEPT: [&str; 6] = ["job", "front_teeth", "rear_teeth", "links", "front_retention", "by"];

pub(super) fn visits(_: &AppState) -> Vec<String> {
    ["", "?role=chain", "?hold=chain-wear"].map(|query| format!("/parts/note{query}")).to_vec()
}

/// `GET /parts/note`.
pub(super) async fn show(
    State(state): State<AppState>,
    visit: Visit,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Response> {
    let stock = stock(&state, visit.bike()?)?;
    Ok(visit.show(HEAD, &page(&visit, &stock, &query, Vec::new())))
}

/// `POST /parts/note`.
pub(super) async fn send(State(state): State<AppState>, visit: Visit, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async { save(&state, &visit, &bike, &posted).unwrap_or_else(|refused| refused) };
    Ok(state.once().run(&posted, saving).await)
}

fn stock(state: &AppState, bike: &Bike) -> Result<Stock, Response> {
    let stock = Stock::of(&state.garage(), bike, state.clock().now().datetime());
    stock.map_err(|why| Fault::broken(&why).into_response())
}

fn save(state: &AppState, visit: &Visit, bike: &Bike, posted: &Posted) -> Result<Response, Response> {
    let stock = stock(state, bike)?;
    let about = posted.text("hold");
    let text = |name: &str| {
        if name == "role" && !about.is_empty() {
            return Some(about);
        }
        Some(posted.text(name))
    };
    let facts = facts(Door::default(), &stock.shelf, text)
        .map_err(|faults| visit.show_faults(HEAD, &page(visit, &stock, posted.fields(), faults)))?;
    let now = state.clock().now();
    let post = Post { now: now.timestamp(), key: Some(posted.key()) };
    let done = state.garage().store_mut().supply(&bike.id, now.datetime(), &facts, &post);
    let done = done.map_err(|why| Fault::broken(&why).into_response())?;
    let kept = KEPT.iter().map(|name| (*name, posted.text(&format!("for_{name}"))));
    let kept = kept.filter(|(_, text)| is_plain(text)).map(|(name, text)| format!("{name}={text}&"));
    let change = done.change.map_or_else(String::new, |change| format!("saved={change}"));
    Ok(Redirect::to(&format!("/parts?{}{change}", kept.collect::<String>())).into_response())
}

/// Whether a text stands in an address as it is.
fn is_plain(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
}

fn page(visit: &Visit, stock: &Stock, typed: &[(String, String)], faults: Vec<Faulty>) -> Markup {
    let text = |name: &str| typed.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str());
    let told: Vec<(&str, String)> =
        faults.iter().map(|fault| (fault.field, sentence(fault.field, &fault.text))).collect();
    let fault = |name: &str| told.iter().find(|(field, _)| *field == name).map_or("", |(_, text)| text.as_str());
    let shown: Vec<FieldFault<'_>> = told.iter().map(|(field, text)| FieldFault { field, text }).collect();
    let one = |of: Field<'static>, name: &'static str| (of.optional(), name);
    let fields = |all: &[(Field<'static>, &'static str)]| {
        html! { @for (of, name) in all { (field(&Field { value: text(name), fault: fault(name), name, ..*of })) } }
    };
    let hold = text("hold");
    let about = if hold.is_empty() { text("role") } else { hold };
    html! {
        @if !shown.is_empty() { (fault_summary(&shown)) }
        h1 { @if about.is_empty() { "The shelf" } @else { (about.replace('-', " ")) } }
        (standing(stock.shelf.item(about)))
        form method="post" action="/parts/note" {
            (visit.form_key())
            @for name in KEPT { @let name = format!("for_{name}"); @if !text(&name).is_empty() { input type="hidden" name=(name) value=(text(&name)); } }
            @if hold.is_empty() {
                (field(&Field::text("role", "Part or consumable").value(text("role")).fault(fault("role"))))
                (select(&Field::text("event", "What happened").value(text("event")).fault(fault("event")), &HAPPENED))
                (fields(&[
                    one(Field::whole("qty", "Pieces", ""), "qty"),
                    one(Field { room: Room::Twelve, ..Field::text("price", "Price of one").hint("With its currency: 89.50 EUR.") }, "price"),
                    one(Field { room: Room::Twelve, ..Field::text("price_to", "Up to").hint("Where you know it only as a range.") }, "price_to"),
                    one(Field::whole("lead_d", "Delivery", "d"), "lead_d"),
                    one(Field { room: Room::Twelve, ..Field::text("use_by", "Use by").hint("Of a tube or bottle: 2027-05-01.") }, "use_by"),
                ]))
            } @else {
                input type="hidden" name="hold" value=(hold);
                p { "Your own guess that this look fails and brings its part. Nobody else's figure stands in for it." }
                (fields(&[
                    one(Field::decimal("chance_low", "At least", "%"), "chance_low"),
                    one(Field::decimal("chance_high", "At most", "%"), "chance_high"),
                ]))
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
