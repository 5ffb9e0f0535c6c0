//! Work orders for programs: read with a tag, ticked, held, taken back and closed only by whoever has seen the last line.
//!
//! The tag stands for the order's lines, so that minutes that pass change nothing; what a tick means is decided in the
//! same room as for page and command ([`advice::bench::take`]).

use advice::bench::close;
use advice::bench::step as shown;
use advice::bench::take::{TypedHold, TypedStep, take, untick as take_back};
use advice::bench::{Laid, of};
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::HeaderMap;
use axum::response::Response;
use serde_json::{Value, json};
use store::{NewEntry, NewLines, Post, StoreError};
use upkeep::job::bench::{End, What};
use upkeep::record::{Fact, Meter};

use super::entries::key_of;
use super::given::{self, Members};
use super::order_given::{CLOSE, FAIL, TICK, UNTICK, parts, step_of, who_of};
use super::refusal::{Refused, faults, gap, store, troubles};
use super::tagged::Fixed;
use crate::garage::Garage;
use crate::serve::{AppState, Fault, Pointed};
use crate::workbench::Loaded;

/// `GET /api/v1/orders/{order}`.
pub(super) async fn show(
    State(state): State<AppState>,
    Path(order): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let loaded = load(&state.garage(), &state, &order, None)?;
    Ok(Fixed::of(&told(&loaded)?).answer(&headers))
}

/// `GET /api/v1/orders/{order}/steps/{step}`: one step by its number or its name.
pub(super) async fn step(
    State(state): State<AppState>,
    Path((order, named)): Path<(String, String)>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let loaded = load(&state.garage(), &state, &order, None)?;
    let laid = lay_out(&loaded)?;
    let by_number = named.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    let at = by_number.or_else(|| laid.sheet.steps.iter().position(|step| step.token == named));
    let view = at.and_then(|at| shown::view(&loaded.desk(), &laid, at));
    let view = view.ok_or_else(|| {
        let steps = laid.sheet.steps.len();
        Fault::not_found(format!("Order {order} has no step of that name; 1 to {steps} is possible."))
    })?;
    let value = serde_json::to_value(&view).map_err(|why| Fault::broken(&why))?;
    Ok(Fixed::of(&value).answer(&headers))
}

/// `POST /api/v1/orders/{order}/tick`.
pub(super) async fn tick(
    State(state): State<AppState>,
    Path(order): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Refused> {
    let members = given::object(&headers, body)?;
    given::checked(TICK, &members)?;
    let typed = step_of(&members)?;
    changed(&state, &order, &headers, &members, |loaded, laid| lines(loaded, laid, &typed))
}

/// `POST /api/v1/orders/{order}/fail`: a stop point does not pass.
pub(super) async fn fail(
    State(state): State<AppState>,
    Path(order): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Refused> {
    let members = given::object(&headers, body)?;
    let given = given::checked(FAIL, &members)?;
    let hold = given.opt_text("hold").unwrap_or_default().to_owned();
    let typed = step_of(&members)?;
    let value = given.opt_text("value").unwrap_or("no").to_owned();
    changed(&state, &order, &headers, &members, |loaded, laid| {
        let has = |step: &&upkeep::job::SheetStep<'_>| step.holds.iter().any(|shown| shown.hold.id == hold);
        let Some(step) = laid.sheet.steps.iter().skip(laid.done()).find(has) else {
            let text = format!("hold: \"{hold}\" is no stop point of a step to come.");
            return Err(super::refusal::refused("hold", "no_such_hold", &text));
        };
        let no = TypedHold { value, passes: "no".to_owned(), ..TypedHold::default() };
        let typed = TypedStep { step: step.token.clone(), holds: vec![(hold.clone(), no)], ..typed };
        lines(loaded, laid, &typed)
    })
}

/// `POST /api/v1/orders/{order}/untick`.
pub(super) async fn untick(
    State(state): State<AppState>,
    Path(order): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Refused> {
    let members = given::object(&headers, body)?;
    let given = given::checked(UNTICK, &members)?;
    let text = |name: &str| given.opt_text(name).unwrap_or_default().to_owned();
    let (step, reason) = (text("step"), text("reason"));
    changed(&state, &order, &headers, &members, |loaded, _| {
        let what = take_back(&loaded.desk(), &step, &reason).map_err(|all| troubles(&all))?;
        Ok(NewLines { what, ..NewLines::default() })
    })
}

/// `POST /api/v1/orders/{order}/close`: refused with the open safety steps by name.
pub(super) async fn close(
    State(state): State<AppState>,
    Path(order): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Refused> {
    let members = given::object(&headers, body)?;
    let given = given::checked(CLOSE, &members)?;
    let meter = given.opt("meter_h").map(Meter::read).transpose().map_err(|fault| faults("", &[fault]))?;
    changed(&state, &order, &headers, &members, |loaded, laid| {
        let desk = loaded.desk();
        let closing = close::view(&desk, laid);
        if loaded.bench.end() != End::Open || !closing.may() {
            return Err(not_closed(loaded, &closing));
        }
        let parts = parts(&members, &closing.fitted)?;
        let mut all: Vec<Fact> = meter.into_iter().map(Fact::Meter).collect();
        all.extend(close::facts(&desk, laid, parts).map_err(|fault| faults("", &[fault]))?);
        let facts = all.into_iter().map(|fact| NewEntry::new(loaded.now, fact)).collect();
        Ok(NewLines { what: vec![What::Closed], facts, sheet: close::sheet(&desk), ..NewLines::default() })
    })
}

/// What stands against closing, each by name.
fn not_closed(loaded: &Loaded, closing: &close::Closing) -> Fault {
    let pointed =
        |code: &str, detail: &String| Pointed { pointer: String::new(), code: code.to_owned(), detail: detail.clone() };
    let safety = closing.safety.iter().map(|step| pointed("open_safety_step", step));
    let other = closing.other.iter().map(|step| pointed("open_step", step));
    let text = if loaded.bench.end() == End::Open {
        closing.refusal().join(" ")
    } else {
        format!("Order {} is not open any more.", loaded.bench.id)
    };
    Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "The order is not closed", text).pointed(safety.chain(other).collect())
}

fn lines(loaded: &Loaded, laid: &Laid, typed: &TypedStep) -> Result<NewLines, Fault> {
    let what = take(&loaded.desk(), laid, typed).map_err(|all| troubles(&all))?;
    Ok(NewLines { what, ..NewLines::default() })
}

/// Writes lines of an order that whoever writes them has seen, and answers with the order as it is now.
fn changed(
    state: &AppState,
    order: &str,
    headers: &HeaderMap,
    members: &Members,
    lines: impl FnOnce(&Loaded, &Laid) -> Result<NewLines, Fault>,
) -> Result<Response, Refused> {
    let key = key_of(headers)?;
    let mut garage = state.garage();
    let loaded = load(&garage, state, order, who_of(members)?)?;
    Fixed::of(&told(&loaded)?).seen(headers)?;
    let laid = lay_out(&loaded)?;
    let lines = lines(&loaded, &laid)?;
    let post = Post { now: state.clock().now().timestamp(), key: key.as_deref() };
    loaded.write(&mut garage, &post, lines).map_err(|why| meanwhile(&why))?;
    let after = load(&garage, state, order, None)?;
    Ok(Fixed::of(&told(&after)?).with(StatusCode::OK))
}

fn meanwhile(why: &StoreError) -> Fault {
    match why {
        StoreError::Meanwhile { .. } => {
            Fault::new(StatusCode::PRECONDITION_FAILED, "Changed meanwhile", why.to_string())
        }
        why => store(why),
    }
}

/// The order of a number, whichever bike it is of.
fn load(garage: &Garage, state: &AppState, order: &str, who: Option<String>) -> Result<Loaded, Fault> {
    let id = given::number("order", order)?;
    for bike in garage.store().bikes().map_err(|why| store(&why))? {
        let benches = garage.store().benches(&bike.id).map_err(|why| store(&why))?;
        if benches.iter().any(|bench| bench.id == id) {
            let bike = garage.store().bike(&bike.id).map_err(|why| store(&why))?;
            return Loaded::of(garage, bike, state.clock().now().datetime(), who, id).map_err(|why| store(&why));
        }
    }
    Err(Fault::not_found(format!("There is no work order {id}.")))
}

fn lay_out(loaded: &Loaded) -> Result<Laid, Fault> {
    loaded.desk().lay_out().map_err(|why| gap(&why))
}

/// The order without what the clock moves, so that its tag stands for what was written.
fn told(loaded: &Loaded) -> Result<Value, Fault> {
    let (desk, laid) = (loaded.desk(), lay_out(loaded)?);
    let (view, closing) = (of(&desk, &laid), close::view(&desk, &laid));
    Ok(json!({
        "id": view.id,
        "bike": loaded.bike.id,
        "end": view.end,
        "jobs": view.jobs,
        "begun": view.begun,
        "setup": view.setup,
        "done": view.done,
        "steps": view.steps,
        "open": view.open,
        "ride_not_before": view.ride_not_before,
        "list": view.list,
        "added": view.added,
        "confirmed": view.confirmed,
        "may_close": view.end == "open" && closing.may(),
        "open_safety_steps": closing.safety,
        "open_steps": closing.other,
        "fitted": closing.fitted,
        "seen": view.seen,
    }))
}
