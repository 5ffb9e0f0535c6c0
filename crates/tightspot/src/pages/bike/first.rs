//! The figures that the first answers need, in one form: what fits, how much slack, which pair. What is left empty stays as it
//! is; the rest of the sheet is put on one by one.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{Done, StoreError};
use upkeep::bike::{self, Bike, BikeField, Change, Entry};

use super::figure::{input, understood};
use super::words::{shown, to_type_over};
use super::{HEAD, not_stored};
use crate::asked::Faulty;
use crate::frame::actions;
use crate::frame::field::Field;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

/// The figures, by what asks for them; within a group in the order in which they are read off a bike.
const GROUPS: [(&str, &[&str]); 3] = [
    (
        "Chain and sprockets",
        &[
            "size",
            "pitch_mm",
            "front_teeth",
            "rear_teeth",
            "links",
            "sealed",
            "joint",
            "front_retention",
            "rear_fasteners",
        ],
    ),
    (
        "Swingarm and axle: what fits, and how much slack",
        &[
            "countershaft_x_mm",
            "countershaft_z_mm",
            "arm_mm",
            "slot_min_mm",
            "slot_max_mm",
            "droop_deg",
            "travel_mm",
            "thread_pitch_mm",
        ],
    ),
    (
        "Engine and gearbox: which pair for a ride",
        &["primary", "gears", "slip_rpm", "lo_rpm", "hi_rpm", "max_rpm", "rollout_m"],
    ),
];

/// The name of the field that holds the source of them all.
const SOURCE: &str = "source";

fn fields() -> impl Iterator<Item = &'static BikeField> {
    GROUPS.iter().flat_map(|(_, names)| names.iter().filter_map(|name| bike::field(name)))
}

/// Whether a figure is one of them.
pub(in crate::pages) fn is_first(name: &str) -> bool {
    fields().any(|field| field.name == name)
}

/// Whether the sheet lacks several of them.
pub(super) fn lacks(bike: &Bike) -> bool {
    fields().filter(|field| bike.get(field.name).is_none()).count() > 1
}

pub(super) fn visits(_: &AppState) -> Vec<String> {
    vec!["/bike/first".to_owned()]
}

/// `GET /bike/first`.
pub(super) async fn show(visit: Visit) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    Ok(visit.show(HEAD, &page(&visit, &bike, &Typed::default())))
}

fn page(visit: &Visit, bike: &Bike, typed: &Typed) -> Markup {
    html! {
        (typed.not_saved())
        h1 { "First figures" }
        p { "What fits, how much slack and which pair rest on these. Fill in what you have: what stays empty is not known, and what needs it says so." }
        p { "Torques and the manual's slack go on " a href="/bike#section-manual" { "the sheet" } " with their page." }
        form method="post" action="/bike/first" {
            (visit.form_key_of("first"))
            input type="hidden" name="bike" value=(bike.id);
            @for (title, names) in GROUPS {
                fieldset class="field" {
                    legend { (title) }
                    @for one in names.iter().filter_map(|name| bike::field(name)) { (one_of(bike, one, typed)) }
                }
            }
            (typed.field(Field::text(SOURCE, "Who says so").hint("For all that you change here: manual and page, or how you measured it.").optional()))
            (actions(&html! { button type="submit" class="button primary" { "Save them" } }))
        }
    }
}

/// A field, with what stood there when it was shown: so that a second window overwrites nothing unseen.
fn one_of(bike: &Bike, one: &'static BikeField, typed: &Typed) -> Markup {
    let there = stands(bike.get(one.name));
    html! {
        input type="hidden" name={ "was-" (one.name) } value=(there);
        (input(one, typed.given(one.name).unwrap_or(&there), typed.fault(one.name), true))
    }
}

fn stands(entry: Option<&Entry>) -> String {
    entry.map(|entry| to_type_over(&entry.value)).unwrap_or_default()
}

/// `POST /bike/first`: saves all that was typed, or nothing.
pub(super) async fn save(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async { saved(&state, &visit, &posted).unwrap_or_else(|refused| refused) };
    state.once().run(&posted, save).await
}

fn saved(state: &AppState, visit: &Visit, posted: &Posted) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let there = state.garage().store().bike(&bike.id).map_err(|why| not_stored(&why))?;
    let again = |faults| visit.show_faults(HEAD, &page(visit, &there, &Typed::posted(posted).faulty(faults)));
    if posted.text("bike") != bike.id {
        let text =
            format!("This form was opened for another bike than {}. Look at it below, then save again.", bike.name);
        return Err(again(vec![Faulty { field: "main", text }]));
    }
    let changes = changes(&there, posted).map_err(again)?;
    match put(state, posted, &bike.id, &changes) {
        Ok(done) => {
            let said = done.change.map_or_else(|| "same=1".to_owned(), |change| format!("saved={change}"));
            Ok(Redirect::to(&format!("/bike?{said}")).into_response())
        }
        Err(StoreError::Faults(faults)) => {
            let at = |fault: &bike::Fault| bike::field(&fault.field).map_or("main", |one| one.name);
            Err(again(faults.iter().map(|fault| Faulty { field: at(fault), text: fault.text.clone() }).collect()))
        }
        Err(why) => Err(not_stored(&why)),
    }
}

fn put(state: &AppState, posted: &Posted, id: &str, changes: &[Change]) -> Result<Done, StoreError> {
    state.writing().store_mut().set_fields(id, changes, &posted.at(&state.clock().now()))
}

/// What was typed and is not there yet; every fault at its field.
fn changes(there: &Bike, posted: &Posted) -> Result<Vec<Change>, Vec<Faulty>> {
    let source = posted.text(SOURCE).trim();
    let (mut changes, mut faults) = (Vec::new(), Vec::new());
    for one in fields() {
        let (text, entry) = (posted.text(one.name).trim(), there.get(one.name));
        let was = posted.text(&format!("was-{}", one.name));
        if text.is_empty() || text == was {
            continue;
        }
        if let Some(now) = entry.filter(|entry| to_type_over(&entry.value) != was) {
            let text = format!(
                "Changed meanwhile: it says {} now, you typed {text}. Save again to put yours in its place.",
                shown(one, &now.value)
            );
            faults.push(Faulty { field: one.name, text });
            continue;
        }
        match understood(one, text, entry) {
            Ok(value) => changes.push(Change {
                field: one.name.to_owned(),
                value: Some(value),
                source: (!source.is_empty()).then(|| source.to_owned()),
            }),
            Err(text) => faults.push(Faulty { field: one.name, text }),
        }
    }
    if faults.is_empty() { Ok(changes) } else { Err(faults) }
}
