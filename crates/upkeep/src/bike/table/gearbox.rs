//! Engine speeds, torque curve, primary drive and gears.

use measure::bounds::bike;

use crate::bike::{BikeField, Kind, Section};

const G: Section = Section::Gearbox;

pub(super) const FIELDS: &[BikeField] = &[
    BikeField::new(G, "primary", Kind::Ratio(&bike::PRIMARY), bike::PRIMARY.word)
        .says("Crankshaft to clutch, driven over driver. Teeth are exact: 25:71.", "The manual's technical data."),
    BikeField::new(G, "gears", Kind::Ratios(&bike::GEAR), "gears").says(
        "Ratio of each gear from first to top, driven over driver. Teeth are exact: 14:31.",
        "The manual's technical data.",
    ),
    BikeField::number(G, "idle_rpm", &bike::IDLE_RPM)
        .says("Engine speed at idle, warm.", "The manual, or a rev counter on the plug lead."),
    BikeField::number(G, "slip_rpm", &bike::SLIP_RPM).says(
        "Least engine speed at which you ride with the clutch fully out.",
        "Roll in first gear, clutch out, and slow down until it would buck.",
    ),
    BikeField::number(G, "lo_rpm", &bike::LO_RPM).says(
        "Lower end of the band in which you like to ride.",
        "Your own; a rev counter or the sound of a known speed and gear.",
    ),
    BikeField::number(G, "hi_rpm", &bike::HI_RPM).says(
        "Upper end of the band in which you like to ride.",
        "Your own; a rev counter or the sound of a known speed and gear.",
    ),
    BikeField::number(G, "max_rpm", &bike::MAX_RPM).says(
        "Engine speed of the limiter, or where it stops pulling.",
        "The manual, or the speed at which the limiter cuts in a known gear.",
    ),
    BikeField::number(G, "hard_rpm", &bike::HARD_RPM).says(
        "Engine speed that must never be passed, downhill neither.",
        "The manual; without a figure, a little above the limiter.",
    ),
    BikeField::new(G, "curve", Kind::Curve, "torque curve").says(
        "Torque at the crankshaft over engine speed, three points or more.",
        "A dynamometer sheet; torque at the wheel must be turned back to the crankshaft.",
    ),
    BikeField::number(G, "eta", &bike::ETA).says(
        "Share of the engine's work that reaches the rear wheel.",
        "Rarely known; 0.9 to 0.95 is common practice for a clean chain.",
    ),
];
