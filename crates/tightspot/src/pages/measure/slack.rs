//! Slack: at 4 places in three minutes, or at 12 to find a tight spot and what causes it.

use advice::words::headed;
use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::record::Fact;

use super::form;
use super::picture;
use crate::asked::{Door, Faulty};
use crate::frame::field::{Choice, Field, choice};
use crate::frame::{Head, Place, details};
use crate::noted::reading;
use crate::pages::cautions;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

const HEAD: Head<'static> = Head::new("Measure slack", Place::Drive);
/// The fields of the readings.
const NAMES: [&str; 12] = [
    "slack_1", "slack_2", "slack_3", "slack_4", "slack_5", "slack_6", "slack_7", "slack_8", "slack_9", "slack_10",
    "slack_11", "slack_12",
];
/// Places of the quick reading.
const QUICK: usize = 4;

/// `GET /drive/measure/slack`.
pub(super) async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    Ok(visit.show(HEAD, &page(&visit, visit.bike()?, &typed)))
}

/// `POST /drive/measure/slack`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    form::save(&visit, &state, &posted, HEAD, read, page).await
}

fn places(typed: &Typed) -> usize {
    if typed.text("places") == "12" { NAMES.len() } else { QUICK }
}

fn read(typed: &Typed) -> Result<Vec<Fact>, Vec<Faulty>> {
    let readings = form::numbered(typed, &NAMES[..places(typed)]);
    let station = Some(typed.text("station"));
    let step_links = Some(typed.text("step_links")).filter(|_| readings.len() > 1);
    let (state, kind) = (typed.text_or("state", "stand"), typed.text_or("kind", "free"));
    let fact =
        reading::slack(Door::default(), &reading::Slack { readings: &readings, step_links, station, state, kind })?;
    Ok(vec![fact])
}

fn page(visit: &Visit, bike: &Bike, typed: &Typed) -> Markup {
    let places = places(typed);
    let kind = typed.text_or("kind", bike.word("slack_kind").unwrap_or("free"));
    let quarter = bike.whole("rear_teeth").map(|teeth| crate::frame::number::short(f64::from(teeth) / 4.0));
    let step = quarter.as_deref().unwrap_or_default();
    let how = html! {
        (cautions::by_hand())
        (picture::slack(kind))
        ol {
            li { "Bike on the stand, wheel hanging, out of gear. Mark a link, and turn the wheel by hand." }
            li { "Midway along the lower run push the chain fully down, then fully up, square to the run: the whole way is the reading. A taut chain reads 0." }
            @if places == QUICK {
                li { "Read, turn the wheel a quarter turn, read again: 4 readings." }
            } @else {
                li { "Read, turn a quarter turn, read again: 12 readings are three turns, once round a chain of this length." }
            }
        }
        p class="buttons" {
            @if places == QUICK { a class="button small" href="/drive/measure/slack?places=12" { "12 places instead: find a tight spot" } }
            @else { a class="button small" href="/drive/measure/slack" { "Quick: 4 places, 3 min" } }
        }
    };
    let fields = html! {
        input type="hidden" name="places" value=(places);
        fieldset class="field" {
            legend { (headed("Slack at each place", "mm")) }
            div class="readings" {
                @for (at, name) in (1..).zip(&NAMES[..places]) {
                    @let label = format!("Place {at}");
                    (typed.field(Field::decimal(name, &label, "mm")))
                }
            }
            p class="hint" { "One place alone is a reading too: leave the others empty." }
        }
        (choice(&Choice {
            name: "kind",
            legend: "How it was read",
            hint: "The two kinds are never turned into one another.",
            options: &[("free", "Fully down to fully up", "the whole way of the lower run"), ("gap", "Gap to the swingarm", "the lifted chain, at the sheet's place")],
            chosen: kind,
            fault: typed.fault("kind"),
        }))
        (details("Read in another way", &html! {
            (choice(&Choice {
                name: "state",
                legend: "How the bike stood",
                hint: "Only a reading on the stand is judged.",
                options: &[("stand", "On the stand", ""), ("wheels on the ground", "On its wheels", ""), ("rider on", "With its rider", ""), ("in line", "Countershaft, pivot and axle in line", "")],
                chosen: typed.text_or("state", "stand"),
                fault: typed.fault("state"),
            }))
            (typed.field(Field::decimal("step_links", "Links gone by between two places", "").hint("A quarter turn is a quarter of the rear teeth; emptied, not counted.").value(step).optional()))
            (typed.field(Field::decimal("station", "Place along the run", "").hint("0.5 is the middle.").value("0.5").optional()))
        }))
    };
    form::sheet(visit, typed, HEAD.title, "/drive/measure/slack", &how, &fields)
}
