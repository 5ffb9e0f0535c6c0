//! `slack.packing`: an even layer of mud under the rollers.

use drive::slack::{disturb, free};
use measure::Length;
use measure::bounds::slack as bound;

use super::fields::READING;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.packing",
    says: "Surplus that an even layer of packed mud under the rollers of both sprockets takes.",
    given: &[
        Field::number("layer_mm", &bound::LAYER).meaning("thickness under the rollers"),
        Field::number("span_mm", &bound::SPAN).optional("none; needed with slack_mm").meaning("straight run"),
        READING.optional("none; needed with span_mm"),
    ],
    answer: &[
        ("surplus_lost_mm", "surplus that the layer takes"),
        ("left_surplus_mm", "with a reading: surplus left, below 0 = taut"),
        ("left_slack_mm", "the same as slack, 0 if taut"),
    ],
    formula: "2 π t, whatever the sprockets",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let lost = disturb::layer_takes(given.mm("layer_mm")?);
    let answer = Answer::new().num("surplus_lost_mm", lost.mm());
    let pair = (given.opt("span_mm").map(Length::from_mm), given.opt("slack_mm").map(Length::from_mm));
    let answer = match pair {
        (None, None) => answer,
        (None, Some(_)) => return Err(Refusal::missing("span_mm")),
        (Some(_), None) => return Err(Refusal::missing("slack_mm")),
        (Some(span), Some(slack)) => {
            let left = free::surplus(span, slack, 0.5) - lost;
            answer.num("left_surplus_mm", left.mm()).num("left_slack_mm", free::slack(span, left, 0.5).mm()).notice_if(
                left.mm() <= 0.0,
                "taut_when_packed",
                || {
                    format!(
                        "packed like this the chain is {:.2} mm short: it is taut already where it was read.",
                        -left.mm()
                    )
                },
            )
        }
    };
    Ok(answer.notice(
        "even_layer_only",
        format!(
            "{:.2} mm holds for an even layer on both sprockets; real mud packs unevenly and takes more.",
            lost.mm()
        ),
    ))
}
