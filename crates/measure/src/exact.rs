//! Numbers that are exact by definition: the international yard and pound of 1959, and the third CGPM of 1901.

/// An inch, mm.
pub const INCH_MM: f64 = 25.4;
/// An inch, m.
pub const INCH_M: f64 = 0.0254;
/// Standard gravity, m/s²; also a kilogram-force, N.
pub const GRAVITY: f64 = 9.806_65;
/// A pound-force, N: 0.45359237 kg under standard gravity.
pub const POUND_FORCE_N: f64 = 4.448_221_615_260_5;
