//! One stretch of a ride, marked from–to: gear held, rpm, thrust in reserve and shifts on each pair.

use advice::rides::{Weighed, ground_of};
use advice::stretch::{self, StretchView};
use advice::{Setup, Verdict, fit, gearing};
use maud::{Markup, html};
use store::Ride;
use upkeep::bike::Bike;

use super::kept::Brought;
use super::laid::{grounds, with_track};
use super::question::Question;
use super::{ANSWER, Asked};
use crate::asked::{self, Door};
use crate::frame::field::Field;
use crate::frame::{Head, Place, actions};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// Begin and end of a stretch.
pub(in crate::pages) const FROM_TO: [Field<'static>; 2] = [
    Field::text("from_s", "From").hint("Minutes:seconds, such as 4:20."),
    Field::text("to_s", "To").hint("Minutes:seconds, such as 7:05."),
];

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    rides: Vec<Ride>,
    /// The ride that was marked.
    ride: Option<store::RideId>,
    view: Option<StretchView>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("A stretch of a ride", Place::Gearing);

    fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let mut question = Question::read(fitted, typed);
        let rides = with_track(state, bike);
        let ride = ride_of(&mut question, &rides);
        let view = ride.and_then(|id| seen(state, bike, &mut question, id));
        Self { question, rides, ride, view }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        self.view.as_ref().and_then(|view| view.findings.first()).cloned().unwrap_or_default()
    }

    fn answer(&self) -> Markup {
        match &self.view {
            Some(view) => shown(view),
            None => html! {
                p { "Give begin and end of the stretch, as minutes:seconds of the ride: the whoops, the climb, the fire road." }
            },
        }
    }

    fn page(&self, answer: &Markup) -> Markup {
        html! {
            @if self.rides.is_empty() {
                p { "No ride of this bike has a track yet." }
                p class="buttons" { a class="button primary" href="/rides/import" { "Bring in rides" } }
            } @else {
                (form(self))
                (answer)
            }
            p class="buttons" {
                @if let Some(id) = self.ride { a class="button small" href={ "/rides/" (id) } { "The ride" } }
                a class="button small" href="/gearing" { "Which pair for this ground?" }
            }
        }
    }
}

fn ride_of(question: &mut Question, rides: &[Ride]) -> Option<store::RideId> {
    let Some(text) = question.text("ride").map(str::trim).filter(|text| !text.is_empty()) else {
        return rides.first().map(|ride| ride.id);
    };
    let found = text.parse().ok().filter(|id| rides.iter().any(|ride| ride.id == *id));
    if found.is_none() {
        let text = format!("\"{text}\" is none of this bike's rides with a track. Choose one from the list.");
        question.fault_at("ride", text);
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
    let brought = Brought::of(state, id).map_err(|text| question.fault_at("ride", text)).ok()?;
    let ground = ground_of(brought.about.ground.as_deref(), ground.and_then(Result::ok));
    let weighed = Weighed { ride: &brought.ride, ground, weight: 1.0, age_d: None };
    if question.is_faulty() {
        return None;
    }
    match stretch::view(bike, &weighed, [from_s?, to_s?], &setups) {
        Ok(view) => Some(view),
        Err(gap) => {
            let field = if gap.field == "to_s" { "to_s" } else { "from_s" };
            question.fault_at(field, gap.text);
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

fn form(known: &Known) -> Markup {
    let typed = known.question.typed();
    let ids: Vec<String> = known.rides.iter().map(|ride| ride.id.to_string()).collect();
    let rides: Vec<(&str, &str)> =
        ids.iter().zip(&known.rides).map(|(id, ride)| (id.as_str(), ride.about.name.as_str())).collect();
    let chosen = known.ride.map(|id| id.to_string()).unwrap_or_default();
    let pairs =
        Field::text("pairs", "Pairs").hint("Such as 13/48, 14/50. Left empty, one and two teeth from what is fitted.");
    html! {
        form method="get" action="/gearing/stretch" data-live=(ANSWER) {
            div class="form-grid" {
                (typed.select(Field::text("ride", "Ride").value(&chosen), &rides))
                (typed.select(Field::text("ground", "Ground"), &grounds()))
                @for field in FROM_TO { (typed.field(field)) }
            }
            (typed.field(pairs.optional()))
            (actions(&html! { button type="submit" class="button primary" { "Look at the stretch" } }))
        }
    }
}
