//! Work orders for programs: read with a tag, ticked, held, taken back and closed only by whoever has seen the last line.
//!
//! The tag stands for the order's lines, so that minutes that pass change nothing; what a tick means is decided in the
//! same room as for page and command ([`advice::bench::take`]).

use std::collections::BTreeSet;

use advice::Setup;
use advice::bench::close;
use advice::bench::step as shown;
use advice::bench::take::{TypedHold, TypedStep, add as bring_in, take, untick as take_back};
use advice::bench::{Laid, due, of, offer};
use advice::plan::Wish;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::HeaderMap;
use axum::response::Response;
use serde_json::{Value, json};
use store::{NewEntry, NewLines, Post, StoreError};
use upkeep::job::bench::{End, What};
use upkeep::job::handbook;
use upkeep::record::Fact;

use super::entries::{key_of, meter};
use super::given;
use super::order_given::{
    ADD, CLOSE, FAIL, FIGURE, START, TICK, UNTICK, WHO_ONLY, choices, names, parts, step_of, who_of,
};
use super::refusal::{Refused, faults, gap, problem, refused, store, troubles};
use super::sent::Sent;
use super::tagged::{Fixed, located};
use crate::garage::Garage;
use crate::serve::{AppState, Fault, Pointed};
use crate::workbench::{self, Loaded, TypedFigure};

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

/// `GET /api/v1/orders/{order}/offers`: what is cheap while it is open anyway.
pub(super) async fn offers(
    State(state): State<AppState>,
    Path(order): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let loaded = load(&state.garage(), &state, &order, None)?;
    let jobs = lay_out(&loaded)?.stand.order.jobs.clone();
    let found = offer::view(handbook::in_use(), &jobs, &loaded.bench.choices, &loaded.log);
    let items = found.map_err(|why| gap(&why))?;
    Ok(Fixed::of(&json!({ "items": items })).answer(&headers))
}

/// `POST /api/v1/orders/{order}/tick`.
pub(super) async fn tick(sent: Sent) -> Result<Response, Refused> {
    given::checked(TICK, &sent.members)?;
    let typed = step_of(&sent.members)?;
    written(&sent, |loaded, laid| lines(loaded, laid, &typed))
}

/// `POST /api/v1/orders/{order}/fail`: a stop point does not pass.
pub(super) async fn fail(sent: Sent) -> Result<Response, Refused> {
    let given = given::checked(FAIL, &sent.members)?;
    let hold = given.opt_text("hold").unwrap_or_default().to_owned();
    let typed = step_of(&sent.members)?;
    let value = given.opt_text("value").unwrap_or("no").to_owned();
    written(&sent, |loaded, laid| {
        let has = |step: &&upkeep::job::SheetStep<'_>| step.holds.iter().any(|shown| shown.hold.id == hold);
        let Some(step) = laid.sheet.steps.iter().skip(laid.done()).find(has) else {
            let text = format!("hold: \"{hold}\" is no stop point of a step to come.");
            return Err(refused("hold", "no_such_hold", &text));
        };
        let no = TypedHold { value, passes: "no".to_owned(), ..TypedHold::default() };
        let typed = TypedStep { step: step.token.clone(), holds: vec![(hold.clone(), no)], ..typed };
        lines(loaded, laid, &typed)
    })
}

/// `POST /api/v1/orders/{order}/untick`.
pub(super) async fn untick(sent: Sent) -> Result<Response, Refused> {
    let given = given::checked(UNTICK, &sent.members)?;
    let text = |name: &str| given.opt_text(name).unwrap_or_default().to_owned();
    let (step, reason) = (text("step"), text("reason"));
    written(&sent, |loaded, _| {
        let what = take_back(&loaded.desk(), &step, &reason).map_err(|all| troubles(&all))?;
        Ok(NewLines { what, ..NewLines::default() })
    })
}

/// `POST /api/v1/orders/{order}/close`: refused with the open safety steps by name.
pub(super) async fn close(sent: Sent) -> Result<Response, Refused> {
    let given = given::checked(CLOSE, &sent.members)?;
    let shown = meter(&given)?;
    written(&sent, |loaded, laid| {
        let desk = loaded.desk();
        let closing = close::view(&desk, laid);
        if loaded.bench.end() != End::Open || !closing.may() {
            return Err(not_closed(loaded, &closing));
        }
        let parts = parts(&sent.members, &closing.fitted)?;
        let mut all: Vec<Fact> = shown.into_iter().map(Fact::Meter).collect();
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

/// Jobs of one order.
const MOST_JOBS: usize = 40;

/// `POST /api/v1/orders`: a work order begins.
pub(super) async fn begin(sent: Sent) -> Result<Response, Refused> {
    let given = given::checked(START, &sent.members)?;
    let once = sent.once()?;
    let mut garage = sent.state.writing();
    let bike = sent.bike(&garage)?;
    let at = once.now.datetime();
    let fitted = Setup::fitted(&bike).map_err(|why| gap(&why))?;
    let count = |name: &str, fitted: u32| given.opt_whole(name).unwrap_or(fitted);
    let setup = Setup {
        front_teeth: count("front_teeth", fitted.front_teeth),
        rear_teeth: count("rear_teeth", fitted.rear_teeth),
        links: count("links", fitted.links),
    };
    let mut jobs = names(&sent.members, "jobs")?;
    let mut seen = BTreeSet::new();
    jobs.retain(|job| seen.insert(job.clone()));
    if given.flag_or("due", false) {
        let record = garage.record_at(&bike, at).map_err(|why| problem(&why))?;
        let due = due::jobs(&record, handbook::in_use()).into_iter().map(|due| due.job);
        jobs.extend(due.filter(|job| !jobs.contains(job)).collect::<Vec<_>>());
    }
    if !(1..=MOST_JOBS).contains(&jobs.len()) {
        let text =
            format!("jobs: 1 to {MOST_JOBS} names of jobs are possible, or due where something is recorded as due.");
        return Err(refused("jobs", "wrong_list", &text).into());
    }
    let manual = garage.store().manual(&bike.id).map_err(|why| store(&why))?;
    let wish = Wish { jobs, choices: choices(&sent.members)?, manual };
    let (new, facts) = workbench::begun(&bike, setup, &wish, at).map_err(|why| gap(&why))?;
    let id = garage.store_mut().begin_bench(&bike.id, &new, &facts, &once.post()).map_err(|why| store(&why))?;
    let loaded = load(&garage, &sent.state, &id.to_string(), None)?;
    Ok(located(Fixed::of(&told(&loaded)?).with(StatusCode::CREATED), &format!("/api/v1/orders/{id}")))
}

/// `POST /api/v1/orders/{order}/add`: a job comes in.
pub(super) async fn add(sent: Sent) -> Result<Response, Refused> {
    let given = given::checked(ADD, &sent.members)?;
    let job = given.opt_text("job").unwrap_or_default();
    written(&sent, |loaded, laid| {
        still_open(loaded)?;
        let what = bring_in(&loaded.desk(), laid, job).map_err(|all| troubles(&all))?;
        Ok(NewLines { what, ..NewLines::default() })
    })
}

/// `POST /api/v1/orders/{order}/pause`: stopped for now; the next tick goes on.
pub(super) async fn pause(sent: Sent) -> Result<Response, Refused> {
    given::checked(WHO_ONLY, &sent.members)?;
    written(&sent, |loaded, _| {
        still_open(loaded)?;
        Ok(NewLines { what: vec![What::Paused], ..NewLines::default() })
    })
}

/// `POST /api/v1/orders/{order}/drop`: given up, with nothing open on the bike.
pub(super) async fn drop_it(sent: Sent) -> Result<Response, Refused> {
    given::checked(WHO_ONLY, &sent.members)?;
    written(&sent, |loaded, laid| {
        still_open(loaded)?;
        loaded.dropped(laid).map_err(|why| refused("", "not_given_up", &why))
    })
}

/// `POST /api/v1/orders/{order}/reopen`: the closing is undone whole.
pub(super) async fn reopen(sent: Sent) -> Result<Response, Refused> {
    given::checked(WHO_ONLY, &sent.members)?;
    changed(&sent, |garage, loaded, _, post| {
        let open = || refused("", "open", &format!("Order {} is open.", loaded.bench.id));
        let end = loaded.ended().ok_or_else(open)?;
        garage.store_mut().undo(end, post).map(drop).map_err(|why| meanwhile(&why))
    })
}

/// `POST /api/v1/orders/{order}/figure`: the manual's figure, on the sheet where it has a field for it.
pub(super) async fn figure(sent: Sent) -> Result<Response, Refused> {
    let given = given::checked(FIGURE, &sent.members)?;
    let text = |name: &str| given.opt_text(name).unwrap_or_default().to_owned();
    let (figure, value, to, source) = (text("figure"), text("value"), text("value_to"), text("source"));
    changed(&sent, |garage, loaded, _, post| {
        let typed = TypedFigure::of_values(&figure, [&value, &to], &source).map_err(|all| troubles(&all))?;
        typed.keep(garage, &loaded.bike.id, post).map(drop).map_err(|why| store(&why))
    })
}

fn still_open(loaded: &Loaded) -> Result<(), Fault> {
    if loaded.bench.end() == End::Open {
        return Ok(());
    }
    Err(refused("", "not_open", &format!("Order {} is not open any more.", loaded.bench.id)))
}

/// Writes lines of an order that whoever writes them has seen.
fn written(sent: &Sent, lines: impl FnOnce(&Loaded, &Laid) -> Result<NewLines, Fault>) -> Result<Response, Refused> {
    changed(sent, |garage, loaded, laid, post| {
        let lines = lines(loaded, laid)?;
        loaded.write(garage, post, lines).map(drop).map_err(|why| meanwhile(&why))
    })
}

/// Changes an order that whoever changes it has seen, and answers with the order as it is now.
fn changed(
    sent: &Sent,
    change: impl FnOnce(&mut Garage, &Loaded, &Laid, &Post<'_>) -> Result<(), Fault>,
) -> Result<Response, Refused> {
    let key = key_of(&sent.headers)?;
    let mut garage = sent.state.writing();
    let loaded = load(&garage, &sent.state, &sent.named, who_of(&sent.members)?)?;
    Fixed::of(&told(&loaded)?).seen(&sent.headers)?;
    let laid = lay_out(&loaded)?;
    let post = Post { now: sent.state.clock().now().timestamp(), key: key.as_deref() };
    change(&mut garage, &loaded, &laid, &post)?;
    let after = load(&garage, &sent.state, &sent.named, None)?;
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
