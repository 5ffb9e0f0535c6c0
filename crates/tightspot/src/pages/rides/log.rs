//! The ride just ridden: one page, four facts, everything preset as last time; and what it leads to.

use advice::ground::{GROUNDS, named};
use advice::record::after_ride;
use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{AddedRide, ODD, StoreError};
use upkeep::bike::Bike;

use crate::asked::{Door, Faulty};
use crate::frame::field::{Choice, Field, choice, tick};
use crate::frame::notice::notice;
use crate::frame::number::{fixed, short};
use crate::frame::{Head, Place, actions, details};
use crate::noted::ride::{self, Not};
use crate::pages::typed::Typed;
use crate::pages::{answer, changes};
use crate::serve::{AppState, Fault, Posted, Visit};

const HEAD: Head<'static> = Head::new("Log a ride", Place::Rides);

/// What the form holds: what was typed, and which further questions it has to ask.
struct Form {
    typed: Typed,
    /// Whether nothing about hours is recorded yet.
    first: bool,
    /// Grounds in the rider's own words, the last one first.
    grounds: Vec<String>,
    /// What the meter showed last.
    shown_h: Option<f64>,
    /// A long ride is asked back.
    long: bool,
    /// The meter went back: it may have been changed.
    back: bool,
}

impl Form {
    /// The form as it opens: today, ground and weather as last time.
    fn fresh(state: &AppState, bike: &Bike) -> Result<Self, Fault> {
        let now = state.clock().now().datetime();
        let garage = state.garage();
        let rides = garage.rides(&bike.id)?;
        let log = garage.log(&bike.id)?.until(now);
        let mut grounds: Vec<String> = Vec::new();
        for ground in rides.iter().filter_map(|ride| ride.about.ground.clone()) {
            if !grounds.contains(&ground) {
                grounds.push(ground);
            }
        }
        let last = ride::last(&rides);
        let wet = match last.and_then(|ride| ride.about.wet) {
            Some(true) => "wet",
            Some(false) => "dry",
            None => "",
        };
        let shown_h = log.clock(now).last().map(|event| match event {
            upkeep::wear::MeterEvent::Read { hours } => *hours,
            upkeep::wear::MeterEvent::Swap { new, .. } => *new,
        });
        let ground = grounds.first().cloned().unwrap_or_default();
        let typed = Typed::preset([("at", now.date().to_string()), ("ground", ground), ("wet", wet.to_owned())]);
        let first = log.clock(now).is_empty();
        Ok(Self { typed, first, grounds, shown_h, long: false, back: false })
    }

    fn text(&self, name: &str) -> &str {
        self.typed.text(name)
    }
}

/// `GET /rides/log`.
pub(super) async fn show(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let form = Form::fresh(&state, visit.bike()?)?;
    Ok(visit.show(HEAD, &page(&visit, &form)))
}

/// `POST /rides/log`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let form = Form { typed: Typed::posted(&posted), ..Form::fresh(&state, &bike)? };
    let save = async {
        match keep(&state, &bike, &posted, &form) {
            Ok(ride) => Redirect::to(&format!("/rides/logged/{ride}?saved=1")).into_response(),
            Err(Unkept::Store(why)) => Fault::from(why).into(),
            Err(Unkept::Not(Not::Failed(problem))) => Fault::from(problem).into(),
            Err(Unkept::Not(why)) => {
                let form = asked_back(form, why);
                visit.show_faults(HEAD, &page(&visit, &form))
            }
        }
    };
    Ok(state.once().run(&posted, save).await)
}

/// Why a ride is not kept: what was typed, or the store.
enum Unkept {
    Not(Not),
    Store(StoreError),
}

fn keep(state: &AppState, bike: &Bike, posted: &Posted, form: &Form) -> Result<i64, Unkept> {
    let own = form.text("other_ground").trim();
    let swap = (!form.text("swapped").is_empty()).then(|| [form.text("swap_old"), form.text("swap_new")]);
    let said = ride::Typed {
        at: Some(form.text("at")),
        hours: Some(form.text("hours")),
        meter: Some(form.text("meter")),
        start: Some(form.text("start")),
        swap,
        ground: Some(if own.is_empty() { form.text("ground") } else { own }),
        wet: (!form.text("wet").is_empty()).then(|| form.text("wet") == "wet"),
        odd: Some(form.text("odd")),
        note: Some(form.text("note")),
        long: !form.text("long").is_empty(),
        ..ride::Typed::default()
    };
    let now = state.came(posted.key());
    let mut garage = state.writing();
    let read = ride::read(&garage, bike, Door::default(), &said, now.datetime()).map_err(Unkept::Not)?;
    let post = posted.at(&now);
    match garage.store_mut().log_ride(&bike.id, &read.about, None, &read.entries, &post) {
        Ok(AddedRide::New(ride) | AddedRide::AlreadyThere { ride, .. }) => Ok(ride),
        Err(StoreError::Ride { field, given, possible }) => {
            let field = ["ground", "odd"].into_iter().find(|known| *known == field).unwrap_or("note");
            let text = format!("\"{given}\" is not kept; possible: {possible}.");
            Err(Unkept::Not(Not::Faulty(vec![Faulty { field, text }])))
        }
        Err(why) => Err(Unkept::Store(why)),
    }
}

/// The form with what has to be asked back.
fn asked_back(mut form: Form, why: Not) -> Form {
    match why {
        Not::Faulty(faults) => form.typed.take(faults),
        Not::Long(hours) => {
            form.long = true;
            form.typed
                .fault_at("long", format!("{hours} h is a long ride. Tick it if it is meant, or correct the hours."));
        }
        Not::WentBack(text) => {
            form.back = true;
            form.typed.fault_at(
                "meter",
                format!("{text} Swapped or a typo? Correct it, or say below that the meter was changed."),
            );
        }
        Not::Failed(problem) => form.typed.fault_at("note", problem.lines().join(" ")),
    }
    form
}

fn page(visit: &Visit, form: &Form) -> Markup {
    html! {
        (form.typed.not_saved())
        h1 { (HEAD.title) }
        form method="post" action="/rides/log" {
            (visit.form_key())
            (hours(form))
            (choice(&Choice {
                name: "wet",
                legend: "Wet or dry",
                hint: "",
                options: &[("dry", "Dry", ""), ("wet", "Wet", ""), ("", "Not noted", "")],
                chosen: form.text("wet"),
                fault: "",
            }))
            (ground(form))
            (choice(&Choice {
                name: "odd",
                legend: "Anything odd?",
                hint: "It opens an inspection before the next ride.",
                options: &odd_words(),
                chosen: form.text("odd"),
                fault: form.typed.fault("odd"),
            }))
            (details("Another day, a note", &html! {
                (day(form))
                (form.typed.field(Field::text("note", "Note").optional()))
            }))
            (actions(&html! { button type="submit" class="button primary" { "Save the ride" } }))
        }
    }
}

/// Hours or meter: one of them is enough; what was asked back stands with them.
fn hours(form: &Form) -> Markup {
    let shown = form.shown_h.map(|hours| format!("It shows {} h by what is recorded.", fixed(hours, 1)));
    let shown = shown.unwrap_or_else(|| "What the hour meter shows now.".to_owned());
    html! {
        div class="form-grid" {
            (form.typed.field(Field::decimal("hours", "Hours ridden", "h").hint("2:45, 2,75 or 2h45.").optional()))
            (form.typed.field(Field::decimal("meter", "Or the meter now", "h").hint(&shown).optional()))
        }
        @if form.first {
            (form.typed.field(Field::decimal("start", "Meter before this ride", "h").hint("Nothing is recorded yet: hours count from here on.").optional()))
        }
        @if form.long || !form.text("long").is_empty() {
            @if !form.typed.fault("long").is_empty() { p class="fault" id="long-fault" { span class="unseen" { "Error: " } (form.typed.fault("long")) } }
            (tick("long", "yes", "It was that long", !form.text("long").is_empty()))
        }
        @if form.back || !form.text("swapped").is_empty() { (swapped(form)) }
    }
}

fn swapped(form: &Form) -> Markup {
    let old = form.shown_h.map(short).unwrap_or_default();
    html! {
        fieldset class="field" {
            legend { "Was the meter changed?" }
            (tick("swapped", "yes", "Yes, it is another meter", !form.text("swapped").is_empty()))
            div class="form-grid" {
                (form.typed.field(Field::decimal("swap_old", "The old one showed last", "h").value(&old)))
                (form.typed.field(Field::decimal("swap_new", "The new one began at", "h").value("0")))
            }
        }
    }
}

fn ground(form: &Form) -> Markup {
    let mut options: Vec<(&str, &str)> = form
        .grounds
        .iter()
        .map(|word| (word.as_str(), named(word).map_or(word.as_str(), |ground| ground.name)))
        .collect();
    for ground in &GROUNDS {
        if !form.grounds.iter().any(|word| word == ground.word) {
            options.push((ground.word, ground.name));
        }
    }
    options.push(("", "not noted"));
    html! {
        (form.typed.select(Field::text("ground", "Ground"), &options))
        (details("A ground of your own", &html! {
            (form.typed.field(Field::text("other_ground", "Ground, in your word").optional()))
        }))
    }
}

fn odd_words() -> Vec<(&'static str, &'static str, &'static str)> {
    std::iter::once(("", "No", "")).chain(ODD.map(|word| (word, word, ""))).collect()
}

fn day(form: &Form) -> Markup {
    let fault = form.typed.fault("at");
    html! {
        div class={ "field" @if !fault.is_empty() { " faulty" } } {
            label for="at" { "Day" span class="optional" { " (optional)" } }
            @if !fault.is_empty() { p class="fault" id="at-fault" { span class="unseen" { "Error: " } (fault) } }
            input id="at" name="at" type="date" value=(form.text("at")) aria-invalid=[(!fault.is_empty()).then_some("true")]
                aria-describedby=[(!fault.is_empty()).then_some("at-fault")];
        }
    }
}

/// `GET /rides/logged/{id}`: what the ride leads to.
pub(super) async fn logged(
    visit: Visit,
    State(state): State<AppState>,
    Path(id): Path<i64>,
    typed: Typed,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let none = || Fault::not_found(format!("There is no ride {id} of this bike. Its rides are listed under Rides."));
    let (change, view) = {
        let garage = state.garage();
        let ride = garage.store().ride(id).ok().filter(|ride| ride.bike == bike.id).ok_or_else(none)?;
        let now = state.clock().now().datetime();
        let record = garage.record_at(&bike, now).map_err(Fault::from)?;
        let ridden = record.log.rides().iter().find(|one| one.id == id).ok_or_else(none)?;
        (ride.change, after_ride::view(&record, ridden))
    };
    let main = html! {
        h1 { "Ride logged" }
        @if typed.given("saved").is_some() { (changes::just_saved(&visit, change)) }
        @match &view {
            Ok(view) => {
                (answer::fact_list(&view.facts))
                @if view.measure {
                    (notice(&view.measure_words))
                    p class="buttons" { a class="button" href="/drive/measure/elongation" { "Measure chain, 5 min" } }
                }
                @if view.due.rows.is_empty() { p { "Nothing is due." } } @else { (answer::table_of(&view.due, |_| false)) }
            },
            Err(gap) => (answer::gap(gap)),
        }
        p class="buttons" {
            a class="button primary" href="/" { "Can I ride?" }
            a class="button" href={ "/rides/" (id) } { "This ride" }
        }
    };
    Ok(visit.show(Head::new("Ride logged", Place::Rides), &main))
}
