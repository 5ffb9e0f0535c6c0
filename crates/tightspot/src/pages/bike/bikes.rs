//! Which bike is looked at: choosing another, making a new one, calling it by another name.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::StoreError;
use upkeep::bike::{self, Bike};

use super::standing::Standing;
use super::words::capital;
use super::{Typed, again, not_stored, said};
use crate::frame::field::{Field, Room, field};
use crate::frame::{actions, fold};
use crate::serve::{AppState, BIKE_COOKIE, Posted, Visit, keeping};

/// The same answer, from now on looking at this bike; its id holds letters, digits and hyphens only.
pub(super) fn looked_at(id: &str, response: Response) -> Response {
    keeping(response, BIKE_COOKIE, id)
}

/// `POST /bike/choose`.
pub(super) async fn choose(State(state): State<AppState>, posted: Posted) -> Response {
    let known = state.garage().store().bike(posted.text("bike"));
    match known {
        Ok(bike) => looked_at(&bike.id, Redirect::to("/bike").into_response()),
        Err(why) => not_stored(&why),
    }
}

/// `POST /bike/new`: a bike with nothing on its sheet.
pub(super) async fn new(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let text = |name: &str| posted.text(name).trim().to_owned();
        let mut typed = Typed { id: text("id"), name: text("name"), ..Typed::default() };
        if typed.id.is_empty() {
            typed.id = short_of(&state, &typed.name, posted.key());
        }
        typed.faults = faults(&state, &typed, posted.key());
        if !typed.faults.is_empty() {
            return again(&state, &visit, &typed);
        }
        let bike = match Bike::new(&typed.id, &typed.name, false) {
            Ok(bike) => bike,
            Err(fault) => return again(&state, &visit, &Typed::faulty("id", fault.text)),
        };
        let post = posted.at(&state.clock().now());
        let done = state.writing().store_mut().put_bike(&bike, &post);
        match done {
            Ok(_) => looked_at(&bike.id, Redirect::to("/bike").into_response()),
            Err(why) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

/// A short name out of a name, none that is taken; empty where the name has neither letter nor digit of its kind.
fn short_of(state: &AppState, name: &str, key: &str) -> String {
    let plain: String =
        name.to_lowercase().chars().map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' }).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let short: String = parts.join("-").chars().take(30).collect();
    let short = short.trim_end_matches('-').to_owned();
    let garage = state.garage();
    // The same form once more finds its own bike there, under the name that it got.
    let again = garage.store().first_came(key).is_ok_and(|came| came.is_some());
    let taken = |id: &str| !again && garage.store().bike(id).is_ok();
    if short.is_empty() || !taken(&short) {
        return short;
    }
    (2..100).map(|number| format!("{short}-{number}")).find(|id| !taken(id)).unwrap_or_default()
}

fn faults(state: &AppState, typed: &Typed, key: &str) -> Vec<(String, String)> {
    let taken = || {
        let garage = state.garage();
        // The same form once more finds its own bike there.
        if garage.store().first_came(key).is_ok_and(|came| came.is_some()) {
            return None;
        }
        let known = garage.store().bike(&typed.id).ok()?;
        Some(("id".to_owned(), format!("{} is the short name of {} already. Choose another.", typed.id, known.name)))
    };
    let id = bike::check_id(&typed.id).err().map(|fault| short_name(&typed.id, &fault.text));
    let name =
        bike::check_name(&typed.name).err().map(|fault| ("name".to_owned(), name_fault(&typed.name, &fault.text)));
    name.into_iter().chain(id.or_else(taken)).collect()
}

fn short_name(typed: &str, text: &str) -> (String, String) {
    let text = if typed.is_empty() {
        "Nothing is given for the short name. Type small letters, digits and inner hyphens, as alder-350.".to_owned()
    } else {
        text.replacen("id is", "The short name is", 1)
    };
    ("id".to_owned(), text)
}

fn name_fault(typed: &str, text: &str) -> String {
    if typed.is_empty() {
        return "Nothing is given for the name. Type what you call the bike, on one line.".to_owned();
    }
    capital(&text.replacen("name is", "the name is", 1))
}

/// `POST /bike/name`.
pub(super) async fn rename(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let called = posted.text("called").trim().to_owned();
        let post = posted.at(&state.clock().now());
        let done = state.writing().store_mut().rename_bike(posted.text("bike"), &called, &post);
        match done {
            Ok(done) => Redirect::to(&format!("/bike?{}", said(&done, "1"))).into_response(),
            Err(StoreError::Faults(faults)) => {
                let text = faults.first().map_or("", |fault| &fault.text);
                let faults = vec![("called".to_owned(), name_fault(&called, text))];
                again(&state, &visit, &Typed { called, faults, ..Typed::default() })
            }
            Err(why) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

/// The other bikes, a button each.
pub(super) fn choosing(visit: &Visit, standing: &Standing) -> Markup {
    let here = standing.bike.as_ref().map_or("", |bike| &bike.id);
    html! {
        h2 id="bikes" { "Bikes and files" }
        @for other in standing.bikes.iter().filter(|bike| bike.id != here) {
            form method="post" action="/bike/choose" {
                (visit.form_key_of(&format!("choose-{}", other.id)))
                input type="hidden" name="bike" value=(other.id);
                button type="submit" class="button small" {
                    "Look at " (other.name) @if other.invented { " (invented)" }
                }
            }
        }
    }
}

/// A new bike, and another name for this one.
pub(super) fn making(visit: &Visit, standing: &Standing, typed: &Typed) -> Markup {
    let form = new_form(visit, typed);
    let faulty = |fields: &[&str]| fields.iter().any(|field| !typed.fault(field).is_empty());
    html! {
        @match &standing.bike {
            None => (form),
            Some(bike) => {
                (fold("A new bike", faulty(&["id", "name"]), &form))
                (fold("Call this bike by another name", faulty(&["called"]), &name_form(visit, bike, typed)))
            },
        }
    }
}

fn new_form(visit: &Visit, typed: &Typed) -> Markup {
    let name = Field::text("name", "Name").hint("What you call it.").value(&typed.name).fault(typed.fault("name"));
    let id = Field::text("id", "Short name")
        .hint("For commands and files, as alder-350. Left empty, it is made from the name.");
    let id = Field { room: Room::Twelve, ..id.value(&typed.id).fault(typed.fault("id")).optional() };
    html! {
        form method="post" action="/bike/new" {
            (visit.form_key_of("new"))
            (field(&name))
            (field(&id))
            (actions(&html! { button type="submit" class="button primary" { "Make the bike" } }))
        }
    }
}

fn name_form(visit: &Visit, bike: &Bike, typed: &Typed) -> Markup {
    let fault = typed.fault("called");
    let value = if fault.is_empty() { &bike.name } else { &typed.called };
    html! {
        form method="post" action="/bike/name" {
            (visit.form_key_of("name"))
            input type="hidden" name="bike" value=(bike.id);
            (field(&Field::text("called", "Name").value(value).fault(fault)))
            (actions(&html! { button type="submit" class="button primary" { "Save the name" } }))
        }
    }
}
