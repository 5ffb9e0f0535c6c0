//! `slack.calibrated`: the requirement from one pair of readings.

use drive::slack::required::{self, StandAndLine};
use drive::slack::{Fault, free};
use measure::Length;
use measure::bounds::slack as bound;
use measure::shown::{quantity, range};

use super::fields::{DEFAULT_MARGIN_MM, MARGIN, READING, READING_ERROR};
use super::geometry::at_field;
use super::required::{reading, unread, with_left};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.calibrated",
    says: "The reading needed on the stand, from one pair of readings on the stand and in line with the axle untouched.",
    given: &[
        Field::number("span_mm", &bound::SPAN).meaning("straight run on the stand"),
        Field::number("line_span_mm", &bound::SPAN).meaning("straight run in line"),
        Field::number("stand_slack_mm", &bound::SLACK).meaning("reading on the stand, mid lower run"),
        Field::number("line_slack_mm", &bound::SLACK).meaning("reading in line, axle untouched"),
        MARGIN,
        READING,
        READING_ERROR,
    ],
    answer: &[
        ("demand_mm", "surplus that the travel takes"),
        ("required_surplus_mm", "surplus wanted on the stand"),
        ("required_slack_mm", "slack wanted on the stand, mid lower run"),
        ("margin_slack_mm", "slack of the margin in line"),
        ("left_surplus_mm", "with a reading: surplus left in line, below 0 = taut before it"),
        ("left_slack_mm", "the same as slack, 0 if taut"),
        ("left_surplus_low_mm", "with its error: the least that may be left"),
        ("left_surplus_high_mm", "the most that may be left"),
        ("verdict", "with a reading: ready, care or stop"),
    ],
    formula: "demand = e(stand) - e(line), e = √(a² + F²) - a; required = √(2 a e + e²) at e = demand + margin",
    sources: &["geometry", "ours"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let read = StandAndLine {
        stand_span: given.mm("span_mm")?,
        line_span: given.mm("line_span_mm")?,
        stand_slack: given.mm("stand_slack_mm")?,
        line_slack: given.mm("line_slack_mm")?,
    };
    let margin = Length::from_mm(given.num_or("margin_mm", DEFAULT_MARGIN_MM));
    let needs = required::calibrated(&read, margin).map_err(exchanged)?;
    let answer = Answer::new()
        .num("demand_mm", needs.demand.mm())
        .num("required_surplus_mm", needs.surplus.mm())
        .num("required_slack_mm", needs.slack.mm())
        .num("margin_slack_mm", needs.margin_slack.mm());
    let answer = match reading(given) {
        Some(reading) => {
            let left = required::left(read.stand_span, needs.demand, &reading);
            let there = free::slack(read.line_span, left.surplus, 0.5);
            with_left(answer, &left, Some(there.mm()), margin)
        }
        None => answer,
    };
    Ok(unread(answer, given).notice(
        "other_sprockets",
        format!(
            "the demand of {} holds for these sprockets; for others it is good to {} of slack with the slider \
             clear, and where the chain touches it to {} for two rear teeth and {} for a front tooth.",
            quantity(needs.demand.mm(), "mm", 2),
            quantity(0.2, "mm", 1),
            quantity(1.0, "mm", 0),
            range(3.0, 4.0, "mm", 0)
        ),
    ))
}

fn exchanged(fault: Fault) -> Refusal {
    match fault {
        Fault::TooShort { surplus } => Refusal::new(
            "line_slack_mm",
            "more_in_line",
            format!(
                "line_slack_mm tells {:.2} mm more surplus in line than on the stand; the travel only takes chain. Check \
                 which reading is which, and that the axle was not moved between them.",
                -surplus.mm()
            ),
        ),
        other => at_field("line_slack_mm", other),
    }
}
