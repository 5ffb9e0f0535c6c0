//! The record for programs: one entry read, one written, one taken back.

use std::future::Future;
use std::pin::Pin;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::HeaderMap;
use axum::response::{IntoResponse as _, Json, Response};
use figures::{Field, Given};
use jiff::civil::DateTime;
use jiff::{Timestamp, ZonedDateTime};
use measure::{Bound, bounds};
use store::{NewEntry, Post};
use upkeep::record::{Fact, Meter};

use super::bikes::done_value;
use super::kinds::{At, Kind};
use super::places::BIKE;
use super::refusal::{faults, problem, refused, store};
use super::sent::{Sent, noted};
use super::tagged::{Fixed, located};
use super::{given, shown};
use crate::commands::meter_runs_on;
use crate::noted::part::was_there;
use crate::serve::{AppState, Fault, origin};

static NUMBER: Bound = Bound::from_to("number of an entry", "", 1.0, 1e9);
/// When it was so.
pub(super) const AT: Field =
    Field::text("at").optional("now").meaning("with its offset, 2026-09-24T18:00:00+02:00; not in the future");
/// What the meter showed.
pub(super) const METER: Field = Field::number("meter_h", &bounds::record::METER).optional("not read");
/// What it corrects.
pub(super) const CORRECTS: Field =
    Field::whole("corrects", &NUMBER).optional("nothing").meaning("an entry of the same kind");
/// Anything worth keeping.
pub(super) const NOTE: Field = Field::text("note").optional("none").meaning("up to 2000 characters");
/// What the address of a write takes.
pub(super) const ADDRESS: &[Field] = &[BIKE];
/// The longest key.
const KEY_LIMIT: usize = 100;

/// The key of a request that may come twice.
///
/// # Errors
/// It is empty, too long, or no plain text.
pub(super) fn key_of(headers: &HeaderMap) -> Result<Option<String>, Fault> {
    let Some(key) = headers.get("idempotency-key") else { return Ok(None) };
    let good = key
        .to_str()
        .ok()
        .filter(|key| (1..=KEY_LIMIT).contains(&key.len()) && key.bytes().all(|byte| byte.is_ascii_graphic()));
    // Keys of forms are made here; those of programs are kept apart from them.
    good.map(|key| Some(format!("api {key}"))).ok_or_else(|| {
        refused(
            "Idempotency-Key",
            "not_possible",
            "Idempotency-Key: 1 to 100 printed characters without blanks are wanted.",
        )
    })
}

/// The moment that a request speaks of as now, and whether its key came before.
pub(super) fn moment(state: &AppState, key: Option<&str>) -> Result<(ZonedDateTime, bool), Fault> {
    let now = state.clock().now();
    let first = key.map(|key| state.garage().store().first_came(key)).transpose().map_err(|why| store(&why))?;
    Ok(match first.flatten() {
        Some(first) => (first.to_zoned_datetime(now.time_zone().clone()), true),
        None => (now, false),
    })
}

/// The time in a body, by the rider's clock.
pub(super) fn time_of(given: &Given<'_>, now: &ZonedDateTime, ahead: bool) -> Result<DateTime, Fault> {
    let Some(text) = given.opt_text("at") else { return Ok(now.datetime()) };
    let wrong = |why: &str| {
        refused("at", "no_time", &format!("at is \"{}\"; {why}", text.chars().take(60).collect::<String>()))
    };
    let at: Timestamp =
        text.parse().map_err(|_| wrong("a time with its offset is wanted, 2026-09-24T18:00:00+02:00."))?;
    if ahead && at < now.timestamp() {
        return Err(wrong("it has passed; a plan lies ahead."));
    }
    if !ahead && at > now.timestamp() {
        return Err(wrong("it is still to come; what was done or read lies before now."));
    }
    Ok(at.to_zoned_datetime(now.time_zone().clone()).datetime())
}

/// What the meter showed.
pub(super) fn meter(given: &Given<'_>) -> Result<Option<Meter>, Fault> {
    given.opt("meter_h").map(Meter::read).transpose().map_err(|fault| faults("", &[fault]))
}

/// The meter beside what was read or done, as an entry of its own.
pub(super) fn meter_of(given: &Given<'_>, at: DateTime) -> Result<Option<NewEntry>, Fault> {
    Ok(meter(given)?.map(|meter| NewEntry::new(at, Fact::Meter(meter))))
}

/// `GET /api/v1/entries/{entry}`.
pub(super) async fn show(
    State(state): State<AppState>,
    Path(entry): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let number = given::number("entry", &entry)?;
    let garage = state.garage();
    let zone = state.clock().now().time_zone().clone();
    for bike in garage.store().bikes().map_err(|why| store(&why))? {
        let noted = garage.store().noted(&bike.id).map_err(|why| store(&why))?;
        if let Some(found) = noted.iter().find(|noted| noted.entry.id == number) {
            return Ok(Fixed::of(&shown::entry(found, &zone)).answer(&headers));
        }
    }
    Err(Fault::not_found(format!("There is no entry {number}.")))
}

type Adding = Pin<Box<dyn Future<Output = Result<Response, Fault>> + Send>>;

/// The handler that writes a kind of entry.
pub(super) fn add(kind: &'static Kind) -> impl Fn(Sent) -> Adding + Clone + Send + Sync + 'static {
    move |sent| Box::pin(async move { written(&sent, kind) })
}

fn written(sent: &Sent, kind: &'static Kind) -> Result<Response, Fault> {
    let given = given::checked(kind.fields, &sent.members)?;
    let once = sent.once()?;
    let at = time_of(&given, &once.now, kind.ahead)?;
    let mut garage = sent.state.writing();
    let bike = sent.bike(&garage)?;
    let facts = (kind.facts)(&given, &At { bike: &bike, garage: &garage, now: once.now.datetime() })?;
    let mut own: Vec<NewEntry> = facts.into_iter().map(|fact| NewEntry::new(at, fact)).collect();
    if let Some(first) = own.first_mut() {
        first.corrects = given.opt_whole("corrects").map(i64::from);
        first.note = given.opt_text("note").map(str::to_owned);
    }
    let entries: Vec<NewEntry> = meter_of(&given, at)?.into_iter().chain(own).collect();
    // What comes again was found possible the first time.
    if !once.again {
        meter_runs_on(&garage, &bike, &entries).map_err(|why| problem(&why))?;
        let log = garage.log(&bike.id).map_err(|why| store(&why))?;
        was_there(&log, &entries).map_err(|why| refused(why.field, "not_there", &why.text))?;
    }
    let done = garage.store_mut().note(&bike.id, &entries, &once.post()).map_err(|why| store(&why))?;
    noted(&garage, &bike.id, done)
}

/// A thing was written; where it stands.
pub(super) fn created(place: &str, told: serde_json::Value) -> Response {
    located((StatusCode::CREATED, Json(told)).into_response(), place)
}

/// `POST /api/v1/changes/{change}/undo`.
pub(super) async fn undo(
    State(state): State<AppState>,
    Path(change): Path<String>,
    headers: HeaderMap,
) -> Result<Json<serde_json::Value>, Fault> {
    if !origin::is_marked(&headers) {
        return Err(origin::foreign());
    }
    let change = given::number("change", &change)?;
    let key = key_of(&headers)?;
    let post = Post { now: state.clock().now().timestamp(), key: key.as_deref() };
    let done = state.writing().store_mut().undo(change, &post).map_err(|why| store(&why))?;
    Ok(Json(done_value(done)))
}
