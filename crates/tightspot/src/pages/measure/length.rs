//! The chain's length over some pitches, at three places or more.

use advice::words::{headed, quantity};
use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::record::Fact;

use super::form;
use super::picture;
use crate::asked::{Door, Faulty};
use crate::frame::field::{Choice, Field, choice};
use crate::frame::{Head, Place};
use crate::noted::reading;
use crate::pages::cautions;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

const HEAD: Head<'static> = Head::new("Measure the chain's length", Place::Drive);
/// The fields of the readings: three are asked for; one alone is taken, and judged as one.
const NAMES: [&str; 5] = ["length_1", "length_2", "length_3", "length_4", "length_5"];
/// What is measured with: word, name, largest error, step.
const INSTRUMENTS: [(&str, &str, &str, &str); 3] = [
    ("calliper", "Caliper", "0.05", "0.01"),
    ("rule", "Steel rule or tape, read by eye", "0.5", "0.5"),
    ("fine", "Steel rule with half millimetres", "0.3", "0.5"),
];
/// Pitches where nothing else is typed.
const PITCHES: &str = "20";

/// `GET /drive/measure/elongation`.
pub(super) async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    Ok(visit.show(HEAD, &page(&visit, visit.bike()?, &typed)))
}

/// `POST /drive/measure/elongation`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    form::save(&visit, &state, &posted, HEAD, read, page).await
}

fn read(typed: &Typed) -> Result<Vec<Fact>, Vec<Faulty>> {
    let lengths = form::numbered(typed, &NAMES);
    let instrument = typed.text_or("instrument", "rule");
    let Some((.., error, step)) = INSTRUMENTS.iter().find(|(word, ..)| *word == instrument) else {
        let text = "Choose what it was measured with.".to_owned();
        return Err(vec![Faulty { field: "instrument", text }]);
    };
    let pitches = typed.text_or("pitches", PITCHES);
    let fact = reading::elongation(Door::default(), &reading::Elongation { lengths: &lengths, pitches, error, step })?;
    Ok(vec![fact])
}

fn page(visit: &Visit, bike: &Bike, typed: &Typed) -> Markup {
    let pitches = typed.text_or("pitches", PITCHES);
    let new = bike.number("pitch_mm").zip(pitches.trim().parse::<f64>().ok());
    let new = new.map(|(pitch, count)| {
        format!("A new chain reads {} over {pitches} pitches.", quantity(pitch * count, "mm", 1))
    });
    let how = html! {
        (cautions::by_hand())
        (picture::length())
        ol {
            li { "Chain clean; pull the run that you measure taut. A run that sags reads short." }
            li { "Measure from the edge of one pin to the same edge of another. Pitches are the gaps: 20 pitches are 21 pins." }
            li { "At 3 places evenly round the chain; the worst one counts. Not across the joint more than once." }
        }
        @if let Some(new) = &new { p { (new) } }
    };
    let options: Vec<(&str, &str, &str)> = INSTRUMENTS.iter().map(|(word, name, ..)| (*word, *name, "")).collect();
    let fields = html! {
        (typed.field(Field::whole("pitches", "Pitches counted", "").hint("Even; more pitches, less error. Left empty: 20.").value(PITCHES).optional()))
        fieldset class="field" {
            legend { (headed("Length at each place", "mm")) }
            div class="readings" {
                @for (at, name) in (1..).zip(&NAMES) {
                    @let label = format!("Place {at}");
                    (typed.field(Field { optional: at > 1, ..Field::decimal(name, &label, "mm") }))
                }
            }
            p class="hint" { "Read one place twice? Both with a slash: 319,4/319,5." }
        }
        (choice(&Choice {
            name: "instrument",
            legend: "Measured with",
            hint: "Its error goes into the verdict.",
            options: &options,
            chosen: typed.text_or("instrument", "rule"),
            fault: typed.fault("instrument"),
        }))
    };
    form::sheet(visit, typed, HEAD.title, "/drive/measure/elongation", &how, &fields)
}
