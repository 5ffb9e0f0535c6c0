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
use maud::{Markup, html};
use store::Ride;
use upkeep::bike::Bike;

use super::Asked;
use super::kept::replayed;
use super::laid::{Laid, with_track};
use super::question::{Question, address};
use crate::frame::{self, Head, fold};
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// Everything that the page needs.
pub(super) struct Known {
    question: Question,
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

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("Which pair for this ground?", frame::Place::Gearing);

    fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let mut question = Question::read(fitted, typed);
        let rides = with_track(state, bike);
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

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        shown::said(self)
    }

    fn answer(&self) -> Markup {
        shown::answer(self)
    }

    /// The answer, and above it, folded, what else can be asked.
    fn page(&self, answer: &Markup) -> Markup {
        html! {
            (fold("Another pair, rides or ground", self.question.typed().is_faulty(), &form::form(self)))
            (answer)
        }
    }
}

impl Known {
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
