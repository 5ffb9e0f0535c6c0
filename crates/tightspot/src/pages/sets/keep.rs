//! A set put together out of the parts that are there, or kept no longer.

use advice::record::Record;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::NewEntry;
use upkeep::bike::Bike;
use upkeep::record::{Fact, Role, SET_ROLES};

use crate::asked::Faulty;
use crate::frame::field::Field;
use crate::frame::{Head, Place, actions};
use crate::noted::set;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Posted, Visit};

const HEAD: Head<'static> = Head::new("Keep a set", Place::Drive);

/// What is asked of each role.
const fn label(role: Role) -> &'static str {
    match role {
        Role::Chain => "Chain",
        Role::Front => "Front sprocket",
        Role::Rear => "Rear sprocket",
        Role::Other => "",
    }
}

/// `GET /drive/sets/keep`.
pub(super) async fn show(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let main = with_record(&state, bike, |record| page(&visit, record, &Typed::default()))?;
    Ok(visit.show(HEAD, &main))
}

/// `POST /drive/sets/keep`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async { save(&state, &visit, &bike, &posted).unwrap_or_else(|refused| refused) };
    Ok(state.once().run(&posted, saving).await)
}

fn save(state: &AppState, visit: &Visit, bike: &Bike, posted: &Posted) -> Result<Response, Response> {
    let roles = SET_ROLES.map(Role::word);
    let fact = with_record(state, bike, |record| {
        set::kept(record, posted.text("set"), roles.map(|name| posted.text(name))).map_err(|gap| {
            let field = roles.into_iter().find(|name| *name == gap.field).unwrap_or("set");
            let typed = Typed::posted(posted).faulty(vec![Faulty { field, text: gap.text }]);
            visit.show_faults(HEAD, &page(visit, record, &typed))
        })
    })??;
    Ok(note(state, bike, posted, fact)?)
}

/// `POST /drive/sets/forget`.
pub(super) async fn forget(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let fact = with_record(&state, &bike, |record| set::forgotten(record, posted.text("set")));
        let fact = fact.and_then(|fact| fact.map_err(|gap| Fault::not_found(gap.text)));
        fact.and_then(|fact| note(&state, &bike, &posted, fact)).unwrap_or_else(Response::from)
    };
    Ok(state.once().run(&posted, saving).await)
}

fn note(state: &AppState, bike: &Bike, posted: &Posted, fact: Fact) -> Result<Response, Fault> {
    let now = state.came(posted.key());
    let post = posted.at(&now);
    let entry = NewEntry::new(now.datetime(), fact);
    let done = state.writing().store_mut().note(&bike.id, &[entry], &post)?;
    let change = done.change.map_or_else(String::new, |change| format!("?saved={change}"));
    Ok(Redirect::to(&format!("/drive/sets{change}")).into_response())
}

/// Asks something of the record as it stands.
fn with_record<T>(state: &AppState, bike: &Bike, ask: impl FnOnce(&Record<'_>) -> T) -> Result<T, Fault> {
    let now = state.clock().now().datetime();
    let garage = state.garage();
    Ok(ask(&garage.record_at(bike, now)?))
}

fn page(visit: &Visit, record: &Record<'_>, typed: &Typed) -> Markup {
    html! {
        (typed.not_saved())
        h1 { "Keep a set" }
        p { "Parts that wear together: each keeps its own hours, wherever it lies." }
        form method="post" action="/drive/sets/keep" {
            (visit.form_key())
            (typed.field(Field::text("set", "Name of the set").hint("In your own words, such as sand or spare.")))
            @for role in SET_ROLES {
                (typed.select(Field::text(role.word(), label(role)), &options(record, role)))
            }
            (actions(&html! { button type="submit" class="button primary" { "Keep it" } }))
        }
        p { "A part that is in no list is not recorded yet: " a href="/parts/shelf" { "say where it is" } "." }
    }
}

/// The part that is on first, then the others, then none.
fn options<'r>(record: &'r Record<'_>, role: Role) -> Vec<(&'r str, &'r str)> {
    let on = record.log.on_the_bike(role).map(|(_, part)| part.name());
    let mut all: Vec<(&str, &str)> = on.map(|name| (name, name)).into_iter().collect();
    all.extend(record.log.parts_at_hand(role).into_iter().filter(|name| Some(*name) != on).map(|name| (name, name)));
    all.push(("-", "none in this set"));
    all
}
