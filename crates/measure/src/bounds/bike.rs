//! Bounds of the bike's own sheet: narrower where a value outside is a typing slip.
//!
//! A bound here says what a rider's off-road bike can be, not what geometry allows; whoever asks a figure without a
//! sheet has the wider bounds of that figure.

use super::Bound;

/// Teeth of the front sprocket.
pub const FRONT_TEETH: Bound = Bound::from_to("front teeth", "", 8.0, 25.0);
/// Teeth of the rear sprocket.
pub const REAR_TEETH: Bound = Bound::from_to("rear teeth", "", 20.0, 80.0);
/// Links of the closed chain on a bike.
pub const LINKS: Bound = Bound::from_to("links", "", 40.0, 250.0);
/// Diameter of a chain roller.
pub const ROLLER: Bound = Bound::from_to("roller diameter", "mm", 3.0, 20.0);
/// Clear width between the inner plates.
pub const INNER_WIDTH: Bound = Bound::from_to("inner width", "mm", 2.0, 25.0);
/// Tensile strength of the chain.
pub const TENSILE: Bound = Bound::from_to("tensile strength", "kN", 3.0, 120.0);
/// Mass of one metre of chain.
pub const CHAIN_MASS: Bound = Bound::from_to("chain mass", "kg/m", 0.2, 6.0);
/// Bolts or nuts that hold the rear sprocket.
pub const REAR_FASTENERS: Bound = Bound::from_to("rear sprocket fasteners", "", 3.0, 12.0);
/// Countershaft ahead of the swingarm pivot.
pub const COUNTERSHAFT_X: Bound = Bound::from_to("countershaft ahead of the pivot", "mm", -50.0, 200.0);
/// Countershaft above the swingarm pivot.
pub const COUNTERSHAFT_Z: Bound = Bound::from_to("countershaft above the pivot", "mm", -100.0, 100.0);
/// Swingarm pivot to rear axle, where the axle stands.
pub const ARM: Bound = Bound::from_to("arm length", "mm", 250.0, 900.0);
/// Pivot to axle with the axle at the front stop.
pub const SLOT_MIN: Bound = Bound::from_to("arm length at the front stop", "mm", 250.0, 900.0);
/// Pivot to axle with the axle at the rear stop.
pub const SLOT_MAX: Bound = Bound::from_to("arm length at the rear stop", "mm", 250.0, 900.0);
/// Angle of the arm below level at full extension.
pub const DROOP: Bound = Bound::from_to("arm angle at full extension", "deg", -10.0, 50.0);
/// Vertical travel of the rear axle.
pub const TRAVEL: Bound = Bound::from_to("rear wheel travel", "mm", 30.0, 450.0);
/// Centre of the slider's curve behind the pivot, along the arm.
pub const SLIDER_U: Bound = Bound::from_to("slider centre along the arm", "mm", -100.0, 300.0);
/// Centre of the slider's curve above the arm's line.
pub const SLIDER_W: Bound = Bound::from_to("slider centre above the arm", "mm", -80.0, 80.0);
/// Radius of the pin line over the slider; 0 where there is none.
pub const SLIDER_RADIUS: Bound = Bound::from_to("slider radius at the pin line", "mm", 0.0, 120.0);
/// Place along the arm where the gap is read.
pub const GAP_U: Bound = Bound::from_to("place of the gap along the arm", "mm", 20.0, 700.0);
/// Height of the surface over the arm's line, where the gap is read.
pub const GAP_SURFACE: Bound = Bound::from_to("surface over the arm's line", "mm", -50.0, 150.0);
/// Height of a chain plate.
pub const PLATE_HEIGHT: Bound = Bound::from_to("plate height", "mm", 4.0, 40.0);
/// Thread pitch of the chain adjusters.
pub const ADJUSTER_PITCH: Bound = Bound::from_to("adjuster thread pitch", "mm", 0.5, 3.0);
/// Distance between the adjusters, left to right.
pub const TRACK: Bound = Bound::from_to("distance between the adjusters", "mm", 80.0, 500.0);
/// Sprocket plane left of the middle between the adjusters.
pub const SPROCKET_Y: Bound = Bound::from_to("sprocket left of the middle", "mm", -200.0, 200.0);
/// Chain guide behind the pivot, along the arm.
pub const GUIDE_U: Bound = Bound::from_to("chain guide along the arm", "mm", 50.0, 1000.0);
/// Lower edge of the guide's opening over the arm's line.
pub const GUIDE_LOW: Bound = Bound::from_to("lower edge of the guide", "mm", -300.0, 300.0);
/// Upper edge of the guide's opening over the arm's line.
pub const GUIDE_HIGH: Bound = Bound::from_to("upper edge of the guide", "mm", -300.0, 300.0);
/// Primary reduction, driven over driver.
pub const PRIMARY: Bound = Bound::from_to("primary ratio", "", 1.0, 6.0);
/// Ratio of one gear, driven over driver.
pub const GEAR: Bound = Bound::from_to("gear ratio", "", 0.3, 6.0);
/// Teeth of a gearbox wheel, where a ratio is given as a pair.
pub const GEAR_TEETH: Bound = Bound::from_to("gearbox teeth", "", 5.0, 120.0);
/// Engine speed at idle.
pub const IDLE_RPM: Bound = Bound::from_to("idle", "rpm", 500.0, 4000.0);
/// Least engine speed with the clutch fully out.
pub const SLIP_RPM: Bound = Bound::from_to("clutch fully out", "rpm", 800.0, 8000.0);
/// Lower end of the comfortable band.
pub const LO_RPM: Bound = Bound::from_to("lower end of the comfortable band", "rpm", 1000.0, 15_000.0);
/// Upper end of the comfortable band.
pub const HI_RPM: Bound = Bound::from_to("upper end of the comfortable band", "rpm", 1500.0, 18_000.0);
/// Engine speed of the limiter.
pub const MAX_RPM: Bound = Bound::from_to("limiter", "rpm", 2000.0, 20_000.0);
/// Engine speed that is never passed.
pub const HARD_RPM: Bound = Bound::from_to("never beyond", "rpm", 2000.0, 22_000.0);
/// Engine speed of a point of the torque curve.
pub const CURVE_RPM: Bound = Bound::from_to("engine speed of the curve", "rpm", 0.0, 22_000.0);
/// Engine torque of a point of the torque curve.
pub const CURVE_TORQUE: Bound = Bound::from_to("engine torque of the curve", "N·m", 0.0, 300.0);
/// Share of the engine's work that reaches the rear wheel.
pub const ETA: Bound = Bound::from_to("drive efficiency", "", 0.6, 1.0);
/// Bike, rider, kit and fuel together.
pub const MASS: Bound = Bound::from_to("mass ready to ride", "kg", 60.0, 450.0);
/// Moment of inertia of the front wheel.
pub const J_FRONT: Bound = Bound::from_to("front wheel inertia", "kg·m²", 0.02, 3.0);
/// Moment of inertia of the rear wheel with its sprocket.
pub const J_REAR: Bound = Bound::from_to("rear wheel inertia", "kg·m²", 0.02, 3.0);
/// Moment of inertia at the crankshaft.
pub const J_ENGINE: Bound = Bound::from_to("engine inertia", "kg·m²", 0.0002, 0.1);
/// Drag area of bike and rider.
pub const CDA: Bound = Bound::from_to("drag area", "m²", 0.15, 1.8);
/// Axle to axle.
pub const WHEELBASE: Bound = Bound::from_to("wheelbase", "m", 0.8, 2.0);
/// Centre of mass behind the front axle.
pub const CG_FROM_FRONT: Bound = Bound::from_to("centre of mass behind the front axle", "m", 0.2, 1.6);
/// Centre of mass above the ground.
pub const CG_HEIGHT: Bound = Bound::from_to("height of the centre of mass", "m", 0.2, 1.6);
/// Height at which the drag pulls.
pub const AERO_HEIGHT: Bound = Bound::from_to("height of the drag", "m", 0.0, 2.0);
/// Loaded radius of a wheel.
pub const WHEEL_RADIUS: Bound = Bound::from_to("loaded wheel radius", "mm", 120.0, 450.0);
/// Front axle ahead of the swingarm pivot.
pub const FRONT_AXLE_X: Bound = Bound::from_to("front axle ahead of the pivot", "mm", 300.0, 1600.0);
/// Front axle above the swingarm pivot.
pub const FRONT_AXLE_Z: Bound = Bound::from_to("front axle above the pivot", "mm", -600.0, 400.0);
/// Distance that the loaded rear wheel rolls in one turn.
pub const ROLLOUT: Bound = Bound::from_to("rollout", "m", 0.9, 2.8);
/// Least slack of the manual's band.
pub const SLACK_MIN: Bound = Bound::from_to("least slack", "mm", 2.0, 200.0);
/// Most slack of the manual's band.
pub const SLACK_MAX: Bound = Bound::from_to("most slack", "mm", 2.0, 250.0);
/// Slack below which the bike is not ridden.
pub const SLACK_STOP: Bound = Bound::from_to("slack below which not to ride", "mm", 1.0, 200.0);
/// Elongation at which the chain is replaced.
pub const LIMIT: Bound = Bound::from_to("wear limit", "%", 0.1, 4.0);
/// A tightening torque of the manual.
pub const TORQUE: Bound = Bound::from_to("torque", "N·m", 0.5, 300.0);
/// Least thickness of the slider.
pub const SLIDER_LIMIT: Bound = Bound::from_to("least slider thickness", "mm", 0.5, 30.0);
/// Width over the plates of the connecting link.
pub const PRESS_WIDTH: Bound = Bound::from_to("width over the connecting link", "mm", 8.0, 60.0);
/// Outer width of a chain, over its pins.
pub const CHAIN_WIDTH: Bound = Bound::from_to("outer width of the chain", "mm", 8.0, 60.0);
/// Clear width of the chain guide.
pub const GUIDE_WIDTH: Bound = Bound::from_to("clear width of the chain guide", "mm", 8.0, 80.0);
/// Middle of the front sprocket's teeth to the engine case.
pub const CASE_GAP: Bound = Bound::from_to("room to the engine case", "mm", 3.0, 60.0);
/// Hours between oil changes.
pub const OIL_INTERVAL: Bound = Bound::from_to("hours between oil changes", "h", 1.0, 500.0);
