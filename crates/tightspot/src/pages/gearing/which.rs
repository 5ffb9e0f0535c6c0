//! "Which pair for this ground?": what to run on a ride's ground, what another pair would do, and the gears.
//!
//! Layout: here the asking · [`form`] what can be asked · [`shown`] the answer.

mod form;
mod shown;

use std::sync::Arc;

use advice::demand::{self, Demand};
use advice::fit::{Place, Slot};
use advice::gearing::{self, Gear, GearingView, Swap};
use advice::{Fact, Gap, Setup};
use maud::Markup;
use store::Ride;
use upkeep::bike::Bike;

use super::ANSWER;
use super::kept::replayed;
use super::laid::Laid;
use super::question::{Question, address};
use crate::frame::live_part;
use crate::serve::AppState;

pub(super) use form::page;

/// Everything that the page needs.
pub(super) struct Known {
    /// What was asked.
    pub(super) question: Question,
    rides: Vec<Ride>,
    laid: Laid,
    main: Result<Arc<GearingView>, Gap>,
    /// What a tooth changes, where nothing more is known.
    swaps: Vec<Swap>,
    other: Option<Other>,
    /// Where the axle stands with what is fitted.
    room: Option<Place>,
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
    pub(super) fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Vec<(String, String)>) -> Self {
        let mut question = Question::read(fitted, typed);
        let rides = state.garage().rides(&bike.id).unwrap_or_default();
        let rides: Vec<Ride> = rides.iter().filter(|ride| ride.has_track).cloned().collect();
        let laid = Laid::asked(state, &mut question, &rides);
        let slot = Slot::of(bike).ok();
        let main = replayed(state, bike, &laid);
        // Ratios need no gearbox on the sheet: they are what is left when the rest cannot be answered.
        let swaps = match &main {
            Ok(_) => Vec::new(),
            Err(_) => gearing::swaps(fitted, slot.as_ref()).unwrap_or_default(),
        };
        let other = other(bike, &mut question, slot.as_ref(), &laid);
        let proposed = main.as_ref().ok().and_then(|view| view.proposal.as_ref());
        let place = proposed.zip(slot.as_ref()).and_then(|(proposal, slot)| slot.place(proposal.setup).ok());
        let room = slot.as_ref().and_then(|slot| slot.place(fitted).ok());
        Self { question, rides, laid, main, swaps, other, room, place }
    }

    /// The address of this page about another pair, the rest as it was asked.
    fn address(&self, setup: Setup) -> String {
        format!("{}{}", address("/gearing", setup), self.question.rest())
    }
}

/// The pair asked about, if it is another one than what is fitted.
fn other(bike: &Bike, question: &mut Question, slot: Option<&Slot>, laid: &Laid) -> Option<Other> {
    let (fitted, setup) = (question.fitted, question.setup);
    if setup == fitted || question.first_fault().is_some() {
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
    let demand = laid.joined().and_then(|ride| demand::of(bike, &ride, setup).ok());
    Some(Other { setup, swap, gears, facts, demand })
}

/// The answer part.
pub(super) fn part(known: &Known) -> Markup {
    let question = &known.question;
    if let Some(fault) = question.first_fault() {
        return live_part(ANSWER, fault, &question.faults_in_part());
    }
    live_part(ANSWER, &shown::said(known), &shown::answer(known))
}
