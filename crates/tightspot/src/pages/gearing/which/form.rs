//! What can be asked about pairs: another pair, which rides and how often each counts, ground, shelf, weights.

use advice::cost::COSTS;
use advice::words::number;
use maud::{Markup, html};

use super::Known;
use crate::frame::field::{Field, Keys, Room, field, select};
use crate::frame::{actions, details};
use crate::pages::gearing::laid::{NO_RIDE, SEVERAL, ground_word, grounds, weight_name};
use crate::pages::gearing::{ANSWER, Question};

/// The page: the answer, and above it, folded, what else can be asked.
pub(crate) fn page(known: &Known, part: &Markup) -> Markup {
    let question = &known.question;
    html! {
        h1 { "Which pair for this ground?" }
        (question.summary())
        details class="more" open[question.is_asked()] {
            summary { "Another pair, rides or ground" }
            div class="more-in" { (form(known)) }
        }
        (part)
    }
}

fn form(known: &Known) -> Markup {
    let question = &known.question;
    let text = |name: &str| question.text(name).unwrap_or_default();
    let shelf = Field::text("shelf", "On the shelf")
        .hint("Teeth of sprockets, links of chains, such as 13, 50, 120.")
        .value(text("shelf"))
        .fault(question.fault("shelf"));
    html! {
        form method="get" action="/gearing" data-live=(ANSWER) {
            (question.counts())
            div class="form-grid" {
                (which_rides(known))
                (select(&Field::text("ground", "Ground").value(ground_word(&known.laid)).fault(question.fault("ground")), &grounds()))
            }
            @if known.rides.len() > 1 || weighed(question) { (weights(known)) }
            (field(&shelf.optional()))
            (details("Weights of the gear choice", &costs(known)))
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
    select(&Field::text("ride", "Ride to lay against the gears").value(chosen).fault(question.fault("ride")), &rides)
}

/// Whether a weight or a half-life was typed that cannot be: then its field must be there to be mended.
fn weighed(question: &Question) -> bool {
    !question.weight_faults.is_empty() || !question.fault("half_life_d").is_empty()
}

/// How often each ride counts, and from which age on it counts half.
fn weights(known: &Known) -> Markup {
    let question = &known.question;
    let half = Field::decimal("half_life_d", "A ride counts half at the age of", "days")
        .hint("Recent rides count more. Left empty, age does not count.")
        .value(question.text("half_life_d").unwrap_or_default())
        .fault(question.fault("half_life_d"));
    let open = question.text("ride").is_some_and(|ride| ride.trim() == SEVERAL) || !question.weight_faults.is_empty();
    html! {
        details class="more" open[open] {
            summary { "Several rides: how often each counts" }
            div class="more-in" {
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
                (field(&half.optional()))
            }
        }
    }
}

/// The weights that price what a gear does in a second; the tool's own stand in them until something else is typed.
fn costs(known: &Known) -> Markup {
    let question = &known.question;
    html! {
        p {
            "In each second the replay takes the gears of least cost. These prices are the tool's own, nobody measured them: "
            "a higher one makes its trouble weigh more. Left as they are, the answers are the usual ones."
        }
        div class="form-grid" {
            @for cost in &COSTS {
                @let own = number(cost.own, if cost.own.fract() == 0.0 { 0 } else { 1 });
                @let value = question.text(cost.name).filter(|text| !text.is_empty()).unwrap_or(&own);
                (field(&Field::decimal(cost.name, cost.words, cost.unit).value(value).fault(question.fault(cost.name))))
            }
        }
    }
}
