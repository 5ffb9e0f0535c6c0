//! Swingarm, adjuster slot, slider and guide.

use measure::bounds::bike;

use crate::bike::{BikeField, Section};

const S: Section = Section::Swingarm;

pub(super) const FIELDS: &[BikeField] = &[
    BikeField::number(S, "countershaft_x_mm", &bike::COUNTERSHAFT_X).says(
        "Countershaft centre ahead of the swingarm pivot, along level ground.",
        "Bike level on its stand: plumb line through each centre, measure between the lines.",
    ),
    BikeField::number(S, "countershaft_z_mm", &bike::COUNTERSHAFT_Z).says(
        "Countershaft centre above the swingarm pivot; below is negative.",
        "Bike level: height of each centre over the floor, countershaft less pivot.",
    ),
    BikeField::number(S, "arm_mm", &bike::ARM).says(
        "Pivot centre to axle centre where the axle stands now.",
        "Tape along the arm from the pivot's centre to the axle's centre.",
    ),
    BikeField::number(S, "slot_min_mm", &bike::SLOT_MIN).says(
        "Pivot to axle with the axle at the front stop.",
        "Arm length now, less the room between axle block and front stop.",
    ),
    BikeField::number(S, "slot_max_mm", &bike::SLOT_MAX).says(
        "Pivot to axle with the axle at the rear stop.",
        "Arm length now, plus the room between axle block and rear stop.",
    ),
    BikeField::number(S, "droop_deg", &bike::DROOP).says(
        "How far the arm points below level at full extension.",
        "Wheel hanging free, bike level: angle gauge on the line pivot to axle.",
    ),
    BikeField::number(S, "travel_mm", &bike::TRAVEL).says(
        "Vertical travel of the rear axle from full extension to full compression.",
        "The manual, or shock off and the wheel lifted to its stop, measured at the axle.",
    ),
    BikeField::number(S, "slider_u_mm", &bike::SLIDER_U).says(
        "Centre of the slider's curve behind the pivot, along the arm.",
        "Curve round the pivot bolt: 0. Else find the centre with a cardboard arc.",
    ),
    BikeField::number(S, "slider_w_mm", &bike::SLIDER_W).says(
        "Centre of the slider's curve above the line pivot to axle.",
        "Curve round the pivot bolt: 0. Else find the centre with a cardboard arc.",
    ),
    BikeField::number(S, "slider_radius_mm", &bike::SLIDER_RADIUS).says(
        "Radius of the slider plus half the height of a chain plate. 0 leaves the slider out.",
        "Radius of the rubbing surface by cardboard arc, plus half the plate height.",
    ),
    BikeField::number(S, "gap_u_mm", &bike::GAP_U).says(
        "Where along the arm the gap is read, from the pivot.",
        "The manual's place, measured along the arm from the pivot's centre.",
    ),
    BikeField::number(S, "gap_surface_mm", &bike::GAP_SURFACE).says(
        "Height of the surface there over the line pivot to axle.",
        "Straight edge from pivot to axle centre, measure up to the surface.",
    ),
    BikeField::number(S, "plate_height_mm", &bike::PLATE_HEIGHT)
        .says("Height of a chain plate.", "Caliper over one outer plate, top to bottom."),
    BikeField::number(S, "thread_pitch_mm", &bike::ADJUSTER_PITCH).says(
        "How far an adjuster moves in one turn.",
        "Turn the adjuster ten turns, measure, divide by ten; or a thread gauge.",
    ),
    BikeField::number(S, "track_mm", &bike::TRACK).says(
        "Distance between left and right adjuster, across the bike.",
        "Tape from adjuster to adjuster, centre to centre.",
    ),
    BikeField::number(S, "sprocket_y_mm", &bike::SPROCKET_Y).says(
        "Sprocket plane left of the middle between the adjusters; right is negative.",
        "Half the distance between the adjusters, less the distance from left adjuster to sprocket.",
    ),
    BikeField::number(S, "guide_u_mm", &bike::GUIDE_U).says(
        "Chain guide behind the pivot, along the arm.",
        "Tape along the arm from the pivot's centre to the guide.",
    ),
    BikeField::number(S, "guide_low_mm", &bike::GUIDE_LOW).says(
        "Lower edge of the guide's opening over the line pivot to axle.",
        "Straight edge from pivot to axle centre, measure to the edge; below is negative.",
    ),
    BikeField::number(S, "guide_high_mm", &bike::GUIDE_HIGH).says(
        "Upper edge of the guide's opening over the line pivot to axle.",
        "Straight edge from pivot to axle centre, measure to the edge; below is negative.",
    ),
    BikeField::number(S, "guide_width_mm", &bike::GUIDE_WIDTH).says(
        "Clear width inside the chain guide, at its narrowest place.",
        "Inside jaws of a caliper between the guide's cheeks, chain pushed aside.",
    ),
    BikeField::number(S, "case_gap_mm", &bike::CASE_GAP).says(
        "Middle of the front sprocket's teeth to the nearest part of the engine case.",
        "Guard off: depth gauge from the sprocket's face to the case, plus half the tooth's thickness.",
    ),
];
