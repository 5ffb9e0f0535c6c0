//! The manual's own figures: slack and how it is read, limits, torques. The tool never computes or assumes one.

use measure::bounds::bike;

use crate::bike::{BikeField, Kind, Section};

const M: Section = Section::Sheet;

/// A torque of the manual, and the job library's figure that it answers.
const fn torque(name: &'static str, word: &'static str, figure: &'static str) -> BikeField {
    BikeField::new(M, name, Kind::Number(&bike::TORQUE), word)
        .says(
            "The manual's tightening torque.",
            "The torque table of the bike's manual; note document and page as its source.",
        )
        .manual()
        .answers(figure)
}

pub(super) const FIELDS: &[BikeField] = &[
    BikeField::number(M, "slack_mm_min", &bike::SLACK_MIN)
        .says("Least slack that the manual allows.", "The manual's chain page; note document and page as its source.")
        .manual()
        .answers("chain-slack"),
    BikeField::number(M, "slack_mm_max", &bike::SLACK_MAX)
        .says("Most slack that the manual allows.", "The manual's chain page; note document and page as its source.")
        .manual()
        .answers("chain-slack"),
    BikeField::number(M, "slack_stop_mm", &bike::SLACK_STOP)
        .says(
            "Slack below which the bike is not ridden.",
            "The manual, or the line-up method with your own bike; note which as its source.",
        )
        .manual(),
    BikeField::new(M, "slack_kind", Kind::Word(&["free", "gap"]), "kind of slack")
        .says(
            "Free: total up and down of the run. Gap: chain lifted against the swingarm.",
            "The manual's chain page shows which of the two.",
        )
        .manual(),
    BikeField::new(
        M,
        "slack_state",
        Kind::Word(&["stand", "wheels on the ground", "rider on"]),
        "bike while slack is read",
    )
    .says("How the bike stands while slack is read.", "The manual's chain page says it.")
    .manual(),
    BikeField::new(M, "slack_place", Kind::Text, "place where slack is read")
        .says("Where along the chain slack is read.", "The manual's chain page, such as: mid lower run.")
        .manual(),
    BikeField::number(M, "limit_pct", &bike::LIMIT)
        .says(
            "Elongation at which the chain is replaced.",
            "The manual's length over counted links, less new, in percent of new.",
        )
        .manual()
        .answers("chain-wear-limit"),
    BikeField::number(M, "slider_limit_mm", &bike::SLIDER_LIMIT)
        .says("Least thickness of the swingarm slider.", "The manual, or the wear mark on the slider.")
        .manual()
        .answers("slider-limit"),
    BikeField::number(M, "link_press_width_mm", &bike::PRESS_WIDTH)
        .says(
            "Width over the plates of the connecting link after pressing.",
            "The chain's own sheet; else the width of a neighbouring link.",
        )
        .manual()
        .answers("link-press-width"),
    BikeField::number(M, "oil_interval_h", &bike::OIL_INTERVAL)
        .says("Hours between two oil changes.", "The manual's service table; note document and page as its source.")
        .manual(),
    torque("rear_axle_torque_nm", "rear axle torque", "rear-axle-torque"),
    torque("front_axle_torque_nm", "front axle torque", "front-axle-torque"),
    torque("rear_sprocket_torque_nm", "rear sprocket torque", "rear-sprocket-torque"),
    torque("front_sprocket_nut_torque_nm", "front sprocket nut torque", "front-sprocket-nut-torque"),
    torque("retainer_plate_torque_nm", "retainer plate torque", "retainer-plate-torque"),
    torque("guide_bolt_torque_nm", "chain guide bolt torque", "guide-bolt-torque"),
    torque("seal_plate_torque_nm", "seal plate torque", "seal-plate-torque"),
    torque("pivot_torque_nm", "swingarm pivot torque", "pivot-torque"),
    torque("linkage_torque_nm", "linkage bolt torque", "linkage-torque"),
    torque("shock_bolt_torque_nm", "shock bolt torque", "shock-bolt-torque"),
    torque("rear_caliper_torque_nm", "rear caliper torque", "rear-caliper-torque"),
    torque("front_caliper_torque_nm", "front caliper torque", "front-caliper-torque"),
    torque("pad_pin_torque_nm", "pad pin torque", "pad-pin-torque"),
    torque("bleed_torque_nm", "bleed screw torque", "bleed-torque"),
    torque("rim_lock_torque_nm", "rim lock torque", "rim-lock-torque"),
    torque("spoke_torque_nm", "spoke torque", "spoke-torque"),
    torque("fork_clamp_torque_nm", "fork clamp torque", "fork-clamp-torque"),
    torque("fork_cap_torque_nm", "fork cap torque", "fork-cap-torque"),
    torque("stem_nut_torque_nm", "stem nut torque", "stem-nut-torque"),
    torque("stem_settle_torque_nm", "stem settling torque", "stem-settle-torque"),
    torque("bar_clamp_torque_nm", "bar clamp torque", "bar-clamp-torque"),
    torque("drain_torque_nm", "drain plug torque", "drain-torque"),
    torque("plug_torque_nm", "spark plug torque", "plug-torque"),
    torque("spring_bolt_torque_nm", "clutch spring bolt torque", "spring-bolt-torque"),
    torque("head_torque_nm", "cylinder head torque", "head-torque"),
    torque("cam_cap_torque_nm", "cam cap torque", "cam-cap-torque"),
];
