//! One stretch of a ride, marked from–to: gear held, rpm, thrust in reserve and shifts on each pair.

use advice::rides::{Weighed, ground_of};
use advice::stretch::{self, StretchView};
use advice::{Setup, Verdict, fit, gearing};
use maud::{Markup, html};
use store::Ride;
use upkeep::bike::Bike;

use super::ANSWER;
use super::kept::Brought;
use super::laid::grounds;
use super::question::Question;
use crate::asked::{self, Door, Faulty};
use crate::frame::field::{Field, field, select};
use crate::frame::{actions, live_part};
use crate::pages::answer;
use crate::serve::AppState;

/// What was asked, and what came of it.
pub(super) struct Known {
    /// What was asked.
    pub(super) question: Question,
    rides: Vec<Ride>,
    /// The ride that was marked.
    ride: Option<store::RideId>,
    view: Option<StretchView>,
}

impl Known {
    /// Reads the mark and asks.
    pub(super) fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Vec<(String, String)>) -> Self {
        let mut question = Question::read(fitted, typed);
        let rides = state.garage().rides(&bike.id).unwrap_or_default();
        let rides: Vec<Ride> = rides.iter().filter(|ride| ride.has_track).cloned().collect();
        let ride = ride_of(&mut question, &rides);
        let view = ride.and_then(|id| seen(state, bike, &mut question, id));
        Self { question, rides, ride, view }
    }
}

fn ride_of(question: &mut Question, rides: &[Ride]) -> Option<store::RideId> {
    let Some(text) = question.text("ride").map(str::trim).filter(|text| !text.is_empty()) else {
        return rides.first().map(|ride| ride.id);
    };
    let found = text.parse().ok().filter(|id| rides.iter().any(|ride| ride.id == *id));
    if found.is_none() {
        let text = format!("\"{text}\" is none of this bike's rides with a track. Choose one from the list.");
        question.faults.push(Faulty { field: "ride", text });
    }
    found
}

/// The stretch, where it is marked.
fn seen(state: &AppState, bike: &Bike, question: &mut Question, id: store::RideId) -> Option<StretchView> {
    let text = |question: &Question, name: &str| question.text(name).unwrap_or_default().trim().to_owned();
    let (from, to) = (text(question, "from_s"), text(question, "to_s"));
    if from.is_empty() && to.is_empty() {
        return None;
    }
    let mut door = Door::default();
    let (from_s, to_s) = (door.clock("from_s", &from), door.clock("to_s", &to));
    let setups = setups(bike, question, &mut door);
    question.fault_all(door.faults);
    let word = text(question, "ground");
    let ground = (!word.is_empty()).then(|| asked::ground(Some(&word)).map_err(|faults| question.fault_all(faults)));
    let brought = Brought::of(state, id).map_err(|text| question.faults.push(Faulty { field: "ride", text })).ok()?;
    let ground = ground_of(brought.about.ground.as_deref(), ground.and_then(Result::ok));
    let weighed = Weighed { ride: &brought.ride, ground, weight: 1.0, age_d: None };
    if question.first_fault().is_some() {
        return None;
    }
    match stretch::view(bike, &weighed, [from_s?, to_s?], &setups) {
        Ok(view) => Some(view),
        Err(gap) => {
            let field = if gap.field == "to_s" { "to_s" } else { "from_s" };
            question.faults.push(Faulty { field, text: gap.text });
            None
        }
    }
}

/// The pairs to compare: those typed, else one and two teeth from what is fitted, where they fit.
fn setups(bike: &Bike, question: &Question, door: &mut Door) -> Vec<Setup> {
    let mut all = vec![question.fitted];
    let typed = question.text("pairs").unwrap_or_default();
    for pair in typed.split([',', ';', ' ']).filter(|pair| !pair.is_empty()) {
        let setup = door.setup(question.fitted, Some(pair), None);
        if !all.iter().any(|known| known.same_pair(setup)) {
            all.push(setup);
        }
    }
    for fault in &mut door.faults {
        if ["pair", "front_teeth", "rear_teeth"].contains(&fault.field) {
            fault.field = "pairs";
        }
    }
    if typed.trim().is_empty() {
        let slot = fit::Slot::of(bike).ok();
        let swaps = gearing::swaps(question.fitted, slot.as_ref()).unwrap_or_default();
        all.extend(swaps.iter().filter(|swap| swap.fit < Verdict::Stop).map(|swap| swap.setup));
    }
    all
}

/// The answer part.
pub(super) fn part(known: &Known) -> Markup {
    let question = &known.question;
    if let Some(fault) = question.first_fault() {
        return live_part(ANSWER, fault, &question.faults_in_part());
    }
    match &known.view {
        Some(view) => {
            let said = view.findings.first().map_or("", String::as_str);
            live_part(ANSWER, said, &shown(view))
        }
        None => live_part(
            ANSWER,
            "",
            &html! {
                p { "Give begin and end of the stretch, as minutes:seconds of the ride: the whoops, the climb, the fire road." }
            },
        ),
    }
}

fn shown(view: &StretchView) -> Markup {
    let fitted = view.pairs.first().map(|pair| pair.setup.pair_words()).unwrap_or_default();
    html! {
        @for block in view.blocks().iter().filter(|block| !matches!(block, advice::Block::Table(_))).take(3) {
            (answer::one(block))
        }
        (answer::table_of(&view.table, |pair| pair == fitted))
        p { "Any pair is usable only after its fit: " a href="/gearing/map" { "what fits" } "." }
        ul class="list" { @for note in &view.notes { li { (note) } } }
    }
}

/// The page around the answer.
pub(super) fn page(known: &Known, part: &Markup) -> Markup {
    let question = &known.question;
    html! {
        h1 { "A stretch of a ride" }
        (question.summary())
        @if known.rides.is_empty() {
            p { "No ride of this bike has a track yet." }
            p class="buttons" { a class="button primary" href="/rides/import" { "Bring in rides" } }
        } @else {
            (form(known))
            (part)
        }
        p class="buttons" {
            @if let Some(id) = known.ride { a class="button small" href={ "/rides/" (id) } { "The ride" } }
            a class="button small" href="/gearing" { "Which pair for this ground?" }
        }
    }
}

fn form(known: &Known) -> Markup {
    let question = &known.question;
    let text = |name: &str| question.text(name).unwrap_or_default();
    let ids: Vec<String> = known.rides.iter().map(|ride| ride.id.to_string()).collect();
    let rides: Vec<(&str, &str)> =
        ids.iter().zip(&known.rides).map(|(id, ride)| (id.as_str(), ride.about.name.as_str())).collect();
    let chosen = known.ride.map(|id| id.to_string()).unwrap_or_default();
    let (from, to) = (Field::text("from_s", "From"), Field::text("to_s", "To"));
    let clock = "Minutes:seconds, such as 4:20.";
    let pairs = Field::text("pairs", "Pairs")
        .hint("Such as 13/48, 14/50. Left empty, one and two teeth from what is fitted.")
        .value(text("pairs"))
        .fault(question.fault("pairs"));
    html! {
        form method="get" action="/gearing/stretch" data-live=(ANSWER) {
            div class="form-grid" {
                (select(&Field::text("ride", "Ride").value(&chosen).fault(question.fault("ride")), &rides))
                (select(&Field::text("ground", "Ground").value(text("ground")).fault(question.fault("ground")), &grounds()))
                (field(&from.hint(clock).value(text("from_s")).fault(question.fault("from_s"))))
                (field(&to.hint(clock).value(text("to_s")).fault(question.fault("to_s"))))
            }
            (field(&pairs.optional()))
            (actions(&html! { button type="submit" class="button primary" { "Look at the stretch" } }))
        }
    }
}
