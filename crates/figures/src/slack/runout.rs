//! `slack.runout`: a rear sprocket that runs out.

use drive::chain::Sprockets;
use drive::slack::{disturb, free};
use measure::Length;
use measure::bounds::{CENTRE, slack as bound};

use super::fields::{FRONT_TEETH, PITCH, READING, REAR_TEETH};
use super::geometry::at_field;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.runout",
    says: "How much surplus and slack swing over a turn of a rear sprocket that runs out radially.",
    given: &[
        PITCH.meaning("chain pitch"),
        FRONT_TEETH,
        REAR_TEETH,
        Field::number("centre_mm", &CENTRE).meaning("countershaft to axle"),
        Field::number("runout_mm", &bound::RUNOUT).meaning("total reading of a dial on the rear sprocket"),
        READING.meaning("mean reading over the turn, mid-run"),
    ],
    answer: &[
        ("surplus_swing_mm", "surplus, peak to peak"),
        ("low_slack_mm", "with slack: the lowest reading over the turn, 0 = taut"),
        ("high_slack_mm", "with slack: the highest reading over the turn"),
    ],
    formula: "L(D + TIR/2) - L(D - TIR/2), near 2 TIR cos α; slack of e(mean) ∓ half of it",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let pair = Sprockets::new(given.mm("pitch_mm")?, given.teeth("front_teeth")?, given.teeth("rear_teeth")?);
    let centre = given.mm("centre_mm")?;
    let swing =
        disturb::runout_swing(&pair, centre, given.mm("runout_mm")?).map_err(|fault| at_field("centre_mm", fault))?;
    let answer = Answer::new().num("surplus_swing_mm", swing.mm());
    let Some(slack) = given.opt("slack_mm").map(Length::from_mm) else { return Ok(answer) };
    let span = pair.span(centre);
    let mean = free::surplus(span, slack, 0.5);
    let low = mean - swing * 0.5;
    Ok(answer
        .num("low_slack_mm", free::slack(span, low, 0.5).mm())
        .num("high_slack_mm", free::slack(span, mean + swing * 0.5, 0.5).mm())
        .notice_if(low.mm() <= 0.0, "taut_place", || {
            format!(
                "a mean reading of {} mm holds {:.2} mm of surplus, the run-out takes {:.2} mm at its low: the chain \
                 is taut there once a turn. Set the slack at the tightest place, and true or replace the sprocket.",
                slack.mm(),
                mean.mm(),
                swing.mm() / 2.0
            )
        }))
}
