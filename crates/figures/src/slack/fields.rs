//! The fields that figures of this domain share, declared once.

use measure::bounds::{self, slack as bound};

pub(super) use crate::field::joined;

use crate::Field;

pub(super) const COUNTERSHAFT_X: Field =
    Field::number("countershaft_x_mm", &bound::COUNTERSHAFT_X).meaning("countershaft ahead of the pivot");
pub(super) const COUNTERSHAFT_Z: Field =
    Field::number("countershaft_z_mm", &bound::COUNTERSHAFT_Z).meaning("countershaft above the pivot");
pub(super) const ARM: Field = Field::number("arm_mm", &bound::ARM).meaning("pivot to axle at the present axle place");
pub(super) const PITCH: Field = Field::number("pitch_mm", &bounds::PITCH).meaning("chain pitch, new");
pub(super) const FRONT_TEETH: Field = Field::whole("front_teeth", &bounds::TEETH);
pub(super) const REAR_TEETH: Field = Field::whole("rear_teeth", &bounds::TEETH);

/// Countershaft, arm, chain, sprockets, slider.
pub(super) const GEOMETRY: [Field; 10] = [
    COUNTERSHAFT_X,
    COUNTERSHAFT_Z,
    ARM,
    PITCH,
    FRONT_TEETH,
    REAR_TEETH,
    Field::number("elongation_pct", &bounds::ELONGATION).optional("0"),
    Field::number("slider_u_mm", &bound::SLIDER_U).optional("0").meaning("middle of the slider disc along the arm"),
    Field::number("slider_w_mm", &bound::SLIDER_W).optional("0").meaning("middle of the slider disc over the arm line"),
    Field::number("slider_radius_mm", &bound::SLIDER_RADIUS)
        .optional("none: slider left out")
        .meaning("radius of the pin line on the slider: surface radius plus half a plate height"),
];

pub(super) const ARM_ANGLE: Field =
    Field::number("arm_angle_deg", &bound::ARM_ANGLE).meaning("+ with the axle below the pivot, in the chassis frame");
pub(super) const MEASURED_AT: Field =
    ARM_ANGLE.optional("droop_deg").meaning("arm angle where the reading is taken, + with the axle below the pivot");
pub(super) const DROOP: Field = Field::number("droop_deg", &bound::ARM_ANGLE).meaning("arm angle at full extension");
pub(super) const TRAVEL: Field =
    Field::number("travel_mm", &bound::TRAVEL).meaning("vertical wheel travel at this arm_mm");
pub(super) const LINKS: Field = Field::whole("links", &bounds::LINKS);
pub(super) const MARGIN: Field = Field::number("margin_mm", &bound::MARGIN)
    .optional("1.0")
    .meaning("surplus wanted at the tightest place; the default is the tool's own");
pub(super) const STATION: Field =
    Field::number("station", &bound::STATION).optional("0.5").meaning("place along the straight run, from the front");
pub(super) const READING: Field = Field::number("slack_mm", &bound::SLACK)
    .optional("none")
    .meaning("a reading at mid lower run, total movement, at the tightest place of the chain");
pub(super) const READING_ERROR: Field =
    Field::number("reading_error_mm", &bound::READING_ERROR).optional("none").meaning("error of one reading");
pub(super) const THREAD_PITCH: Field =
    Field::number("thread_pitch_mm", &bound::THREAD_PITCH).meaning("pitch of the adjuster's thread");
pub(super) const TRACK: Field =
    Field::number("track_mm", &bound::TRACK).meaning("distance between the two measuring places");
pub(super) const SPROCKET_Y: Field = Field::number("sprocket_y_mm", &bound::SPROCKET_Y)
    .optional("0")
    .meaning("sprocket plane left of the wheel's middle");

/// Place of the gap kind: all three or none.
pub(super) const GAP: [Field; 3] = [
    Field::number("gap_u_mm", &bound::GAP_U).meaning("place along the arm, from the pivot"),
    Field::number("gap_surface_mm", &bound::GAP_SURFACE)
        .meaning("height over the arm line of the surface measured from"),
    Field::number("plate_height_mm", &bound::PLATE_HEIGHT).meaning("height of a side plate"),
];

/// The same where the gap may be left out.
pub(super) const GAP_IF_ASKED: [Field; 3] =
    [GAP[0].optional("no gap asked"), GAP[1].optional("no gap asked"), GAP[2].optional("no gap asked")];

/// Where a margin counts when none is given.
pub(super) const DEFAULT_MARGIN_MM: f64 = 1.0;
