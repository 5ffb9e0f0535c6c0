//! The days ahead as a file that a calendar reads.

use advice::record::calendar::days;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse as _, Response};

use super::of_record;
use crate::calendar::text;
use crate::serve::{AppState, Fault, Visit};

/// `GET /calendar.ics`.
pub(crate) async fn download(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let (id, name, made) = (bike.id.clone(), bike.name.clone(), state.clock().now().timestamp());
    let days = of_record(state, bike, days).await?;
    let days =
        days.map_err(|why| Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "The days ahead cannot be told", why.text))?;
    let kind = (CONTENT_TYPE, "text/calendar; charset=utf-8");
    let file = (CONTENT_DISPOSITION, "attachment; filename=\"days-ahead.ics\"");
    Ok(([kind, file], text(&id, &name, &days, made)).into_response())
}
