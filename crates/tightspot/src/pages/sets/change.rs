//! A set put on in place of what is on, or everything taken off: one act, with what safety hangs on beside it.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use measure::bounds::record as bounds;
use store::{NewEntry, StoreError};
use upkeep::bike::Bike;
use upkeep::record::{Check, Fact, Meter};

use crate::asked::{Door, Faulty};
use crate::frame::field::{Choice, Field, choice};
use crate::frame::notice::fault as refusal;
use crate::frame::{Head, Place, actions, details};
use crate::noted::check::{self, Asked};
use crate::noted::set::{self, Act, Ready};
use crate::noted::{self, meter_runs_on};
use crate::pages::bike::capital;
use crate::pages::cautions;
use crate::pages::measure::form::DAY;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Posted, Visit};

const ON: Head<'static> = Head::new("Put a set on", Place::Drive);
const OFF: Head<'static> = Head::new("Take the set off", Place::Drive);
const CONFIRM: Head<'static> = Head::new("Confirm what safety hangs on", Place::Drive);

/// What is done: a set put on, or all taken off.
fn act(typed: &Typed) -> Act<'_> {
    if typed.text("off") == "yes" { Act::Off } else { Act::On(typed.text("set")) }
}

const fn head(act: &Act<'_>) -> Head<'static> {
    match act {
        Act::On(_) => ON,
        Act::Off => OFF,
    }
}

/// `GET /drive/sets/on`.
pub(super) async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let main = page(&visit, &state, visit.bike()?, &typed);
    Ok(visit.show(head(&act(&typed)), &main))
}

/// `POST /drive/sets/on`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed::posted(&posted);
        match keep(&state, &bike, &posted, &typed) {
            Ok(change) => Redirect::to(&format!("/drive/sets?saved={change}")).into_response(),
            Err(Ok(faults)) => {
                let typed = typed.faulty(faults);
                visit.show_faults(head(&act(&typed)), &page(&visit, &state, &bike, &typed))
            }
            Err(Err(why)) => Fault::from(why).into(),
        }
    };
    Ok(state.once().run(&posted, saving).await)
}

type Unkept = Result<Vec<Faulty>, StoreError>;

fn keep(state: &AppState, bike: &Bike, posted: &Posted, typed: &Typed) -> Result<i64, Unkept> {
    let now = state.came(posted.key());
    let at = noted::past("at", Some(typed.text("at")), now.datetime(), 18).map_err(|fault| Ok(vec![fault]))?;
    let mut door = Door::default();
    let meter = door.number("meter", Some(typed.text("meter")), &bounds::METER);
    let checks = checks(bike, typed, &mut door);
    if !door.faults.is_empty() {
        return Err(Ok(door.faults));
    }
    let meter = meter.map(Meter::read).transpose().map_err(|fault| Ok(vec![noted::faulty("meter", fault)]))?;
    let mut garage = state.writing();
    let stands = |text: String| Ok(vec![Faulty { field: "set", text }]);
    let ready =
        set::ready(&garage, bike, &act(typed), (at, meter), checks).map_err(|why| stands(why.lines().join(" ")))?;
    let log = garage.log(&bike.id).map_err(Err)?;
    meter_runs_on(&log, &ready.entries).map_err(|gap| Ok(vec![Faulty { field: "meter", text: gap.text }]))?;
    let post = posted.at(&now);
    let done = set::write(&mut garage, bike, &ready, &post).map_err(|why| match why {
        StoreError::Faults(_) | StoreError::Entry { .. } => stands(why.to_string()),
        why => Err(why),
    })?;
    Ok(done.change.unwrap_or_default())
}

/// What was confirmed; what was left open stays open.
fn checks(bike: &Bike, typed: &Typed, door: &mut Door) -> Vec<Check> {
    let mut checks = Vec::new();
    for asked in check::after(bike, advice::record::kept_sets::JOB) {
        match typed.text(asked.name) {
            "" => {}
            text => match check::one(bike, text) {
                Ok(check) => checks.push(check),
                Err(faults) => {
                    door.faults.extend(faults.into_iter().map(|fault| Faulty { field: asked.name, ..fault }))
                }
            },
        }
    }
    checks
}

fn page(visit: &Visit, state: &AppState, bike: &Bike, typed: &Typed) -> Markup {
    let act = act(typed);
    let now = state.clock().now().datetime();
    let ready = set::ready(&state.garage(), bike, &act, (now, None), Vec::new());
    let title = match &act {
        Act::On("") | Act::Off => head(&act).title.to_owned(),
        Act::On(name) => format!("Put on: {name}"),
    };
    html! {
        (typed.not_saved())
        h1 { (title) }
        @match &ready {
            Err(why) => {
                (refusal(&why.lines().join(" ")))
                p { a class="button primary" href="/drive/sets" { "All sets" } }
            }
            Ok(ready) => (form(visit, bike, typed, (&act, ready))),
        }
    }
}

fn form(visit: &Visit, bike: &Bike, typed: &Typed, (act, ready): (&Act<'_>, &Ready)) -> Markup {
    html! {
        ul class="list" { @for words in &ready.words { li { (words) } } }
        (cautions::by_hand())
        form method="post" action="/drive/sets/on" {
            (visit.form_key())
            @match act {
                Act::On(name) => { input type="hidden" name="set" value=(name); }
                Act::Off => { input type="hidden" name="off" value="yes"; }
            }
            @if matches!(act, Act::On(_)) {
                h2 { "What safety hangs on" }
                p { "Only what you looked at yourself. What is left open keeps the bike from being called ready." }
                (asked(bike, typed))
            } @else {
                p { "The bike is not to be ridden until a set is on again." }
            }
            (details("Another day, the meter", &html! {
                (typed.field(DAY))
                (typed.field(Field::decimal("meter", "Meter", "h").optional()))
            }))
            (actions(&html! {
                button type="submit" class="button primary" { @if matches!(act, Act::On(_)) { "It is on" } @else { "It is off" } }
            }))
        }
        p { a href="/drive/sets" { "All sets" } }
    }
}

/// One question for each thing, with what the sheet lacks for an answer.
fn asked(bike: &Bike, typed: &Typed) -> Markup {
    html! {
        @for one in check::after(bike, advice::record::kept_sets::JOB) { (question(&one, typed)) }
    }
}

fn question(asked: &Asked, typed: &Typed) -> Markup {
    let (legend, chosen, fault) = (capital(asked.what), typed.text(asked.name), typed.fault(asked.name));
    let mut options = vec![("", "Not confirmed yet", "")];
    options.extend(asked.answers.iter().map(|(value, words)| (value.as_str(), words.as_str(), "")));
    html! {
        (choice(&Choice { name: asked.name, legend: &legend, hint: "", options: &options, chosen, fault }))
        @for field in &asked.missing {
            p class="soft" { "The manual's figure is missing: " a href={ "/bike?field=" (field) "#" (field) } { "put it on the bike sheet" } " first." }
        }
    }
}

/// `GET /drive/sets/confirm`.
pub(super) async fn confirm(visit: Visit) -> Result<Response, Response> {
    let bike = visit.bike()?;
    Ok(visit.show(CONFIRM, &confirming(&visit, bike, &Typed::default())))
}

/// `POST /drive/sets/confirm`.
pub(super) async fn confirmed(
    visit: Visit,
    State(state): State<AppState>,
    posted: Posted,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed::posted(&posted);
        let mut door = Door::default();
        let checks = checks(&bike, &typed, &mut door);
        if checks.is_empty() && door.faults.is_empty() {
            let text = "Nothing is confirmed. Choose what you looked at yourself.".to_owned();
            door.faults.push(Faulty { field: "brake", text });
        }
        if !door.faults.is_empty() {
            return visit.show_faults(CONFIRM, &confirming(&visit, &bike, &typed.faulty(door.faults)));
        }
        let now = state.came(posted.key());
        let entries: Vec<NewEntry> =
            checks.into_iter().map(|check| NewEntry::new(now.datetime(), Fact::Check(check))).collect();
        let post = posted.at(&now);
        let done = state.writing().store_mut().note(&bike.id, &entries, &post);
        match done {
            Ok(done) => Redirect::to(&format!("/drive/sets?saved={}", done.change.unwrap_or_default())).into_response(),
            Err(why) => Fault::from(why).into(),
        }
    };
    Ok(state.once().run(&posted, saving).await)
}

fn confirming(visit: &Visit, bike: &Bike, typed: &Typed) -> Markup {
    html! {
        (typed.not_saved())
        h1 { "Confirm what safety hangs on" }
        p { "After chain, sprockets or wheel were off. Only what you looked at yourself." }
        (cautions::by_hand())
        form method="post" action="/drive/sets/confirm" {
            (visit.form_key())
            (asked(bike, typed))
            (actions(&html! { button type="submit" class="button primary" { "I looked at it" } }))
        }
    }
}
