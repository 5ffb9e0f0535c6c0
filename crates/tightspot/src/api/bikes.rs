//! Bikes and their sheets: read with a tag, changed only by whoever has seen what is changed.

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::HeaderMap;
use axum::response::{IntoResponse as _, Response};
use figures::Field;
use serde_json::{Value, json};
use store::{Done, Post};
use upkeep::bike::{self, Bike, Change};

use super::entries::key_of;
use super::given::{self, Members};
use super::refusal::{Refused, faults, refused, store};
use super::shown;
use super::tagged::{Fixed, located};
use crate::serve::{AppState, Fault};

/// What a new bike takes.
pub(super) const NEW: &[Field] = &[
    Field::text("id").meaning("small letters, digits and inner hyphens, at most 40"),
    Field::text("name").meaning("one line of at most 60 characters"),
];
/// What a change of a sheet takes.
pub(super) const PATCH: &[Field] = &[Field::nested("sheet").meaning("figures to put; null takes one off")];
/// What a whole bike takes.
pub(super) const PUT: &[Field] = &[
    Field::text("name").meaning("one line of at most 60 characters"),
    Field::flag("invented").optional("false"),
    Field::nested("sheet").meaning("every figure; what is left out is taken off"),
];

/// `GET /api/v1/bikes/{bike}`.
pub(super) async fn show(
    State(state): State<AppState>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let found = state.garage().store().bike(&id).map_err(|why| store(&why))?;
    Ok(Fixed::of(&shown::bike(&found)).answer(&headers))
}

/// `POST /api/v1/bikes`.
pub(super) async fn add(State(state): State<AppState>, headers: HeaderMap, body: Bytes) -> Result<Response, Fault> {
    let members = given::object(&headers, body)?;
    let given = given::checked(NEW, &members)?;
    let (id, name) = (given.opt_text("id").unwrap_or_default(), given.opt_text("name").unwrap_or_default());
    let key = key_of(&headers)?;
    let new = Bike::new(id, name, false).map_err(|fault| faults("", &[fault]))?;
    let post = Post { now: state.clock().now().timestamp(), key: key.as_deref() };
    let mut garage = state.writing();
    // A key that comes again finds its bike there, and is answered as the first time; nobody else may write over it.
    let came = key.as_deref().map(|key| garage.store().first_came(key)).transpose().map_err(|why| store(&why))?;
    if came.flatten().is_none() && garage.store().bike(id).is_ok() {
        return Err(refused("id", "taken", &format!("id: {id} is a bike already. Choose another.")));
    }
    garage.store_mut().put_bike(&new, &post).map_err(|why| store(&why))?;
    let made = garage.store().bike(id).map_err(|why| store(&why))?;
    Ok(located(Fixed::of(&shown::bike(&made)).with(StatusCode::CREATED), &format!("/api/v1/bikes/{id}")))
}

/// `PATCH /api/v1/bikes/{bike}`: some figures of the sheet.
pub(super) async fn patch(
    State(state): State<AppState>,
    Path(id): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Refused> {
    let members = given::object(&headers, body)?;
    given::checked(PATCH, &members)?;
    let changes = changes(&members, true)?;
    changed(&state, &id, &headers, |store, post| store.set_fields(&id, &changes, post))
}

/// `PUT /api/v1/bikes/{bike}`: name and the whole sheet.
pub(super) async fn put(
    State(state): State<AppState>,
    Path(id): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Refused> {
    let members = given::object(&headers, body)?;
    let given = given::checked(PUT, &members)?;
    let name = given.opt_text("name").unwrap_or_default();
    let mut whole =
        Bike::new(id.clone(), name, given.flag_or("invented", false)).map_err(|fault| faults("", &[fault]))?;
    whole.change(&changes(&members, false)?).map_err(|all| faults("/sheet", &all))?;
    changed(&state, &id, &headers, |store, post| store.put_bike(&whole, post))
}

/// `DELETE /api/v1/bikes/{bike}`: off the list; undoing the change brings it back.
pub(super) async fn remove(
    State(state): State<AppState>,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Refused> {
    let mut garage = state.writing();
    let before = garage.store().bike(&id).map_err(|why| store(&why))?;
    Fixed::of(&shown::bike(&before)).seen(&headers)?;
    let post = Post::at(state.clock().now().timestamp());
    let done = garage.store_mut().remove_bike(&id, &post).map_err(|why| store(&why))?;
    Ok(axum::Json(done_value(done)).into_response())
}

/// Makes a change of a bike that whoever makes it has seen, and answers with the bike as it is now.
fn changed(
    state: &AppState,
    id: &str,
    headers: &HeaderMap,
    change: impl FnOnce(&mut store::Store, &Post<'_>) -> store::Result<Done>,
) -> Result<Response, Refused> {
    let mut garage = state.writing();
    let before = garage.store().bike(id).map_err(|why| store(&why))?;
    Fixed::of(&shown::bike(&before)).seen(headers)?;
    let post = Post::at(state.clock().now().timestamp());
    change(garage.store_mut(), &post).map_err(|why| match &why {
        store::StoreError::Faults(all) => faults("/sheet", all),
        _ => store(&why),
    })?;
    let after = garage.store().bike(id).map_err(|why| store(&why))?;
    Ok(Fixed::of(&shown::bike(&after)).with(StatusCode::OK))
}

/// The change that a write made, with the way back.
pub(super) fn done_value(done: Done) -> Value {
    json!({"change": done.change, "undo": done.change.map(|change| format!("/api/v1/changes/{change}/undo"))})
}

/// Figures of a body's sheet: `{"front_teeth": {"value": 14, "source": "counted"}}`.
fn changes(members: &Members, may_take_off: bool) -> Result<Vec<Change>, Fault> {
    let Some(Value::Object(sheet)) = members.get("sheet") else {
        return Err(refused("sheet", "wrong_type", "sheet is no object; figures by their names are wanted."));
    };
    sheet.iter().map(|(name, given)| one_change(name, given, may_take_off)).collect()
}

fn one_change(name: &str, given: &Value, may_take_off: bool) -> Result<Change, Fault> {
    let field = bike::known(name).map_err(|fault| faults("/sheet", &[fault]))?;
    let at = |member: &str| format!("sheet.{name}{member}");
    if given.is_null() && may_take_off {
        return Ok(Change { field: name.to_owned(), value: None, source: None });
    }
    let Some(entry) = given.as_object() else {
        let text = format!("{name} is no object; its value, and perhaps its source, are wanted.");
        return Err(refused(&at(""), "wrong_type", &text));
    };
    if let Some(other) = entry.keys().find(|key| !["value", "source"].contains(&key.as_str())) {
        return Err(refused(
            &at(&format!(".{other}")),
            "unknown_field",
            &format!("{other} is no member here. Possible: value, source."),
        ));
    }
    let Some(value) = entry.get("value") else {
        return Err(refused(&at(".value"), "missing", &format!("{name} has no value. Give it.")));
    };
    let source = match entry.get("source") {
        None => None,
        Some(Value::String(source)) => Some(source.clone()),
        Some(_) => return Err(refused(&at(".source"), "wrong_type", "source is no text; one line is wanted.")),
    };
    let possible = || {
        let text = format!("{name} is {value}; possible: {}.", field.possible());
        refused(&at(".value"), "not_possible", &text)
    };
    let value = store::from_json(field, value).ok_or_else(possible)?;
    Ok(Change { field: name.to_owned(), value: Some(value), source })
}
