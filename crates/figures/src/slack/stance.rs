//! `slack.stance`: how the bike stands, and squat under drive.

use drive::slack::stance::{self, Wheels};
use drive::slack::{Point, stance::Squat};
use measure::Force;
use measure::bounds::slack as bound;

use super::fields::{ARM_ANGLE, GEOMETRY, joined};
use super::geometry::{at_angle, noted};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.stance",
    says: "How the bike stands on both wheels at an arm angle, and what the chain's pull does to the rear suspension.",
    given: &joined::<17>(
        &GEOMETRY,
        &[
            ARM_ANGLE,
            Field::number("rear_wheel_radius_mm", &bound::WHEEL_RADIUS),
            Field::number("front_wheel_radius_mm", &bound::WHEEL_RADIUS),
            Field::number("front_axle_x_mm", &bound::FRONT_AXLE_X).meaning("front axle ahead of the pivot"),
            Field::number("front_axle_z_mm", &bound::FRONT_AXLE_Z).meaning("front axle above the pivot"),
            Field::number("cog_height_mm", &bound::COG_HEIGHT)
                .optional("no squat asked")
                .meaning("centre of gravity over the ground, with rider"),
            Field::number("thrust_n", &bound::THRUST).optional("1000").meaning("at the rear contact, steady"),
        ],
    ),
    answer: &[
        ("wheelbase_mm", "contact to contact"),
        ("nose_up_deg", "chassis frame against the ground"),
        ("pivot_height_mm", "pivot over the ground"),
        ("arm_slope_deg", "with the centre of gravity: arm against the ground, + = axle below the pivot"),
        ("run_slope_deg", "upper run at the front sprocket against the ground, + = rising to the front"),
        ("run_lever_mm", "lever of that run about the pivot"),
        ("squat_line", "tangent of the squat line"),
        ("transfer_line", "tangent of the load transfer line"),
        ("antisquat_pct", "100 = neither sinks nor rises, more = the rear rises under drive"),
        ("squat_ratio", "transfer line over squat line; null where the squat line does not rise"),
        ("chain_force_n", "pull in the upper run"),
        ("lift_force_n", "equivalent lift at the axle, + = rear rises"),
    ],
    formula: "tan σ = tan η + Rw/(arm cos η) (1 - b/r2); tan τ = h/WB; antisquat = 100 tan σ / tan τ",
    sources: &["geometry", "free-body", "memory"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (layout, arm) = at_angle(given)?;
    let wheels = Wheels {
        rear_radius: given.mm("rear_wheel_radius_mm")?,
        front_radius: given.mm("front_wheel_radius_mm")?,
        front_axle: Point::new(given.num("front_axle_x_mm")?, given.num("front_axle_z_mm")?),
    };
    let Some(stance) = stance::stance(&layout, arm, &wheels) else {
        let axle = layout.axle(arm);
        return Err(Refusal::new(
            "front_axle_x_mm",
            "not_ahead",
            format!(
                "front_axle_x_mm is {}; the rear axle stands at {:.1} mm, and the front one must stand ahead of it, far \
                 enough for both wheels to reach the ground. Count forward from the pivot.",
                wheels.front_axle.x_mm, axle.x_mm
            ),
        ));
    };
    let answer = Answer::new()
        .num("wheelbase_mm", stance.wheelbase.mm())
        .num("nose_up_deg", stance.nose_up.deg())
        .num("pivot_height_mm", stance.pivot_height.mm());
    let answer = noted(answer, given);
    if !given.has("cog_height_mm") {
        return Ok(answer);
    }
    let thrust = Force::from_n(given.num_or("thrust_n", 1000.0));
    let squat = stance::squat(&layout, arm, &wheels, &stance, given.mm("cog_height_mm")?, thrust).ok_or_else(|| {
        Refusal::new(
            "front_axle_z_mm",
            "arm_upright",
            format!(
                "front_axle_z_mm is {}: on the ground the arm would stand at {:.1} deg; below 90 is possible. Check the \
                 front axle's place.",
                wheels.front_axle.z_mm,
                (arm + stance.nose_up).deg()
            ),
        )
    })?;
    Ok(with_squat(answer, &squat))
}

fn with_squat(answer: Answer, squat: &Squat) -> Answer {
    answer
        .num("arm_slope_deg", squat.arm_slope.deg())
        .num("run_slope_deg", squat.run_slope.deg())
        .num("run_lever_mm", squat.run_lever.mm())
        .num("squat_line", squat.squat_line)
        .num("transfer_line", squat.transfer_line)
        .num("antisquat_pct", squat.antisquat_pct())
        .num_or_null("squat_ratio", squat.ratio())
        .num("chain_force_n", squat.chain_force.n())
        .num("lift_force_n", squat.lift_force.n())
        .notice(
            "small_effect",
            format!(
                "{:.1} % moves by 1 or 2 with another pair of sprockets and by 5 where the centre of gravity is known to \
                 5 %: not a reason to choose a pair.",
                squat.antisquat_pct()
            ),
        )
}
