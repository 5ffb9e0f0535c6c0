//! What can be asked about pairs: another pair, which rides and how often each counts, ground, shelf, weights.

use advice::cost::COSTS;
use advice::words::number;
use maud::{Markup, html};

use super::Known;
use crate::frame::field::{Field, Keys, Room, field, select};
use crate::frame::{actions, details, fold};
use crate::pages::gearing::laid::{NO_RIDE, SEVERAL, SHELF, grounds, weight_name};
use crate::pages::gearing::{ANSWER, Question};
use crate::pages::typed::Typed;

/// Everything that can be asked.
pub(super) fn form(known: &Known) -> Markup {
    let (question, typed) = (&known.question, known.question.typed());
    html! {
        form method="get" action="/gearing" data-live=(ANSWER) {
            (question.counts())
            div class="form-grid" {
                (which_rides(known))
                (typed.select(Field::text("ground", "Ground"), &grounds()))
            }
            @if known.rides.len() > 1 || weighed(question) { (weights(known)) }
            (typed.field(SHELF))
            (details("Weights of the gear choice", &costs(typed)))
            (actions(&html! { button type="submit" class="button primary" { "Ask" } }))
        }
    }
}

fn which_rides(known: &Known) -> Markup {
    let question = &known.question;
    let ids: Vec<String> = known.rides.iter().map(|ride| ride.id.to_string()).collect();
    let mut rides: Vec<(&str, &str)> =
        ids.iter().zip(&known.rides).map(|(id, ride)| (id.as_str(), ride.about.name.as_str())).collect();
    if rides.len() > 1 {
        rides.push((SEVERAL, "several: as often as weighed below"));
    }
    rides.push((NO_RIDE, "none: the gears alone"));
    let newest = ids.first().map_or(NO_RIDE, String::as_str);
    let chosen = question.text("ride").map_or(newest, str::trim);
    let ride = Field::text("ride", "Ride to lay against the gears").value(chosen).fault(question.fault("ride"));
    select(&ride, &rides)
}

/// Whether a weight or a half-life was typed that cannot be: then its field must be there to be mended.
fn weighed(question: &Question) -> bool {
    !question.weight_faults.is_empty() || !question.fault("half_life_d").is_empty()
}

/// How often each ride counts, and from which age on it counts half.
fn weights(known: &Known) -> Markup {
    let question = &known.question;
    let half = Field::decimal("half_life_d", "A ride counts half at the age of", "days")
        .hint("Recent rides count more. Left empty, age does not count.");
    let open = question.text("ride").is_some_and(|ride| ride.trim() == SEVERAL) || !question.weight_faults.is_empty();
    let inside = html! {
        p { "For a next ride that looks like these. Left empty a ride counts once, 2 counts it twice, 0 leaves it out." }
        div class="form-grid" {
            @for ride in &known.rides {
                @let name = weight_name(ride.id);
                @let label = format!("{}, {}", ride.about.name, ride.about.day);
                (field(&Field {
                    keys: Keys::Decimal,
                    room: Room::Four,
                    ..Field::text(&name, &label)
                        .value(question.text(&name).unwrap_or_default())
                        .fault(question.fault(&name))
                        .optional()
                }))
            }
        }
        (question.typed().field(half.optional()))
    };
    fold("Several rides: how often each counts", open, &inside)
}

/// The weights that price what a gear does in a second; the tool's own stand in them until something else is typed.
fn costs(typed: &Typed) -> Markup {
    html! {
        p {
            "In each second the replay takes the gears of least cost. These prices are the tool's own, nobody measured them: "
            "a higher one makes its trouble weigh more. Left as they are, the answers are the usual ones."
        }
        div class="form-grid" {
            @for cost in &COSTS {
                @let own = number(cost.own, if cost.own.fract() == 0.0 { 0 } else { 1 });
                (typed.field(Field::decimal(cost.name, cost.words, cost.unit).value(&own).optional()))
            }
        }
    }
}
