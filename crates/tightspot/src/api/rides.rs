//! Rides for programs: one read, one logged.

use axum::extract::{Path, State};
use axum::http::header::HeaderMap;
use axum::response::Response;
use figures::Field;
use measure::bounds::record as bounds;
use serde_json::json;
use store::{AddedRide, NewRide, ODD};

use super::entries::{AT, METER, NOTE, created, meter_of, time_of};
use super::refusal::{problem, store};
use super::sent::Sent;
use super::tagged::Fixed;
use super::{given, shown};
use crate::commands::meter_runs_on;
use crate::serve::{AppState, Fault};

/// What a ride takes.
pub(super) const NEW: &[Field] = &[
    Field::text("name").optional("its day").meaning("up to 200 characters"),
    AT.meaning("when it was over, with its offset"),
    Field::number("hours_h", &bounds::RIDE).optional("not noted"),
    Field::text("ground").optional("not noted").meaning("up to 200 characters"),
    Field::flag("wet").optional("not noted"),
    Field::word("odd", &ODD).optional("nothing").meaning("what seemed odd; opens an inspection"),
    METER,
    NOTE,
];

/// `GET /api/v1/rides/{ride}`.
pub(super) async fn show(
    State(state): State<AppState>,
    Path(ride): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let number = given::number("ride", &ride)?;
    let found = state.garage().store().ride(number).map_err(|why| store(&why))?;
    Ok(Fixed::of(&shown::ride(&found, state.clock().now().time_zone())).answer(&headers))
}

/// `POST /api/v1/rides`.
pub(super) async fn add(sent: Sent) -> Result<Response, Fault> {
    let given = given::checked(NEW, &sent.members)?;
    let once = sent.once()?;
    let over = time_of(&given, &once.now, false)?;
    let text = |name: &str| given.opt_text(name).map(str::to_owned);
    let about = NewRide {
        hours_h: given.opt("hours_h"),
        ground: text("ground"),
        wet: given.has("wet").then(|| given.flag_or("wet", false)),
        odd: text("odd"),
        note: text("note"),
        over: Some(over),
        ..NewRide::new(text("name").unwrap_or_else(|| over.date().to_string()), over.date())
    };
    let entries: Vec<store::NewEntry> = meter_of(&given, over)?.into_iter().collect();
    let mut garage = sent.state.writing();
    let bike = sent.bike(&garage)?;
    if !once.again {
        meter_runs_on(&garage, &bike, &entries).map_err(|why| problem(&why))?;
    }
    let added = garage.store_mut().log_ride(&bike.id, &about, None, &entries, &once.post());
    let added = added.map_err(|why| store(&why))?;
    let (AddedRide::New(ride) | AddedRide::AlreadyThere { ride, .. }) = added;
    let change = garage.store().ride(ride).map_err(|why| store(&why))?.change;
    let told = json!({"change": change, "undo": format!("/api/v1/changes/{change}/undo"), "ride": ride});
    Ok(created(&format!("/api/v1/rides/{ride}"), told))
}
