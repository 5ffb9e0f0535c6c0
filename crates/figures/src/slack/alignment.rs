//! `slack.alignment`: wheel skew from one distance per side.

use drive::slack::align::{Parallel, Sides};
use measure::Length;
use measure::bounds::{CENTRE, slack as bound};
use measure::shown::quantity;

use super::fields::{READING_ERROR, SPROCKET_Y, THREAD_PITCH, TRACK};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.alignment",
    says: "Whether the rear wheel points ahead, from the distance of each end of the axle to a reference.",
    given: &[
        Field::number("left_mm", &bound::SIDE).meaning("left end, larger = further back"),
        Field::number("right_mm", &bound::SIDE).meaning("right end, larger = further back"),
        TRACK,
        SPROCKET_Y,
        Field::number("wheelbase_mm", &bound::WHEELBASE).optional("none"),
        Field::number("centre_mm", &CENTRE).optional("none").meaning("countershaft to axle"),
        THREAD_PITCH.optional("none"),
        READING_ERROR.optional("0"),
    ],
    answer: &[
        ("skew_deg", "+ = wheel heading left"),
        ("middle_mm", "axle at the middle"),
        ("sprocket_mm", "axle at the sprocket plane"),
        ("allowed_mm", "largest difference that counts as parallel: track / 300"),
        ("difference_error_mm", "error of the difference of two readings"),
        ("verdict", "within, outside or cannot_tell"),
        ("front_wheel_miss_mm", "with the wheelbase: how far the wheel's plane passes left of the front wheel"),
        ("chain_line_miss_mm", "with the centre distance: the same at the front sprocket"),
        ("flats", "with the thread: flats that take the whole difference out at one end"),
    ],
    formula: "skew = atan((left - right)/track); within if |left - right| + √2 error ≤ track/300",
    sources: &["geometry", "chain-guide"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let sides = Sides {
        left: given.mm("left_mm")?,
        right: given.mm("right_mm")?,
        track: given.mm("track_mm")?,
        error: Length::from_mm(given.num_or("reading_error_mm", 0.0)),
    };
    let difference = sides.difference();
    if difference.abs() > sides.track {
        return Err(Refusal::new(
            "left_mm",
            "too_far_apart",
            format!(
                "left_mm and right_mm are {} mm apart, more than the {} mm between the two places. Measure both from \
                 the same kind of reference.",
                difference.abs().mm(),
                sides.track.mm()
            ),
        ));
    }
    let verdict = sides.parallel();
    let word = match verdict {
        Parallel::Within => "within",
        Parallel::Outside => "outside",
        Parallel::CannotTell => "cannot_tell",
    };
    let (allowed, error) = (sides.allowed().mm(), sides.difference_error().mm());
    let ahead = |name: &str| given.opt(name).map(|mm| sides.miss(Length::from_mm(mm)).mm());
    let answer = Answer::new()
        .num("skew_deg", sides.skew().deg())
        .num("middle_mm", sides.at(Length::ZERO).mm())
        .num("sprocket_mm", sides.at(Length::from_mm(given.num_or("sprocket_y_mm", 0.0))).mm())
        .num("allowed_mm", allowed)
        .num("difference_error_mm", error)
        .text("verdict", word)
        .num_if("front_wheel_miss_mm", ahead("wheelbase_mm"))
        .num_if("chain_line_miss_mm", ahead("centre_mm"))
        .num_if("flats", given.opt("thread_pitch_mm").map(|thread| 6.0 * difference.abs().mm() / thread));
    Ok(answer
        .notice_if(verdict == Parallel::CannotTell, "marks_too_coarse", || {
            format!(
                "the difference is known to {}, the limit is {}: such marks cannot show it. Use a \
                 caliper on the block, or pivot bolt to axle on both sides.",
                quantity(error, "mm", 2),
                quantity(allowed, "mm", 2)
            )
        })
        .notice(
            "industrial_limit",
            format!(
                "{} is a limit for drives on fixed shafts; a swingarm flexes by more. It is editable.",
                quantity(allowed, "mm", 2)
            ),
        ))
}
