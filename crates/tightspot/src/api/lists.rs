//! Lists page by page: in a fixed order, by a cursor that names the last one seen, never more than a hundred at once.

use axum::extract::{Query, State};
use axum::http::header::HeaderMap;
use axum::response::Response;
use figures::{Field, Given};
use measure::Bound;
use serde_json::{Value, json};

use super::given::{self, Typed};
use super::places::{BIKE, bike_of};
use super::refusal::{refused, store};
use super::shown;
use super::tagged::Fixed;
use crate::garage::Garage;
use crate::serve::{AppState, Fault, beside};

/// How many a page holds.
static LIMIT: Bound = Bound::from_to("things on a page", "", 1.0, 100.0);
/// As many where nobody says.
const USUAL: usize = 50;

const CURSOR: Field = Field::text("cursor").optional("the first page").meaning("`next` of the page before");
const LIMIT_FIELD: Field = Field::whole("limit", &LIMIT).optional("50");
/// What every list of a bike takes.
pub(super) const OF_BIKE: &[Field] = &[BIKE, CURSOR, LIMIT_FIELD];
/// What the list of bikes takes.
pub(super) const OF_ALL: &[Field] = &[CURSOR, LIMIT_FIELD];

/// `GET /api/v1/bikes`.
pub(super) async fn bikes(State(state): State<AppState>, headers: HeaderMap, typed: Typed) -> Result<Response, Fault> {
    list(state, headers, typed, OF_ALL, |_, garage, _| {
        let bikes = garage.store().bikes().map_err(|why| store(&why))?;
        Ok(bikes.iter().map(|bike| (bike.id.clone(), shown::listed(bike))).collect())
    })
    .await
}

/// `GET /api/v1/rides`, newest first.
pub(super) async fn rides(State(state): State<AppState>, headers: HeaderMap, typed: Typed) -> Result<Response, Fault> {
    list(state, headers, typed, OF_BIKE, |state, garage, given| {
        let bike = bike_of(garage, given)?;
        let zone = state.clock().now().time_zone().clone();
        let rides = garage.rides(&bike.id).map_err(|why| store(&why))?;
        Ok(rides.iter().map(|ride| (ride.id.to_string(), shown::ride(ride, &zone))).collect())
    })
    .await
}

/// `GET /api/v1/entries`, newest first; what was undone or corrected stands there too, and says so.
pub(super) async fn entries(
    State(state): State<AppState>,
    headers: HeaderMap,
    typed: Typed,
) -> Result<Response, Fault> {
    list(state, headers, typed, OF_BIKE, |state, garage, given| {
        let bike = bike_of(garage, given)?;
        let zone = state.clock().now().time_zone().clone();
        let noted = garage.store().noted(&bike.id).map_err(|why| store(&why))?;
        Ok(noted.iter().rev().map(|noted| (noted.entry.id.to_string(), shown::entry(noted, &zone))).collect())
    })
    .await
}

/// `GET /api/v1/changes`: the history of a sheet, newest first.
pub(super) async fn changes(
    State(state): State<AppState>,
    headers: HeaderMap,
    typed: Typed,
) -> Result<Response, Fault> {
    list(state, headers, typed, OF_BIKE, |_, garage, given| {
        let bike = bike_of(garage, given)?;
        let facts = garage.store().history(&bike.id).map_err(|why| store(&why))?;
        Ok(facts.iter().map(|fact| (format!("{}-{}", fact.change, fact.field), shown::change(fact))).collect())
    })
    .await
}

/// `GET /api/v1/orders`: work orders, newest first.
pub(super) async fn orders(State(state): State<AppState>, headers: HeaderMap, typed: Typed) -> Result<Response, Fault> {
    list(state, headers, typed, OF_BIKE, |_, garage, given| {
        let bike = bike_of(garage, given)?;
        let orders = garage.store().benches(&bike.id).map_err(|why| store(&why))?;
        Ok(orders.iter().rev().map(|order| (order.id.to_string(), shown::order(&bike.id, order))).collect())
    })
    .await
}

/// Everything of a list in its order, each with the cursor that stands for it.
type All = Vec<(String, Value)>;

async fn list(
    state: AppState,
    headers: HeaderMap,
    Query(typed): Typed,
    fields: &'static [Field],
    all: fn(&AppState, &Garage, &Given<'_>) -> Result<All, Fault>,
) -> Result<Response, Fault> {
    let members = given::query(fields, typed)?;
    let work = move || {
        let given = given::checked(fields, &members)?;
        let all = all(&state, &state.garage(), &given)?;
        page(all, &given)
    };
    let value = beside(work).await??;
    Ok(Fixed::of(&value).answer(&headers))
}

fn page(all: All, given: &Given<'_>) -> Result<Value, Fault> {
    let limit = given.opt_whole("limit").and_then(|limit| usize::try_from(limit).ok()).unwrap_or(USUAL);
    let from = match given.opt_text("cursor") {
        None => 0,
        Some(cursor) => {
            let seen = all.iter().position(|(known, _)| known == cursor);
            1 + seen.ok_or_else(|| {
                refused(
                    "cursor",
                    "no_such_cursor",
                    "cursor: it is not of this list, or not any more. Begin anew without one.",
                )
            })?
        }
    };
    let more = all.len() > from + limit;
    let items: All = all.into_iter().skip(from).take(limit).collect();
    let next = items.last().filter(|_| more).map(|(cursor, _)| cursor.clone());
    let items: Vec<Value> = items.into_iter().map(|(_, item)| item).collect();
    Ok(json!({ "items": items, "next": next }))
}
