//! The ride just ridden: one page, four facts, everything preset as last time; and what it leads to.

use advice::ground::GROUNDS;
use advice::record::after_ride;
use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{AddedRide, ODD, Post, StoreError};
use upkeep::bike::Bike;

use crate::asked::{Door, Faulty};
use crate::frame::field::{self, Choice, Field, choice, fault_summary, field, select, tick};
use crate::frame::notice::{notice, saved};
use crate::frame::number::{fixed, short};
use crate::frame::{Head, Place, actions, details};
use crate::noted::ride::{self, Not, Typed};
use crate::pages::bike::sentence;
use crate::pages::{answer, changes};
use crate::serve::{AppState, Fault, Posted, Visit};

const HEAD: Head<'static> = Head::new("Log a ride", Place::Rides);
/// The texts of the form, by name.
const TEXTS: [&str; 13] = [
    "at",
    "hours",
    "meter",
    "start",
    "swapped",
    "swap_old",
    "swap_new",
    "ground",
    "other_ground",
    "wet",
    "odd",
    "note",
    "long",
];

/// What the form holds: texts as typed, faults, and which further questions it has to ask.
struct Form {
    texts: Vec<(&'static str, String)>,
    faults: Vec<Faulty>,
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
        let broken = |cause: StoreError| Fault::broken(&cause);
        let garage = state.garage();
        let rides = garage.rides(&bike.id).map_err(broken)?;
        let log = garage.log(&bike.id).map_err(broken)?.until(now);
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
        let texts = vec![
            ("at", now.date().to_string()),
            ("ground", grounds.first().cloned().unwrap_or_default()),
            ("wet", wet.to_owned()),
        ];
        let first = log.clock(now).is_empty();
        Ok(Self { texts, faults: Vec::new(), first, grounds, shown_h, long: false, back: false })
    }

    fn text(&self, name: &str) -> &str {
        self.texts.iter().find(|(known, _)| *known == name).map_or("", |(_, text)| text.as_str())
    }

    fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }

    fn fault_at(&mut self, field: &'static str, text: String) {
        self.faults.push(Faulty { field, text });
    }
}

/// `GET /rides/log`.
pub(super) async fn show(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let form = Form::fresh(&state, visit.bike()?).map_err(|fault| fault.into_response())?;
    Ok(visit.show(HEAD, &page(&visit, &form)))
}

/// `POST /rides/log`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let mut form = Form::fresh(&state, &bike).map_err(|fault| fault.into_response())?;
    form.texts = TEXTS.map(|name| (name, posted.text(name).to_owned())).to_vec();
    let save = async {
        match keep(&state, &bike, &posted, &form) {
            Ok(ride) => Redirect::to(&format!("/rides/logged/{ride}?saved=1")).into_response(),
            Err(Unkept::Store(why)) => Fault::of_store(&why).into_response(),
            Err(Unkept::Not(Not::Failed(problem))) => Fault::broken(&problem.lines().join(" ")).into_response(),
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
    let typed = Typed {
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
        ..Typed::default()
    };
    let now = state.came(posted.key());
    let mut garage = state.garage();
    let read = ride::read(&garage, bike, Door::default(), &typed, now.datetime()).map_err(Unkept::Not)?;
    let post = Post { now: now.timestamp(), key: Some(posted.key()) };
    match garage.store_mut().log_ride(&bike.id, &read.about, None, &read.entries, &post) {
        Ok(AddedRide::New(ride) | AddedRide::AlreadyThere { ride, .. }) => Ok(ride),
        Err(StoreError::Ride { field, given, possible }) => {
            let field = TEXTS.into_iter().find(|known| *known == field).unwrap_or("note");
            let text = format!("\"{given}\" is not kept; possible: {possible}.");
            Err(Unkept::Not(Not::Faulty(vec![Faulty { field, text }])))
        }
        Err(why) => Err(Unkept::Store(why)),
    }
}

/// The form with what has to be asked back.
fn asked_back(mut form: Form, why: Not) -> Form {
    match why {
        Not::Faulty(faults) => {
            let told = |fault: Faulty| Faulty { field: fault.field, text: sentence(fault.field, &fault.text) };
            form.faults = faults.into_iter().map(told).collect();
        }
        Not::Long(hours) => {
            form.long = true;
            form.fault_at("long", format!("{hours} h is a long ride. Tick it if it is meant, or correct the hours."));
        }
        Not::WentBack(text) => {
            form.back = true;
            form.fault_at(
                "meter",
                format!("{text} Swapped or a typo? Correct it, or say below that the meter was changed."),
            );
        }
        Not::Failed(problem) => form.fault_at("note", problem.lines().join(" ")),
    }
    form
}

fn page(visit: &Visit, form: &Form) -> Markup {
    let faults: Vec<field::Fault<'_>> =
        form.faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect();
    html! {
        (fault_summary(&faults))
        h1 { "Log a ride" }
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
                fault: form.fault("odd"),
            }))
            (details("Another day, a note", &html! {
                (day(form))
                (field(&Field::text("note", "Note").value(form.text("note")).fault(form.fault("note")).optional()))
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
            (field(&Field::decimal("hours", "Hours ridden", "h").hint("2:45, 2,75 or 2h45.").value(form.text("hours")).fault(form.fault("hours")).optional()))
            (field(&Field::decimal("meter", "Or the meter now", "h").hint(&shown).value(form.text("meter")).fault(form.fault("meter")).optional()))
        }
        @if form.first {
            (field(&Field::decimal("start", "Meter before this ride", "h").hint("Nothing is recorded yet: hours count from here on.").value(form.text("start")).fault(form.fault("start")).optional()))
        }
        @if form.long || !form.text("long").is_empty() {
            @if !form.fault("long").is_empty() { p class="fault" id="long-fault" { span class="unseen" { "Error: " } (form.fault("long")) } }
            (tick("long", "yes", "It was that long", !form.text("long").is_empty()))
        }
        @if form.back || !form.text("swapped").is_empty() { (swapped(form)) }
    }
}

fn swapped(form: &Form) -> Markup {
    let old = match form.text("swap_old") {
        "" => form.shown_h.map(short).unwrap_or_default(),
        typed => typed.to_owned(),
    };
    let new = if form.text("swap_new").is_empty() { "0" } else { form.text("swap_new") };
    html! {
        fieldset class="field" {
            legend { "Was the meter changed?" }
            (tick("swapped", "yes", "Yes, it is another meter", !form.text("swapped").is_empty()))
            div class="form-grid" {
                (field(&Field::decimal("swap_old", "The old one showed last", "h").value(&old).fault(form.fault("swap_old"))))
                (field(&Field::decimal("swap_new", "The new one began at", "h").value(new).fault(form.fault("swap_new"))))
            }
        }
    }
}

fn ground(form: &Form) -> Markup {
    let mut options: Vec<(&str, &str)> = form.grounds.iter().map(|word| (word.as_str(), word.as_str())).collect();
    for ground in &GROUNDS {
        if !form.grounds.iter().any(|word| word == ground.word) {
            options.push((ground.word, ground.name));
        }
    }
    options.push(("", "not noted"));
    html! {
        (select(&Field::text("ground", "Ground").value(form.text("ground")).fault(form.fault("ground")), &options))
        (details("A ground of your own", &html! {
            (field(&Field::text("other_ground", "Ground, in your word").value(form.text("other_ground")).optional()))
        }))
    }
}

fn odd_words() -> Vec<(&'static str, &'static str, &'static str)> {
    std::iter::once(("", "No", "")).chain(ODD.map(|word| (word, word, ""))).collect()
}

fn day(form: &Form) -> Markup {
    let fault = form.fault("at");
    html! {
        div class={ "field" @if !fault.is_empty() { " faulty" } } {
            label for="at" { "Day" }
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
    query: axum::extract::RawQuery,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let none = || {
        Fault::not_found(format!("There is no ride {id} of this bike. Its rides are listed under Rides."))
            .into_response()
    };
    let (change, view) = {
        let garage = state.garage();
        let ride = garage.store().ride(id).ok().filter(|ride| ride.bike == bike.id).ok_or_else(none)?;
        let now = state.clock().now().datetime();
        let record =
            garage.record_at(&bike, now).map_err(|why| Fault::broken(&why.lines().join(" ")).into_response())?;
        let ridden = record.log.rides().iter().find(|one| one.id == id).ok_or_else(none)?;
        (ride.change, after_ride::view(&record, ridden))
    };
    let just_now = query.0.is_some_and(|query| query.contains("saved=1"));
    let main = html! {
        h1 { "Ride logged" }
        @if just_now { (saved("Saved.", &changes::button(&visit, change, "Undo", "just-now"))) }
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
