//! `slack.required`: what must be read so that a margin is left at the tightest place, and what a reading leaves.

use drive::slack::required::{self, Left, LowerSlack, Reading, Required, Verdict, lower_slack};
use drive::slack::{Fault, Layout, Run, gap};
use measure::shown::{quantity, unit, written};
use measure::{Angle, Length};

use super::fields::{
    DEFAULT_MARGIN_MM, DROOP, GAP_IF_ASKED, GEOMETRY, MARGIN, MEASURED_AT, READING, READING_ERROR, TRAVEL, joined,
};
use super::geometry::{gap_place, large_slack, measured_at, noted, placed, refusal, with_travel};
use crate::{Answer, Field, Figure, Given, Refusal};

/// Above this the travel takes more chain than a long-travel bike does; the tool's own threshold.
const LARGE_DEMAND_MM: f64 = 10.0;

const ASKED: [Field; 14] = joined(&GEOMETRY, &[DROOP, TRAVEL, MEASURED_AT, MARGIN]);

pub(super) const FIGURE: Figure = Figure {
    name: "slack.required",
    says: "The reading needed at the measuring place for a margin at the tightest place of the travel; with a \
           reading, what is left there.",
    given: &joined::<19>(&ASKED, &joined::<5>(&GAP_IF_ASKED, &[READING, READING_ERROR])),
    answer: &[
        ("tightest_deg", "arm angle at the tightest place; null where every place is alike"),
        ("demand_mm", "surplus that the travel takes from the measuring place to the tightest"),
        ("required_surplus_mm", "surplus wanted at the measuring place"),
        ("required_slack_mm", "slack wanted there, mid lower run; null where that run rests on the slider"),
        ("margin_slack_mm", "slack of the margin at the tightest place; null where the run rests on the slider"),
        ("required_gap_mm", "with the gap fields: gap wanted there"),
        ("left_surplus_mm", "with a reading: surplus left at the tightest place, below 0 = taut before it"),
        ("left_slack_mm", "the same as slack, 0 if taut"),
        ("left_surplus_low_mm", "with its error: the least that may be left"),
        ("left_surplus_high_mm", "the most that may be left"),
        ("verdict", "with a reading: ready, care or stop"),
    ],
    formula: "e_req = margin + max over the travel of L_taut - L_taut(measuring place); F_req = √(2 a e_req + e_req²)",
    sources: &["geometry", "ours"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let place = gap_place(given)?;
    let (layout, swing) = with_travel(given)?;
    let arm = measured_at(given, &swing)?;
    let margin = Length::from_mm(given.num_or("margin_mm", DEFAULT_MARGIN_MM));
    let needs = required::required(&layout, &swing, arm, margin);
    let slack_of = |lower: &LowerSlack| lower.slack.map(Length::mm);
    let mut answer = Answer::new()
        .num_or_null("tightest_deg", (!needs.tightest.constant).then(|| needs.tightest.arm.deg()))
        .num("demand_mm", needs.demand.mm())
        .num("required_surplus_mm", needs.surplus.mm())
        .num_or_null("required_slack_mm", slack_of(&needs.slack))
        .num_or_null("margin_slack_mm", slack_of(&needs.margin_slack));
    if let Some(place) = place {
        let gap = gap::gap(&layout, arm, &place, needs.surplus).map_err(refusal)?;
        answer = answer.num("required_gap_mm", gap.mm());
    }
    if let Some(reading) = reading(given) {
        if layout.rests(arm, Run::Lower) {
            return Err(refusal(Fault::Rests));
        }
        let left = required::left(layout.span(arm), needs.demand, &reading);
        let there = lower_slack(&layout, needs.tightest.arm, left.surplus);
        answer = with_left(answer, &left, slack_of(&there), margin);
    }
    let read_mm = given.num_or("slack_mm", 0.0);
    let answer = large_slack(placed(noted(answer, given), given, &swing), read_mm);
    Ok(cautioned(unread(answer, given), &layout, arm, &needs))
}

/// The reading of a figure, if one is given.
pub(super) fn reading(given: &Given<'_>) -> Option<Reading> {
    let slack = Length::from_mm(given.opt("slack_mm")?);
    Some(Reading { slack, error: given.opt("reading_error_mm").map(Length::from_mm) })
}

/// A notice on an error that belongs to no reading.
pub(super) fn unread(answer: Answer, given: &Given<'_>) -> Answer {
    let alone = given.has("reading_error_mm") && !given.has("slack_mm");
    answer.notice_if(alone, "no_reading", || {
        format!(
            "reading_error_mm {} was given without slack_mm: there is no reading to judge, so no verdict.",
            given.num_or("reading_error_mm", 0.0)
        )
    })
}

/// What a reading leaves, in words for an answer.
pub(super) fn with_left(answer: Answer, left: &Left, slack_mm: Option<f64>, margin: Length) -> Answer {
    let verdict = match left.verdict(margin) {
        Verdict::Ready => "ready",
        Verdict::Care => "care",
        Verdict::Stop => "stop",
    };
    answer
        .num("left_surplus_mm", left.surplus.mm())
        .num_or_null("left_slack_mm", slack_mm)
        .num_if("left_surplus_low_mm", left.band.map(|(low, _)| low.mm()))
        .num_if("left_surplus_high_mm", left.band.map(|(_, high)| high.mm()))
        .text("verdict", verdict)
}

fn cautioned(answer: Answer, layout: &Layout, arm: Angle, needs: &Required) -> Answer {
    let cut = needs.slack.cut_off || needs.margin_slack.cut_off;
    answer
        .notice(
            "weak_geometry",
            format!(
                "from a tape measure: a countershaft {} higher changes the wanted slack by several {} (demand {}). Take \
                 one pair of readings, on the stand and in line, and use that instead.",
                quantity(2.0, "mm", 0),
                if unit("mm") == "mm" { "mm" } else { "tenths of an inch" },
                quantity(needs.demand.mm(), "mm", 2)
            ),
        )
        .notice_if(needs.demand.mm() > LARGE_DEMAND_MM, "large_demand", || {
            format!(
                "the travel takes {} of chain, more than the {} of a long-travel bike. Measure the countershaft's place \
                 again.",
                quantity(needs.demand.mm(), "mm", 1),
                written(LARGE_DEMAND_MM, "mm")
            )
        })
        .notice_if(cut, "cut_off", || {
            format!(
                "the lower run meets the slider before it is pushed fully in (straight run {}): a reading comes \
                 out short there. Use the gap kind.",
                quantity(layout.span(arm).mm(), "mm", 0)
            )
        })
}
