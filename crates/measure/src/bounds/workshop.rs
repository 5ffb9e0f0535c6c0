//! Bounds of torque, work order, shopping and money figures.

use super::Bound;

/// Nominal thread diameter.
pub const THREAD_DIAMETER: Bound = Bound::from_to("thread diameter", "mm", 1.0, 64.0);
/// Thread pitch; 0.3 of the diameter is the end, checked against the diameter given.
pub const THREAD_PITCH: Bound = Bound::above_to("thread pitch", "mm", 0.0, 19.2);
/// Strength class on a bolt head.
pub const PROPERTY_CLASS: Bound = Bound::from_to("property class", "", 4.6, 12.9);
/// Friction of thread or head.
pub const FRICTION: Bound = Bound::from_to("friction", "", 0.02, 0.6);
/// Mean friction diameter under head or nut; above the diameter and up to 3 times of it, checked against the one given.
pub const HEAD_CONTACT: Bound = Bound::above_to("mean friction diameter under the head", "mm", 0.0, 192.0);
/// Torque divided by preload and diameter.
pub const NUT_FACTOR: Bound = Bound::from_to("nut factor", "", 0.05, 0.6);
/// Share of the proof load or of the yield strength.
pub const SHARE: Bound = Bound::from_to("share", "", 0.0, 1.0);
/// Clamping force of a bolt.
pub const PRELOAD: Bound = Bound::above("preload", "N", 0.0);
/// Torque on a bolt or nut.
pub const BOLT_TORQUE: Bound = Bound::above("torque", "N·m", 0.0);
/// Torque that turns a self-locking nut before it seats.
pub const RUNNING_TORQUE: Bound = Bound::at_least("running torque", "N·m", 0.0);
/// A torque as typed, in any unit.
pub const TORQUE_VALUE: Bound = Bound::at_least("torque", "", 0.0);
/// Error of a torque wrench, share of the reading.
pub const WRENCH_ERROR: Bound = Bound::from_to("wrench error", "%", 0.0, 25.0);
/// Standard uncertainty.
pub const UNCERTAINTY: Bound = Bound::from_to("uncertainty", "%", 0.0, 100.0);
/// Wrench from its drive to the middle of the grip.
pub const WRENCH_LENGTH: Bound = Bound::above("wrench length", "mm", 0.0);
/// Adapter from the drive to the fastener.
pub const EXTENSION_LENGTH: Bound = Bound::at_least("adapter length", "mm", 0.0);
/// Angle between wrench and adapter.
pub const EXTENSION_ANGLE: Bound = Bound::from_to("angle between wrench and adapter", "°", 0.0, 180.0);
/// Bolts in a circle.
pub const BOLTS: Bound = Bound::from_to("bolts", "", 2.0, 36.0);
/// A length captured at the bench.
pub const CAPTURED_LENGTH: Bound = Bound::from_to("length read", "mm", 0.0, 10_000.0);
/// A pressure captured at the bench.
pub const CAPTURED_PRESSURE: Bound = Bound::from_to("pressure read", "kPa", 0.0, 1000.0);
/// A volume captured at the bench.
pub const CAPTURED_VOLUME: Bound = Bound::from_to("volume poured", "mL", 0.0, 20_000.0);
/// Links counted at the bench.
pub const CAPTURED_LINKS: Bound = Bound::from_to("links counted", "links", 0.0, 400.0);
/// Hours until a threadlocker is cured, off its label.
pub const CURE: Bound = Bound::above_to("hours until it is cured", "h", 0.0, 240.0);
/// Stage of a tightening, share of the final torque.
pub const STAGE: Bound = Bound::above_to("stage", "%", 0.0, 100.0);
