//! A set put together out of the parts that are there, or kept no longer.

use advice::record::Record;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{NewEntry, Post, StoreError};
use upkeep::bike::Bike;
use upkeep::record::{Fact, Role, SET_ROLES};

use crate::asked::Faulty;
use crate::frame::field::{Fault as FieldFault, Field, fault_summary, field, select};
use crate::frame::{Head, Place, actions};
use crate::noted::set;
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
    let main = with_record(&state, bike, |record| page(&visit, record, &|_| "", &[]))?;
    Ok(visit.show(HEAD, &main))
}

/// `POST /drive/sets/keep`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async { save(&state, &visit, &bike, &posted).unwrap_or_else(|refused| refused) };
    Ok(state.once().run(&posted, saving).await)
}

fn save(state: &AppState, visit: &Visit, bike: &Bike, posted: &Posted) -> Result<Response, Response> {
    let typed = |name: &str| posted.text(name);
    let fact = with_record(state, bike, |record| {
        set::kept(record, typed("set"), ["chain", "front", "rear"].map(typed)).map_err(|gap| {
            let field = ["chain", "front", "rear"].into_iter().find(|name| *name == gap.field).unwrap_or("set");
            let faults = [Faulty { field, text: gap.text }];
            visit.show_faults(HEAD, &page(visit, record, &typed, &faults))
        })
    })??;
    note(state, bike, posted, fact).map_err(|why| Fault::of_store(&why).into_response())
}

/// `POST /drive/sets/forget`.
pub(super) async fn forget(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let fact = with_record(&state, &bike, |record| set::forgotten(record, posted.text("set")));
        let written = fact.and_then(|fact| {
            let fact = fact.map_err(|gap| Fault::not_found(gap.text).into_response())?;
            note(&state, &bike, &posted, fact).map_err(|why| Fault::of_store(&why).into_response())
        });
        written.unwrap_or_else(|refused| refused)
    };
    Ok(state.once().run(&posted, saving).await)
}

fn note(state: &AppState, bike: &Bike, posted: &Posted, fact: Fact) -> Result<Response, StoreError> {
    let now = state.came(posted.key());
    let post = Post { now: now.timestamp(), key: Some(posted.key()) };
    let entry = NewEntry::new(now.datetime(), fact);
    let done = state.garage().store_mut().note(&bike.id, &[entry], &post)?;
    let change = done.change.map_or_else(String::new, |change| format!("?saved={change}"));
    Ok(Redirect::to(&format!("/drive/sets{change}")).into_response())
}

/// Asks something of the record as it stands.
#[expect(clippy::result_large_err, reason = "the other way out is a whole page, answered once a visit")]
fn with_record<T>(state: &AppState, bike: &Bike, ask: impl FnOnce(&Record<'_>) -> T) -> Result<T, Response> {
    let now = state.clock().now().datetime();
    let garage = state.garage();
    let record = garage.record_at(bike, now).map_err(|why| Fault::broken(&why.lines().join(" ")).into_response())?;
    Ok(ask(&record))
}

fn page<'t>(visit: &Visit, record: &Record<'_>, typed: &dyn Fn(&str) -> &'t str, faults: &[Faulty]) -> Markup {
    let shown: Vec<FieldFault<'_>> =
        faults.iter().map(|fault| FieldFault { field: fault.field, text: &fault.text }).collect();
    let fault = |name: &str| faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str());
    html! {
        (fault_summary(&shown))
        h1 { "Keep a set" }
        p { "Parts that wear together: each keeps its own hours, wherever it lies." }
        form method="post" action="/drive/sets/keep" {
            (visit.form_key())
            (field(&Field::text("set", "Name of the set").hint("In your own words, such as sand or spare.").value(typed("set")).fault(fault("set"))))
            @for role in SET_ROLES {
                @let name = role.word();
                (select(&Field::text(name, label(role)).value(typed(name)).fault(fault(name)), &options(record, role)))
            }
            (actions(&html! { button type="submit" class="button primary" { "Keep it" } }))
        }
        p { "A part that is in no list is not recorded yet: " code { "tightspot drive shelf front NAME --count 14 --used 40" } "." }
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
