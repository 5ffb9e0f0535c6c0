//! Masses, inertias, geometry of the whole bike, and its tyres.

use measure::bounds::bike;

use crate::bike::{BikeField, Kind, Section};

const B: Section = Section::Body;
const T: Section = Section::Tyre;

pub(super) const FIELDS: &[BikeField] = &[
    BikeField::number(B, "mass_kg", &bike::MASS).says(
        "Bike, rider, kit and fuel together.",
        "Scales under each wheel, you on it and dressed to ride, added up.",
    ),
    BikeField::number(B, "j_front_kgm2", &bike::J_FRONT).says(
        "Moment of inertia of the front wheel with tyre and disc.",
        "Hang the wheel on two strings and time its twisting; else leave it out.",
    ),
    BikeField::number(B, "j_rear_kgm2", &bike::J_REAR).says(
        "Moment of inertia of the rear wheel with tyre, disc and sprocket.",
        "Hang the wheel on two strings and time its twisting; else leave it out.",
    ),
    BikeField::number(B, "j_engine_kgm2", &bike::J_ENGINE)
        .says("Moment of inertia at the crankshaft, flywheel and clutch included.", "Rarely known; else leave it out."),
    BikeField::number(B, "cda_m2", &bike::CDA)
        .says("Drag area of bike and rider.", "Rarely known; a roll-out from speed on level ground gives it."),
    BikeField::number(B, "wheelbase_m", &bike::WHEELBASE).says(
        "Front axle to rear axle, wheels straight ahead.",
        "Tape along the ground between plumb lines from both axles.",
    ),
    BikeField::number(B, "cg_from_front_m", &bike::CG_FROM_FRONT).says(
        "Centre of mass behind the front axle, rider on.",
        "Share of the mass on the rear wheel times the wheelbase.",
    ),
    BikeField::number(B, "cg_height_m", &bike::CG_HEIGHT).says(
        "Centre of mass above the ground, rider on.",
        "Weigh again with the front wheel raised; else leave it out.",
    ),
    BikeField::number(B, "aero_height_m", &bike::AERO_HEIGHT)
        .says("Height at which the wind pulls.", "About the rider's chest, over the ground."),
    BikeField::new(B, "rear_wheel_radius_mm", Kind::Number(&bike::WHEEL_RADIUS), "loaded rear wheel radius")
        .says("Rear axle to ground, rider on.", "Tape from the axle's centre straight down."),
    BikeField::new(B, "front_wheel_radius_mm", Kind::Number(&bike::WHEEL_RADIUS), "loaded front wheel radius")
        .says("Front axle to ground, rider on.", "Tape from the axle's centre straight down."),
    BikeField::number(B, "front_axle_x_mm", &bike::FRONT_AXLE_X).says(
        "Front axle ahead of the swingarm pivot.",
        "Bike level: plumb line through each centre, measure between the lines.",
    ),
    BikeField::number(B, "front_axle_z_mm", &bike::FRONT_AXLE_Z).says(
        "Front axle above the swingarm pivot; below is negative.",
        "Bike level: height of each centre over the floor, axle less pivot.",
    ),
    BikeField::new(T, "rear_tyre", Kind::Text, "rear tyre")
        .says("The size on the tyre's side.", "Read it on the side wall, such as 140/80-18.")
        .also("rear"),
    BikeField::new(T, "front_tyre", Kind::Text, "front tyre")
        .says("The size on the tyre's side.", "Read it on the side wall, such as 90/90-21.")
        .also("front"),
    BikeField::number(T, "rollout_m", &bike::ROLLOUT).says(
        "Distance that the loaded rear wheel rolls in one turn.",
        "Rider on, chalk mark on tyre and ground, roll five turns, divide by five.",
    ),
];
