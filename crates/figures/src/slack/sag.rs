//! `slack.sag`: sag from three lengths.

use drive::slack::sag::SagLengths;
use measure::bounds::slack as bound;

use super::fields::{ARM, DROOP, TRAVEL};
use super::geometry::{refusal, swing};
use crate::{Answer, Field, Figure, Given, Refusal};

/// Lengths written in decimals are not exact in binary.
const ROUNDING_MM: f64 = 1e-9;

pub(super) const FIGURE: Figure = Figure {
    name: "slack.sag",
    says: "Sag of the rear suspension from three lengths, and the arm angle there.",
    given: &[
        Field::number("extended_mm", &bound::SAG_LENGTH).meaning("axle to a mark above it, hung free"),
        Field::number("settled_up_mm", &bound::SAG_LENGTH).meaning("lifted and let settle"),
        Field::number("settled_down_mm", &bound::SAG_LENGTH).meaning("pushed down and let settle"),
        ARM,
        DROOP,
        TRAVEL,
    ],
    answer: &[
        ("sag_mm", "wheel travel used"),
        ("sag_pct", "of the travel; null where there is none"),
        ("stiction_mm", "the two settled lengths apart"),
        ("arm_angle_deg", "arm angle there"),
    ],
    formula: "sag = extended - (settled up + settled down)/2; sin φ = sin φ_ext - sag / arm",
    sources: &["geometry", "practice"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let swing = swing(given)?;
    let lengths = SagLengths {
        extended: given.mm("extended_mm")?,
        settled_up: given.mm("settled_up_mm")?,
        settled_down: given.mm("settled_down_mm")?,
    };
    let (sag, travel) = (lengths.sag(), given.mm("travel_mm")?);
    if sag.mm() < -ROUNDING_MM || sag.mm() > travel.mm() + ROUNDING_MM {
        return Err(Refusal::new(
            "extended_mm",
            "sag_outside_travel",
            format!(
                "extended_mm is {}: that makes {:.1} mm of sag; 0 to {} mm is possible. Measure the extended length \
                 with the wheel off the ground, all three to the same mark.",
                lengths.extended.mm(),
                sag.mm(),
                travel.mm()
            ),
        ));
    }
    let share = (travel.mm() > 0.0).then(|| 100.0 * (sag / travel));
    let arm = swing.angle_at(sag).map_err(refusal)?;
    Ok(Answer::new()
        .num("sag_mm", sag.mm())
        .num_or_null("sag_pct", share)
        .num("stiction_mm", lengths.stiction().mm())
        .num("arm_angle_deg", arm.deg())
        .notice(
            "guide_values",
            format!(
                "{:.0} mm against a rule of thumb for full-size off-road bikes: 25 to 50 mm under own weight, 30 to \
                 35 % of the travel with rider. The bike's own sheet goes first.",
                sag.mm()
            ),
        ))
}
