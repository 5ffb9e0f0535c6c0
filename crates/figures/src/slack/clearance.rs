//! `slack.clearance`: height of the straight runs over slider and guide.

use drive::slack::{Run, clearance};
use measure::Length;
use measure::bounds::slack as bound;

use super::fields::{ARM_ANGLE, GEOMETRY, joined};
use super::geometry::{at_angle, noted};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.clearance",
    says: "Height of both straight runs over the arm line at the guide, and clearance of the upper one to the slider.",
    given: &joined::<14>(
        &GEOMETRY,
        &[
            ARM_ANGLE,
            Field::number("guide_u_mm", &bound::GUIDE_U).meaning("guide along the arm, from the pivot"),
            Field::number("guide_low_mm", &bound::GUIDE_EDGE)
                .optional("no opening asked")
                .meaning("lower edge of its opening over the arm line"),
            Field::number("guide_high_mm", &bound::GUIDE_EDGE)
                .optional("no opening asked")
                .meaning("upper edge of its opening over the arm line"),
        ],
    ),
    answer: &[
        ("upper_height_mm", "pin line of the upper run over the arm line at the guide"),
        ("lower_height_mm", "pin line of the lower run over the arm line at the guide"),
        ("slider_clearance_mm", "with a slider: upper run clear of it, below 0 = rests by that much"),
        ("inside_guide", "with the opening: whether the lower run passes through it"),
    ],
    formula: "height: the run's line at guide_u_mm; clearance: (front centre - slider centre) · outward + r1 - radius",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let opening = opening(given)?;
    let (layout, arm) = at_angle(given)?;
    let (along, arm_mm) = (given.mm("guide_u_mm")?, given.num("arm_mm")?);
    let height = |run| {
        clearance::run_height(&layout, arm, run, along).map(Length::mm).ok_or_else(|| {
            Refusal::new(
                "arm_mm",
                "square_run",
                format!("arm_mm is {arm_mm}: a run would stand square to the arm. Check arm and countershaft."),
            )
        })
    };
    let (upper, lower) = (height(Run::Upper)?, height(Run::Lower)?);
    let mut answer = Answer::new()
        .num("upper_height_mm", upper)
        .num("lower_height_mm", lower)
        .num_if("slider_clearance_mm", layout.slider_clearance(arm, Run::Upper).map(Length::mm));
    if let Some((low, high)) = opening {
        let inside = (low..=high).contains(&lower);
        answer = answer.flag("inside_guide", inside).notice_if(!inside, "run_outside_guide", || {
            format!(
                "the lower run passes the guide at {lower:.1} mm, its opening is {low} to {high} mm: the chain drags on \
                 it or can jump out. Check the guide before riding."
            )
        });
    }
    let beside = !clearance::is_under(&layout, arm, Run::Lower, along);
    Ok(noted(answer, given).notice_if(beside, "beyond_run", || {
        format!("{} mm along the arm is beyond the straight lower run: its line is drawn on.", along.mm())
    }))
}

fn opening(given: &Given<'_>) -> Result<Option<(f64, f64)>, Refusal> {
    match (given.opt("guide_low_mm"), given.opt("guide_high_mm")) {
        (None, None) => Ok(None),
        (None, Some(_)) => Err(Refusal::missing("guide_low_mm")),
        (Some(_), None) => Err(Refusal::missing("guide_high_mm")),
        (Some(low), Some(high)) if high <= low => Err(Refusal::new(
            "guide_high_mm",
            "not_above",
            format!("guide_high_mm is {high}; above guide_low_mm {low} is possible. Exchange them?"),
        )),
        (Some(low), Some(high)) => Ok(Some((low, high))),
    }
}
