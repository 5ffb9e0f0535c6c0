//! The bike sheet: every figure with its source, what is missing and how to get it; changing, taking back, files, bikes.
//!
//! Layout: [`standing`] what the record says · [`sheet`] the page · [`figure`] one figure's form and its saving ·
//! [`first`] the figures that the first answers need, in one form ·
//! [`past`] what was changed, undo · [`mod@file`] import and export · [`bikes`] choose, new, name · [`removal`] off the list and back · [`words`] values and
//! faults as a person reads them.

mod bikes;
mod figure;
mod file;
mod first;
mod past;
mod removal;
mod sheet;
mod standing;
mod words;

#[cfg(test)]
mod first_tests;
#[cfg(test)]
mod refusals;
#[cfg(test)]
mod tests;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use store::{Done, StoreError};
use upkeep::bike::FIELDS;

use crate::frame::Head;
use crate::serve::{AppState, Fault, Page, Visit};
pub(super) use first::is_first;
use standing::Standing;
pub(super) use words::{capital, held, motorcycles_first, sentence, shown};

/// This slice's pages. What only takes a form leads back to the sheet when it is looked at.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/bike", "The bike sheet", || get(show).post(figure::save)).at(visits),
    Page::list("/bike/first", "First figures of a bike", || get(first::show).post(first::save)).at(first::visits),
    Page::target("/bike/off", || get(back).post(figure::take_off)),
    Page::target("/bike/undo", || get(back).post(past::undo)),
    Page::target("/bike/import", || get(back).post(file::import)),
    Page::target("/bike/export", || get(file::export)),
    Page::target("/bike/choose", || get(back).post(bikes::choose)),
    Page::target("/bike/new", || get(back).post(bikes::new)),
    Page::target("/bike/name", || get(back).post(bikes::rename)),
    Page::target("/bike/remove", || get(back).post(removal::remove)),
    Page::target("/bike/bring-back", || get(back).post(removal::bring_back)),
];

const HEAD: Head<'static> = Head::titled("The bike sheet");

fn visits(_: &AppState) -> Vec<String> {
    let first = FIELDS.first().map_or("", |field| field.name);
    let asked = [
        String::new(),
        "?field=rear_axle_torque_nm".to_owned(),
        "?field=rear_axle_torque_nm&rear_axle_torque_nm=74+lbf+ft".to_owned(),
        "?field=arm_mm&arm_mm=3+fingers&arm_mm-source=tape".to_owned(),
        "?same=1".to_owned(),
        format!("?field={first}&{first}=x"),
    ];
    asked.map(|query| format!("/bike{query}")).to_vec()
}

async fn back() -> Redirect {
    Redirect::to("/bike")
}

/// What somebody typed in one of the forms, kept as it is until it is understood.
#[derive(Default)]
struct Typed {
    /// The one figure whose form is open.
    figure: Option<figure::TypedFigure>,
    /// The file's text.
    text: String,
    /// A new bike's id and name.
    id: String,
    name: String,
    /// The bike's name, changed.
    called: String,
    /// What is wrong, each with the id of its field.
    faults: Vec<(String, String)>,
}

impl Typed {
    /// Nothing typed, but something wrong.
    fn faulty(field: &str, text: impl Into<String>) -> Self {
        Self { faults: vec![(field.to_owned(), text.into())], ..Self::default() }
    }

    fn fault(&self, field: &str) -> &str {
        self.faults.iter().find(|(at, _)| at == field).map_or("", |(_, text)| text.as_str())
    }
}

async fn show(visit: Visit, State(state): State<AppState>, asked: super::typed::Typed) -> Response {
    let asked = |name: &str| asked.given(name);
    if let Some(echo) = figure::echo(&visit, asked) {
        return echo;
    }
    let standing = match Standing::of(&state, &visit) {
        Ok(standing) => standing,
        Err(why) => return why,
    };
    let typed = figure::asked_for(&standing, asked);
    let said = past::said(&standing, asked);
    answer(&visit, &standing, &typed, said.as_ref())
}

/// The page, as it stands or with what is wrong.
fn answer(visit: &Visit, standing: &Standing, typed: &Typed, said: Option<&past::Said>) -> Response {
    let main = sheet::page(visit, standing, typed, said);
    if typed.faults.is_empty() { visit.show(HEAD, &main) } else { visit.show_faults(HEAD, &main) }
}

/// The page again with what was typed and what is wrong with it.
fn again(state: &AppState, visit: &Visit, typed: &Typed) -> Response {
    Standing::of(state, visit).map_or_else(|why| why, |standing| answer(visit, &standing, typed, None))
}

/// What the sheet's address says of a change that was saved; `same` where nothing changed.
pub(super) fn said(done: &Done, same: &str) -> String {
    done.change.map_or_else(|| format!("same={same}"), |change| format!("saved={change}"))
}

/// What the store itself could not do.
fn not_stored(why: &StoreError) -> Response {
    let (status, title) = match why {
        StoreError::NoSuchBike { .. } | StoreError::NoSuchChange { .. } => (StatusCode::NOT_FOUND, "It is not there"),
        StoreError::Faults(_) => (StatusCode::UNPROCESSABLE_ENTITY, "Nothing was saved"),
        _ => return Fault::of_store(why).into_response(),
    };
    Fault::new(status, title, why.to_string()).into_response()
}
