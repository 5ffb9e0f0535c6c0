//! "Which pair for this ground?": what to run on a ride's ground, what another pair would do, and the gears.
//!
//! Layout: here the asking and the form · [`shown`] the answer.

mod shown;

use std::sync::Arc;

use advice::demand::{self, Demand};
use advice::fit::{Place, Slot};
use advice::gearing::{self, Gear, GearingView, Swap};
use advice::ground::{self, GROUNDS, Ground};
use advice::{Fact, Gap, Setup};
use maud::{Markup, html};
use store::{Ride, RideId};
use upkeep::bike::Bike;

use super::ANSWER;
use super::kept::{Brought, replayed};
use super::question::{Question, address};
use crate::asked::{self, Faulty};
use crate::frame::field::{Field, select};
use crate::frame::{actions, live_part};
use crate::serve::AppState;

/// The word for "without a ride" in the address.
const NO_RIDE: &str = "none";

/// Everything that the page needs.
pub(super) struct Known {
    /// What was asked.
    pub(super) question: Question,
    rides: Vec<Ride>,
    ride: Option<Brought>,
    ground: Ground,
    main: Result<Arc<GearingView>, Gap>,
    /// What a tooth changes, where nothing more is known.
    swaps: Vec<Swap>,
    other: Option<Other>,
    /// Where the proposed pair would put the axle.
    place: Option<Place>,
}

/// Another pair than the fitted one, asked about.
struct Other {
    setup: Setup,
    swap: Swap,
    gears: Vec<Gear>,
    facts: Vec<Fact>,
    demand: Option<Demand>,
}

impl Known {
    /// Reads the question and asks for everything that it needs.
    pub(super) fn ask(state: &AppState, bike: Bike, fitted: Setup, typed: Vec<(String, String)>) -> Self {
        let mut question = Question::read(fitted, typed);
        let rides = state.garage().store().rides(&bike.id).unwrap_or_default();
        let rides: Vec<Ride> = rides.into_iter().filter(|ride| ride.has_track).collect();
        let chosen = chosen_ride(&mut question, &rides);
        let ride = chosen.and_then(|id| match Brought::of(state, id) {
            Ok(ride) => Some(ride),
            Err(text) => {
                question.faults.push(Faulty { field: "ride", text });
                None
            }
        });
        let ground = chosen_ground(&mut question, rides.iter().find(|ride| Some(ride.id) == chosen));
        let slot = Slot::of(&bike).ok();
        let main = replayed(&bike, ride.as_ref(), ground);
        // Ratios need no gearbox on the sheet: they are what is left when the rest cannot be answered.
        let swaps = match &main {
            Ok(_) => Vec::new(),
            Err(_) => gearing::swaps(fitted, slot.as_ref()).unwrap_or_default(),
        };
        let other = other(&bike, &mut question, slot.as_ref(), ride.as_ref());
        let proposed = main.as_ref().ok().and_then(|view| view.proposal.as_ref());
        let place = proposed.zip(slot.as_ref()).and_then(|(proposal, slot)| slot.place(proposal.setup).ok());
        Self { question, rides, ride, ground, main, swaps, other, place }
    }

    /// The address of this page about another pair, with ride and ground as they are.
    fn address(&self, setup: Setup) -> String {
        format!("{}&ride={}&ground={}", address("/gearing", setup), self.ride_word(), self.ground.word)
    }

    fn ride_word(&self) -> String {
        self.ride.as_ref().map_or_else(|| NO_RIDE.to_owned(), |ride| ride.id.to_string())
    }
}

/// The ride asked for; the newest where the address says nothing of rides.
fn chosen_ride(question: &mut Question, rides: &[Ride]) -> Option<RideId> {
    let Some(text) = question.text("ride").map(str::trim) else { return rides.first().map(|ride| ride.id) };
    if text.is_empty() || text == NO_RIDE {
        return None;
    }
    let found = text.parse().ok().filter(|id| rides.iter().any(|ride| ride.id == *id));
    if found.is_none() {
        let text = format!("\"{text}\" is none of this bike's rides with a track. Choose one from the list, or none.");
        question.faults.push(Faulty { field: "ride", text });
    }
    found
}

/// The ground asked for; else the one the ride was logged with; else the usual one.
fn chosen_ground(question: &mut Question, ride: Option<&Ride>) -> Ground {
    let logged = ride.and_then(|ride| ground::named(ride.about.ground.as_deref()?));
    let typed = question.text("ground").filter(|word| !word.trim().is_empty());
    match (typed, logged) {
        (None, Some(logged)) => logged,
        (typed, _) => asked::ground(typed).unwrap_or_else(|faults| {
            question.fault_all(faults);
            ground::USUAL
        }),
    }
}

/// The pair asked about, if it is another one than what is fitted.
fn other(bike: &Bike, question: &mut Question, slot: Option<&Slot>, ride: Option<&Brought>) -> Option<Other> {
    let (fitted, setup) = (question.fitted, question.setup);
    if setup == fitted || !question.faults.is_empty() {
        return None;
    }
    if let Some(Err(gap)) = slot.map(|slot| slot.place(setup))
        && question.takes(&gap)
    {
        return None;
    }
    let swap = match gearing::swap(fitted, setup, slot) {
        Ok(swap) => swap,
        Err(gap) => {
            question.takes(&gap);
            return None;
        }
    };
    let gears = gearing::gears(bike, setup).unwrap_or_default();
    let facts = gearing::facts(bike, setup, &gears).unwrap_or_default();
    let demand = ride.and_then(|ride| demand::of(bike, &ride.ride, setup).ok());
    Some(Other { setup, swap, gears, facts, demand })
}

/// The answer part.
pub(super) fn part(known: &Known) -> Markup {
    let question = &known.question;
    if let Some(fault) = question.faults.first() {
        return live_part(ANSWER, &fault.text, &question.faults_in_part());
    }
    live_part(ANSWER, &shown::said(known), &shown::answer(known))
}

/// The page: the answer, and above it, folded, what else can be asked.
pub(super) fn page(known: &Known, part: &Markup) -> Markup {
    let question = &known.question;
    html! {
        h1 { "Which pair for this ground?" }
        (question.summary())
        details class="more" open[question.is_asked()] {
            summary { "Another pair, ride or ground" }
            div class="more-in" { (form(known)) }
        }
        (part)
    }
}

fn form(known: &Known) -> Markup {
    let question = &known.question;
    let ids: Vec<String> = known.rides.iter().map(|ride| ride.id.to_string()).collect();
    let mut rides: Vec<(&str, &str)> =
        ids.iter().zip(&known.rides).map(|(id, ride)| (id.as_str(), ride.about.name.as_str())).collect();
    rides.push((NO_RIDE, "none: the gears alone"));
    let ride = known.ride_word();
    let grounds = GROUNDS.map(|ground| (ground.word, ground.name));
    html! {
        form method="get" action="/gearing" data-live=(ANSWER) {
            (question.counts())
            div class="form-grid" {
                (select(&Field::text("ride", "Ride to lay against the gears").value(&ride).fault(question.fault("ride")), &rides))
                (select(&Field::text("ground", "Ground").value(known.ground.word).fault(question.fault("ground")), &grounds))
            }
            (actions(&html! { button type="submit" class="button primary" { "Ask" } }))
        }
    }
}
