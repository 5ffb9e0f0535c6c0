//! Bounds of chain, sprocket and tyre figures.

use super::Bound;

/// Total travel of the middle of a run.
pub const SLACK: Bound = Bound::from_to("slack, total travel", "mm", 0.0, 300.0);
/// Room to keep to a stop.
pub const MARGIN: Bound = Bound::from_to("margin to a stop", "mm", 0.0, 50.0);
/// Pitches that a length was measured over.
pub const PITCHES: Bound = Bound::from_to("pitches measured over", "", 1.0, 500.0);
/// A length measured along a chain.
pub const MEASURED: Bound = Bound::above("measured length", "mm", 0.0);
/// Torque at a sprocket.
pub const TORQUE: Bound = Bound::above("torque at the sprocket", "N·m", 0.0);
/// Power through a sprocket.
pub const POWER: Bound = Bound::above("power", "kW", 0.0);
/// Thrust of the driven wheel on the ground.
pub const THRUST: Bound = Bound::above("thrust at the tyre", "N", 0.0);
/// Pull in the taut run.
pub const PULL: Bound = Bound::above("chain pull", "N", 0.0);
/// Minimum tensile strength of a chain.
pub const TENSILE: Bound = Bound::above_to("tensile strength", "kN", 0.0, 500.0);
/// Mass of a chain per length.
pub const MASS_PER_LENGTH: Bound = Bound::from_to("mass per metre", "kg/m", 0.0, 20.0);
/// Speed of a chain along its runs.
pub const CHAIN_SPEED: Bound = Bound::from_to("chain speed", "m/s", 0.0, 100.0);
/// Factor on the pull for shocks.
pub const SHOCK: Bound = Bound::from_to("shock factor", "", 1.0, 5.0);
/// Chain pitch for which a rating has a verified factor.
pub const RATED_PITCH: Bound = Bound::from_to("chain pitch with a verified factor", "mm", 12.7, 76.2);
/// Teeth for which a rating holds.
pub const RATED_TEETH: Bound = Bound::from_to("teeth of the small sprocket", "", 9.0, 150.0);
/// Roller diameter.
pub const ROLLER: Bound = Bound::above("roller diameter", "mm", 0.0);
/// Width between inner plates.
pub const INNER_WIDTH: Bound = Bound::above("inner width", "mm", 0.0);
/// Free run, tangent point to tangent point.
pub const SPAN: Bound = Bound::above_to("free span", "mm", 0.0, 5000.0);
/// Chain length beyond taut in one run.
pub const SURPLUS: Bound = Bound::above_to("surplus length", "mm", 0.0, 60.0);
/// Mass per length of a hanging chain.
pub const HANGING_MASS: Bound = Bound::above_to("mass per metre", "kg/m", 0.0, 20.0);
/// Rim of a motorcycle wheel.
pub const RIM: Bound = Bound::from_to("rim diameter", "in", 8.0, 23.0);
