//! `torque.extension`: setting of a wrench with an adapter beside its drive.

use measure::Angle;
use measure::bounds::workshop as bounds;
use upkeep::torque::{Adapter, setting};

use crate::{Answer, Field, Figure, Given, Refusal};

/// Below this share of its range a wrench is not to be trusted.
const LOW_SHARE: f64 = 0.2;

pub(super) const FIGURE: Figure = Figure {
    name: "torque.extension",
    says: "What to set on a torque wrench with an adapter beside its drive.",
    given: &[
        Field::number("torque_nm", &bounds::BOLT_TORQUE).meaning("at the fastener"),
        Field::number("wrench_mm", &bounds::WRENCH_LENGTH).meaning("from the drive to the middle of the grip"),
        Field::number("extension_mm", &bounds::EXTENSION_LENGTH).meaning("from the drive to the fastener"),
        Field::number("angle_deg", &bounds::EXTENSION_ANGLE)
            .optional("0")
            .meaning("0 in line with the wrench, 180 turned back"),
        Field::number("wrench_max_nm", &bounds::BOLT_TORQUE)
            .optional("not checked")
            .meaning("end of the wrench's range"),
    ],
    answer: &[("setting_nm", "what the wrench is set to")],
    formula: "setting = T L / (L + E cos a)",
    sources: &["lever"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (torque, angle) = (given.nm("torque_nm")?, Angle::from_deg(given.num_or("angle_deg", 0.0)));
    let (wrench, extension) = (given.mm("wrench_mm")?, given.mm("extension_mm")?);
    let set = setting(torque, &Adapter { wrench, extension, angle }).ok_or_else(|| {
        Refusal::new(
            "extension_mm",
            "no_lever_left",
            format!(
                "extension_mm is {} turned back by {}°: less than half of the {} mm lever is left. Turn the adapter \
                 across the wrench or take a longer wrench.",
                extension.mm(),
                given.num_or("angle_deg", 0.0),
                wrench.mm()
            ),
        )
    })?;
    let most = given.opt("wrench_max_nm");
    if let Some(most) = most.filter(|most| set.nm() > *most) {
        return Err(Refusal::new(
            "wrench_max_nm",
            "wrench_too_small",
            format!("wrench_max_nm is {most}; the setting is {:.1}. Take a larger wrench.", set.nm()),
        ));
    }
    let low = most.filter(|most| set.nm() < LOW_SHARE * most);
    let rises = given.num_or("angle_deg", 0.0) > 90.0;
    let answer = Answer::new().num("setting_nm", set.nm()).notice_if(rises, "setting_rises", || {
        format!("Turned back by more than 90° the setting rises from {} to {:.1} N·m.", torque.nm(), set.nm())
    });
    Ok(match low {
        Some(most) => answer.notice(
            "low_in_range",
            format!("{:.1} N·m is below 20 % of the wrench's {most} N·m. Take a smaller wrench.", set.nm()),
        ),
        None => answer,
    })
}
