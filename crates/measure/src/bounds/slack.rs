//! Bounds of swingarm, slack, alignment and stance figures.

use super::Bound;

/// Countershaft ahead of the pivot.
pub const COUNTERSHAFT_X: Bound = Bound::from_to("countershaft ahead of the pivot", "mm", -100.0, 300.0);
/// Countershaft above the pivot.
pub const COUNTERSHAFT_Z: Bound = Bound::from_to("countershaft above the pivot", "mm", -150.0, 150.0);
/// Pivot to axle.
pub const ARM: Bound = Bound::above_to("arm length, pivot to axle", "mm", 0.0, 1000.0);
/// Arm below level, in the chassis frame.
pub const ARM_ANGLE: Bound = Bound::from_to("arm angle, + with the axle below the pivot", "deg", -89.0, 89.0);
/// Vertical wheel travel.
pub const TRAVEL: Bound = Bound::from_to("vertical wheel travel", "mm", 0.0, 500.0);
/// Slider disc along the arm.
pub const SLIDER_U: Bound = Bound::from_to("slider disc along the arm, from the pivot", "mm", -100.0, 500.0);
/// Slider disc over the arm line.
pub const SLIDER_W: Bound = Bound::from_to("slider disc over the arm line", "mm", -100.0, 100.0);
/// Radius of the pin line on the slider; 0 leaves it out.
pub const SLIDER_RADIUS: Bound =
    Bound::from_to("radius of the pin line on the slider (surface plus half a plate height)", "mm", 0.0, 200.0);
/// Share of the straight run from the front.
pub const STATION: Bound = Bound::between("share of the straight run from the front", "", 0.0, 1.0);
/// Slack of the free kind, total.
pub const SLACK: Bound = Bound::between("slack, total movement up and down", "mm", 0.0, 300.0);
/// Chain beyond taut.
pub const SURPLUS: Bound = Bound::from_to("surplus, chain beyond taut", "mm", -50.0, 60.0);
/// Surplus wanted at the tightest place.
pub const MARGIN: Bound = Bound::from_to("surplus wanted at the tightest place", "mm", 0.0, 20.0);
/// Where the gap is read, along the arm.
pub const GAP_U: Bound = Bound::above_to("place of the gap along the arm, from the pivot", "mm", 0.0, 700.0);
/// Surface that the gap is measured from.
pub const GAP_SURFACE: Bound =
    Bound::from_to("height over the arm line of the surface measured from", "mm", -50.0, 150.0);
/// Height of a side plate.
pub const PLATE_HEIGHT: Bound = Bound::above_to("height of a side plate", "mm", 0.0, 40.0);
/// Reading of the gap kind.
pub const GAP: Bound = Bound::from_to("gap under the lifted upper run", "mm", -50.0, 300.0);
/// Error of one reading.
pub const READING_ERROR: Bound = Bound::from_to("error of one reading, both ways", "mm", 0.0, 20.0);
/// Standard error of one reading of many.
pub const READING_SPREAD: Bound = Bound::above_to("standard error of one reading", "mm", 0.0, 20.0);
/// Straight run, tangent point to tangent point.
pub const SPAN: Bound = Bound::above_to("straight run, tangent point to tangent point", "mm", 0.0, 5000.0);
/// A stop of the axle slot, as arm length.
pub const SLOT: Bound = Bound::above_to("arm length with the axle at a stop of the slot", "mm", 0.0, 1000.0);
/// Distance of the wheels' contacts.
pub const WHEELBASE: Bound = Bound::above_to("wheelbase", "mm", 0.0, 3000.0);
/// Adjuster block to reference, on one side.
pub const SIDE: Bound = Bound::from_to("distance from axle block to reference", "mm", 0.0, 3000.0);
/// Left minus right.
pub const DIFFERENCE: Bound = Bound::from_to("left minus right", "mm", -100.0, 100.0);
/// Sprocket plane left of the wheel's middle.
pub const SPROCKET_Y: Bound = Bound::from_to("sprocket plane left of the wheel's middle", "mm", -300.0, 300.0);
/// Distance between the two measuring places.
pub const TRACK: Bound = Bound::above_to("distance between the two measuring places", "mm", 0.0, 600.0);
/// Pitch of the adjuster's thread.
pub const THREAD_PITCH: Bound = Bound::above_to("pitch of the adjuster's thread", "mm", 0.0, 5.0);
/// Flats of a hexagon in one round.
pub const ROUND_FLATS: Bound = Bound::above_to("flats of a hexagon in one round", "", 0.0, 12.0);
/// Guide along the arm.
pub const GUIDE_U: Bound = Bound::from_to("guide along the arm, from the pivot", "mm", 0.0, 1000.0);
/// An edge of the guide's opening.
pub const GUIDE_EDGE: Bound = Bound::from_to("edge of the guide's opening over the arm line", "mm", -500.0, 500.0);
/// Radius of a wheel with its tyre.
pub const WHEEL_RADIUS: Bound = Bound::above_to("wheel radius, axle to ground", "mm", 0.0, 500.0);
/// Front axle ahead of the pivot.
pub const FRONT_AXLE_X: Bound = Bound::from_to("front axle ahead of the pivot", "mm", -3000.0, 3000.0);
/// Front axle above the pivot.
pub const FRONT_AXLE_Z: Bound = Bound::from_to("front axle above the pivot", "mm", -1500.0, 1500.0);
/// Centre of gravity over the ground.
pub const COG_HEIGHT: Bound = Bound::above_to("height of the centre of gravity", "mm", 0.0, 2000.0);
/// Thrust at the rear contact.
pub const THRUST: Bound = Bound::above_to("thrust at the rear wheel", "N", 0.0, 20_000.0);
/// Total reading of radial run-out.
pub const RUNOUT: Bound = Bound::from_to("radial run-out, total reading", "mm", 0.0, 20.0);
/// Layer of packed mud.
pub const LAYER: Bound = Bound::from_to("packed layer under the rollers", "mm", 0.0, 10.0);
/// One of the lengths that sag is taken from.
pub const SAG_LENGTH: Bound = Bound::above_to("axle to a mark above it", "mm", 0.0, 1500.0);
/// Places of the travel in a curve.
pub const PLACES: Bound = Bound::from_to("places of the travel", "", 2.0, 400.0);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_open_end_does_not_belong() {
        assert!(!SLACK.holds(0.0) && SLACK.holds(0.001) && !SLACK.holds(300.0));
        assert!(SPAN.holds(5000.0) && !SPAN.holds(0.0));
        assert!(!STATION.holds(1.0) && TRAVEL.holds(0.0) && TRAVEL.holds(500.0));
    }
}
