//! A write as it comes: who sends it, which record is meant, its members and its key; one extractor for every write.

use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts as _, Query, RawPathParams, Request};
use axum::http::header::HeaderMap;
use axum::response::{IntoResponse as _, Response};
use jiff::ZonedDateTime;
use serde_json::json;
use store::{Done, Post};
use upkeep::bike::Bike;

use super::bikes::done_value;
use super::entries::{ADDRESS, created, key_of, moment};
use super::given::{self, Members};
use super::places::bike_of;
use super::refusal::{Refused, store};
use crate::garage::Garage;
use crate::serve::{AppState, Fault};

/// What a program sent to be written.
pub(super) struct Sent {
    pub(super) state: AppState,
    pub(super) headers: HeaderMap,
    /// The members of the body.
    pub(super) members: Members,
    /// The members of the address as they were typed.
    typed: Vec<(String, String)>,
    /// The first name in the path, such as the number of an order.
    pub(super) named: String,
}

impl FromRequest<AppState> for Sent {
    type Rejection = Refused;

    async fn from_request(request: Request, state: &AppState) -> Result<Self, Refused> {
        let whole = |response: Response| Refused::from(response);
        let (mut parts, body) = request.into_parts();
        let path = RawPathParams::from_request_parts(&mut parts, state).await;
        let path = path.map_err(|why| whole(why.into_response()))?;
        let named = path.iter().next().map(|(_, text)| text.to_owned()).unwrap_or_default();
        let typed = Query::from_request_parts(&mut parts, state).await;
        let Query(typed) = typed.map_err(|why| whole(why.into_response()))?;
        let headers = parts.headers.clone();
        let body = Bytes::from_request(Request::from_parts(parts, body), state).await;
        let members = given::object(&headers, body.map_err(|why| whole(why.into_response()))?)?;
        Ok(Self { state: state.clone(), headers, members, typed, named })
    }
}

/// The moment that a write speaks of as now, its key and whether it came before.
pub(super) struct Once {
    pub(super) now: ZonedDateTime,
    key: Option<String>,
    pub(super) again: bool,
}

impl Once {
    /// The same for the store.
    pub(super) fn post(&self) -> Post<'_> {
        Post { now: self.now.timestamp(), key: self.key.as_deref() }
    }
}

impl Sent {
    /// When it is written, and whether it was before.
    ///
    /// # Errors
    /// A key that is none.
    pub(super) fn once(&self) -> Result<Once, Fault> {
        let key = key_of(&self.headers)?;
        let (now, again) = moment(&self.state, key.as_deref())?;
        Ok(Once { now, key, again })
    }

    /// The bike that its address names, else the first or only one.
    ///
    /// # Errors
    /// No such bike, or an address that says something else.
    pub(super) fn bike(&self, garage: &Garage) -> Result<Bike, Fault> {
        let address = given::query(ADDRESS, self.typed.clone())?;
        bike_of(garage, &given::checked(ADDRESS, &address)?)
    }
}

/// Facts were written: their numbers, and how to take them back.
pub(super) fn noted(garage: &Garage, bike: &str, done: Done) -> Result<Response, Fault> {
    let noted = garage.store().noted(bike).map_err(|why| store(&why))?;
    let of_change = noted.iter().map(|noted| &noted.entry).filter(|entry| Some(entry.change) == done.change);
    let ids: Vec<i64> = of_change.map(|entry| entry.id).collect();
    let mut told = done_value(done);
    told["entries"] = json!(ids);
    Ok(created(&format!("/api/v1/entries/{}", ids.last().copied().unwrap_or_default()), told))
}
