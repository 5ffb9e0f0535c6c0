//! The fewest sprockets that cover the rides of a season, and when a swap pays.

use advice::kit::{self, KitView};
use advice::rides::{Weighed, ground_of};
use advice::shelf::Shelf;
use advice::{Gap, Setup};
use maud::{Markup, html};
use store::Ride;
use upkeep::bike::Bike;

use super::kept::Brought;
use super::laid::{SHELF, with_track};
use super::question::Question;
use super::{ANSWER, Asked};
use crate::asked::Door;
use crate::frame::{Head, Place, actions};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// Rides that the figure takes at most.
const MOST: usize = 20;
/// The latest rides that are taken where none was chosen.
const USUAL: usize = 6;

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    rides: Vec<Ride>,
    chosen: Vec<store::RideId>,
    view: Option<Result<KitView, Gap>>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("Sprockets for a season", Place::Gearing);

    fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let mut question = Question::read(fitted, typed);
        let rides = with_track(state, bike);
        let chosen = chosen(&mut question, &rides);
        let mut door = Door::default();
        let shelf = door.shelf(question.text("shelf"));
        question.fault_all(door.faults);
        let view = if question.is_faulty() || chosen.is_empty() {
            None
        } else {
            covered(state, bike, &mut question, &chosen, &shelf)
        };
        Self { question, rides, chosen, view }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        super::said(self.view.as_ref(), |view| &view.headline)
    }

    fn answer(&self) -> Markup {
        super::answered(self.view.as_ref(), |view| {
            html! {
                p class="lead" { (view.headline) }
                p { "Every pair in it stands between the stops with an even chain; which one, the plan says." }
                (answer::blocks(view.blocks().get(2..).unwrap_or_default()))
            }
        })
    }

    fn page(&self, answer: &Markup) -> Markup {
        html! {
            @if self.rides.is_empty() {
                p { "No ride of this bike has a track yet. Bring in one for each kind of ground that the season has." }
                p class="buttons" { a class="button primary" href="/rides/import" { "Bring in rides" } }
            } @else {
                form method="get" action="/gearing/season" data-live=(ANSWER) { (form(self)) }
                (answer)
            }
        }
    }
}

/// The rides that were ticked, in calendar order; the latest ones where the address names none.
fn chosen(question: &mut Question, rides: &[Ride]) -> Vec<store::RideId> {
    let ticked: Vec<&str> = question.texts("season").collect();
    let mut chosen: Vec<&Ride> = if ticked.is_empty() && !question.is_asked() {
        rides.iter().take(USUAL).collect()
    } else {
        rides.iter().filter(|ride| ticked.contains(&ride.id.to_string().as_str())).collect()
    };
    chosen.sort_by_key(|ride| (ride.about.day, ride.id));
    let all = chosen.len();
    if all == 0 && !rides.is_empty() {
        let text = "No ride is ticked. Tick the rides that the season looks like.".to_owned();
        question.fault_at("season", text);
    } else if all > MOST {
        let text = format!("{all} rides are ticked; 1 to {MOST} are possible. Take one for each kind of ground.");
        question.fault_at("season", text);
    }
    chosen.into_iter().map(|ride| ride.id).collect()
}

fn covered(
    state: &AppState,
    bike: &Bike,
    question: &mut Question,
    chosen: &[store::RideId],
    shelf: &Shelf,
) -> Option<Result<KitView, Gap>> {
    let brought: Result<Vec<Brought>, String> = chosen.iter().map(|id| Brought::of(state, *id)).collect();
    match brought {
        Ok(brought) => {
            let weighed: Vec<Weighed<'_>> = brought
                .iter()
                .map(|one| {
                    let ground = ground_of(one.about.ground.as_deref(), None);
                    Weighed { ride: &one.ride, ground, weight: 1.0, age_d: None }
                })
                .collect();
            Some(kit::view(bike, &weighed, shelf))
        }
        Err(text) => {
            question.fault_at("season", text);
            None
        }
    }
}

fn form(known: &Known) -> Markup {
    let question = &known.question;
    let fault = question.fault("season");
    html! {
        fieldset class={ "field" @if !fault.is_empty() { " faulty" } } {
            legend { "The season looks like these rides" }
            @if !fault.is_empty() { p class="fault" id="season-fault" { span class="unseen" { "Error: " } (fault) } }
            @for (n, ride) in known.rides.iter().enumerate() {
                @let id = if n == 0 { "season".to_owned() } else { format!("season-{}", ride.id) };
                div class="option" {
                    input id=(id) type="checkbox" name="season" value=(ride.id) checked[known.chosen.contains(&ride.id)];
                    label for=(id) { (ride.about.name) ", " (ride.about.day) }
                }
            }
        }
        (question.typed().field(SHELF))
        (actions(&html! { button type="submit" class="button primary" { "Find the kit" } }))
    }
}
