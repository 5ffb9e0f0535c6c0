//! A set put on in place of what is on, or everything taken off: one act, with what safety hangs on beside it.

use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use measure::bounds::record as bounds;
use store::{NewEntry, Post, StoreError};
use upkeep::bike::Bike;
use upkeep::job::handbook::{Level, shipped};
use upkeep::record::{Check, Fact, Meter};

use crate::asked::{Door, Faulty};
use crate::frame::field::{Choice, Fault as FieldFault, Field, Room, choice, fault_summary, field};
use crate::frame::notice::{Weight, caution, fault as refusal};
use crate::frame::{Head, Place, actions, details};
use crate::noted::check::{self, Asked};
use crate::noted::set::{self, Act, Ready};
use crate::noted::{self, meter_runs_on};
use crate::pages::bike::sentence;
use crate::serve::{AppState, Fault, Posted, Visit};

const ON: Head<'static> = Head::new("Put a set on", Place::Drive);
const OFF: Head<'static> = Head::new("Take the set off", Place::Drive);
const CONFIRM: Head<'static> = Head::new("Confirm what safety hangs on", Place::Drive);
/// The cautions of the job library that stand before a drive is opened and before it runs again.
const CAUTIONS: [&str; 2] = ["engine-off-chain", "pinch"];

/// What was typed: the fields of a query or a form.
struct Typed<'t>(&'t [(String, String)]);

impl<'t> Typed<'t> {
    fn text(&self, name: &str) -> &'t str {
        self.0.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str())
    }

    fn act(&self) -> Act<'t> {
        if self.text("off") == "yes" { Act::Off } else { Act::On(self.text("set")) }
    }

    const fn head(act: &Act<'_>) -> Head<'static> {
        match act {
            Act::On(_) => ON,
            Act::Off => OFF,
        }
    }
}

/// `GET /drive/sets/on`.
pub(super) async fn show(
    visit: Visit,
    State(state): State<AppState>,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let typed = Typed(&query);
    let main = page(&visit, &state, bike, &typed, &[]);
    Ok(visit.show(Typed::head(&typed.act()), &main))
}

/// `POST /drive/sets/on`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed(posted.fields());
        match keep(&state, &bike, &posted, &typed) {
            Ok(change) => Redirect::to(&format!("/drive/sets?saved={change}")).into_response(),
            Err(Ok(faults)) => {
                let main = page(&visit, &state, &bike, &typed, &faults);
                visit.show_faults(Typed::head(&typed.act()), &main)
            }
            Err(Err(why)) => Fault::of_store(&why).into_response(),
        }
    };
    Ok(state.once().run(&posted, saving).await)
}

type Unkept = Result<Vec<Faulty>, StoreError>;

fn keep(state: &AppState, bike: &Bike, posted: &Posted, typed: &Typed<'_>) -> Result<i64, Unkept> {
    let now = state.came(posted.key());
    let at = noted::past("at", Some(typed.text("at")), now.datetime(), 18).map_err(|fault| Ok(vec![fault]))?;
    let mut door = Door::default();
    let meter = door.number("meter", Some(typed.text("meter")), &bounds::METER);
    let checks = checks(bike, typed, &mut door);
    if !door.faults.is_empty() {
        return Err(Ok(door.faults));
    }
    let meter = meter.map(Meter::read).transpose().map_err(|fault| Ok(vec![noted::faulty("meter", fault)]))?;
    let mut garage = state.garage();
    let stands = |text: String| Ok(vec![Faulty { field: "set", text }]);
    let ready =
        set::ready(&garage, bike, &typed.act(), (at, meter), checks).map_err(|why| stands(why.lines().join(" ")))?;
    let log = garage.log(&bike.id).map_err(Err)?;
    meter_runs_on(&log, &ready.entries).map_err(|gap| Ok(vec![Faulty { field: "meter", text: gap.text }]))?;
    let post = Post { now: now.timestamp(), key: Some(posted.key()) };
    let done = set::write(&mut garage, bike, &ready, &post).map_err(|why| match why {
        StoreError::Faults(_) | StoreError::Entry { .. } => stands(why.to_string()),
        why => Err(why),
    })?;
    Ok(done.change.unwrap_or_default())
}

/// What was confirmed; what was left open stays open.
fn checks(bike: &Bike, typed: &Typed<'_>, door: &mut Door) -> Vec<Check> {
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

fn page(visit: &Visit, state: &AppState, bike: &Bike, typed: &Typed<'_>, faults: &[Faulty]) -> Markup {
    let act = typed.act();
    let now = state.clock().now().datetime();
    let ready = set::ready(&state.garage(), bike, &act, (now, None), Vec::new());
    let title = match &act {
        Act::On("") => "Put a set on".to_owned(),
        Act::On(name) => format!("Put on: {name}"),
        Act::Off => "Take the set off".to_owned(),
    };
    html! {
        (summary(faults))
        h1 { (title) }
        @match &ready {
            Err(why) => {
                (refusal(&why.lines().join(" ")))
                p { a class="button primary" href="/drive/sets" { "All sets" } }
            }
            Ok(ready) => (form(visit, bike, typed, (&act, ready), faults)),
        }
    }
}

fn form(visit: &Visit, bike: &Bike, typed: &Typed<'_>, (act, ready): (&Act<'_>, &Ready), faults: &[Faulty]) -> Markup {
    html! {
        ul class="list" { @for words in &ready.words { li { (words) } } }
        (cautions())
        form method="post" action="/drive/sets/on" {
            (visit.form_key())
            @match act {
                Act::On(name) => { input type="hidden" name="set" value=(name); }
                Act::Off => { input type="hidden" name="off" value="yes"; }
            }
            @if matches!(act, Act::On(_)) {
                h2 { "What safety hangs on" }
                p { "Only what you looked at yourself. What is left open keeps the bike from being called ready." }
                (asked(bike, typed, faults))
            } @else {
                p { "The bike is not to be ridden until a set is on again." }
            }
            (details("Another day, the meter", &html! {
                (field(&Field { room: Room::Twelve, ..Field::text("at", "Day").hint("Left empty: now. Else such as 2026-09-24.").value(typed.text("at")).fault(fault(faults, "at")).optional() }))
                (field(&Field::decimal("meter", "Meter", "h").value(typed.text("meter")).fault(fault(faults, "meter")).optional()))
            }))
            (actions(&html! {
                button type="submit" class="button primary" { @if matches!(act, Act::On(_)) { "It is on" } @else { "It is off" } }
            }))
        }
        p { a href="/drive/sets" { "All sets" } }
    }
}

/// One question for each thing, with what the sheet lacks for an answer.
fn asked(bike: &Bike, typed: &Typed<'_>, faults: &[Faulty]) -> Markup {
    html! {
        @for one in check::after(bike, advice::record::kept_sets::JOB) { (question(&one, typed.text(one.name), fault(faults, one.name))) }
    }
}

fn question(asked: &Asked, chosen: &str, fault: &str) -> Markup {
    let first = asked.what.chars().next().map(char::to_uppercase).into_iter().flatten();
    let legend: String = first.chain(asked.what.chars().skip(1)).collect();
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
    Ok(visit.show(CONFIRM, &confirming(&visit, bike, &Typed(&[]), &[])))
}

/// `POST /drive/sets/confirm`.
pub(super) async fn confirmed(
    visit: Visit,
    State(state): State<AppState>,
    posted: Posted,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed(posted.fields());
        let mut door = Door::default();
        let checks = checks(&bike, &typed, &mut door);
        if checks.is_empty() && door.faults.is_empty() {
            let text = "Nothing is confirmed. Choose what you looked at yourself.".to_owned();
            door.faults.push(Faulty { field: "brake", text });
        }
        if !door.faults.is_empty() {
            return visit.show_faults(CONFIRM, &confirming(&visit, &bike, &typed, &door.faults));
        }
        let now = state.came(posted.key());
        let entries: Vec<NewEntry> =
            checks.into_iter().map(|check| NewEntry::new(now.datetime(), Fact::Check(check))).collect();
        let post = Post { now: now.timestamp(), key: Some(posted.key()) };
        let done = state.garage().store_mut().note(&bike.id, &entries, &post);
        match done {
            Ok(done) => Redirect::to(&format!("/drive/sets?saved={}", done.change.unwrap_or_default())).into_response(),
            Err(why) => Fault::of_store(&why).into_response(),
        }
    };
    Ok(state.once().run(&posted, saving).await)
}

fn confirming(visit: &Visit, bike: &Bike, typed: &Typed<'_>, faults: &[Faulty]) -> Markup {
    html! {
        (summary(faults))
        h1 { "Confirm what safety hangs on" }
        p { "After chain, sprockets or wheel were off. Only what you looked at yourself." }
        (cautions())
        form method="post" action="/drive/sets/confirm" {
            (visit.form_key())
            (asked(bike, typed, faults))
            (actions(&html! { button type="submit" class="button primary" { "I looked at it" } }))
        }
    }
}

fn summary(faults: &[Faulty]) -> Markup {
    let told: Vec<(&str, String)> =
        faults.iter().map(|fault| (fault.field, sentence(fault.field, &fault.text))).collect();
    let shown: Vec<FieldFault<'_>> = told.iter().map(|(field, text)| FieldFault { field, text }).collect();
    fault_summary(&shown)
}

fn fault<'f>(faults: &'f [Faulty], name: &str) -> &'f str {
    faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
}

fn cautions() -> Markup {
    html! {
        @for entry in CAUTIONS.iter().filter_map(|id| shipped().caution(id)) {
            @let weight = match entry.level { Level::Stop => Weight::Stop, Level::Warn => Weight::Warn, Level::Note => Weight::Note };
            (caution(weight, &entry.text))
        }
    }
}
