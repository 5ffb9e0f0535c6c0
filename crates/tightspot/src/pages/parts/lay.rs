//! A part and where it is: laid on the shelf with the hours it has had, fitted, or no longer there.

use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use measure::bounds::record::USED;
use upkeep::bike::Bike;
use upkeep::record::{Entry, Fact, SET_ROLES};

use crate::asked::{Door, Faulty};
use crate::frame::field::{Choice, Field, Room, choice};
use crate::frame::{Head, Place, actions};
use crate::noted::part::{self, WHERE};
use crate::pages::bike::capital;
use crate::pages::measure::form::{another_day, save_then};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

const HEAD: Head<'static> = Head::new("A part and where it is", Place::Parts);

/// `GET /parts/shelf`.
pub(super) async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    Ok(visit.show(HEAD, &page(&visit, visit.bike()?, &typed)))
}

/// `POST /parts/shelf`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let then = |entry: &Entry, _: &Typed| format!("/parts?saved={}", entry.change);
    save_then(&visit, &state, &posted, HEAD, read, page, then).await
}

fn read(typed: &Typed) -> Result<Vec<Fact>, Vec<Faulty>> {
    let said = |name: &str| Some(typed.given(name)?).filter(|text| !text.trim().is_empty()).map(str::to_owned);
    let [count, used, price] = ["count", "used", "price"].map(said);
    let place = typed.text_or("where", "shelf");
    let lacks = (used.is_none() && place != "gone").then(hours_are_lacking);
    let part = part::part(
        Door::default(),
        &part::Typed {
            role: typed.text("role"),
            name: typed.text("name"),
            count: count.as_deref(),
            used: used.as_deref(),
            price: ("price", price.as_deref()),
        },
    );
    match (part, lacks) {
        (Ok(part), None) => Ok(vec![part::fact(part, place)?]),
        (part, lacks) => Err(part.err().into_iter().flatten().chain(lacks).collect()),
    }
}

/// A worn part that is taken for a new one would last too long on paper.
fn hours_are_lacking() -> Faulty {
    let text = format!(
        "used: nothing was given; possible: {}. 0 where it is new; where nobody knows, the most it may have had.",
        USED.range()
    );
    Faulty { field: "used", text }
}

fn page(visit: &Visit, _: &Bike, typed: &Typed) -> Markup {
    let words = SET_ROLES.map(|role| (role.word(), capital(role.word())));
    let mut roles: Vec<(&str, &str)> = words.iter().map(|(word, name)| (*word, name.as_str())).collect();
    roles.push(("other", "Other"));
    let places = WHERE.map(|(word, words)| (word, words, ""));
    let price = Field::text("price", "Price")
        .hint("What it cost; of a part on the shelf what it would sell for. Such as 10 EUR.");
    html! {
        (typed.not_saved())
        h1 { (HEAD.title) }
        p { "A part-worn chain or sprocket keeps its hours wherever it lies, and can go on again. What is counted by the piece stands under " a href="/parts/note" { "The shelf" } "." }
        form method="post" action="/parts/shelf" {
            (visit.form_key())
            (choice(&Choice { name: "where", legend: "Where is it?", hint: "", options: &places, chosen: typed.text_or("where", "shelf"), fault: typed.fault("where") }))
            (typed.select(Field::text("role", "What it is").value("chain"), &roles))
            (typed.field(Field::text("name", "What you call it").hint("A name of your own, used again for the same part: \"old 14\".")))
            (typed.field(Field::whole("count", "Teeth or links", "").hint("As counted on the part.").optional()))
            (typed.field(Field::decimal("used", "Hours it has had", "h").hint("0 where it is new; where nobody knows, the most it may have had. Not asked of what is gone.")))
            (typed.field(Field { room: Room::Twelve, ..price.optional() }))
            (another_day(typed))
            (actions(&html! { button type="submit" class="button primary" { "Write it down" } }))
        }
        p { a href="/parts" { "Back to the list" } }
    }
}
