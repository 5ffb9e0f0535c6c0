//! Sprocket diameters, gap and tooth forms from pitch, teeth and roller.

use std::f64::consts::PI;

use measure::{Angle, Length, Teeth};

use super::pair::pitch_radius;

/// What follows from pitch and teeth alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blank {
    /// Diameter through the pins.
    pub pitch_diameter: Length,
    /// Largest hub that clears the plates.
    pub hub_max: Length,
    /// Tip diameter as turned, approximate by its own wording.
    pub tip_turned: Length,
}

/// A pitch polygon's circle, hub and turned tip.
///
/// # Formula
/// d = p/sin(π/z); hub p (cot(π/z) − 1) − 0.76 mm; tip p (0.6 + cot(π/z)).
///
/// # Source
/// `geometry` for d; `inch-sprocket-forms` for hub and turned tip.
#[must_use]
pub fn blank(pitch: Length, teeth: Teeth) -> Blank {
    let cot = 1.0 / (PI / teeth.real()).tan();
    Blank {
        pitch_diameter: pitch * (2.0 * pitch_radius(teeth)),
        hub_max: pitch * (cot - 1.0) - Length::from_mm(0.76),
        tip_turned: pitch * (0.6 + cot),
    }
}

/// Smallest and largest allowed value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range<Q> {
    /// Smallest.
    pub min: Q,
    /// Largest.
    pub max: Q,
}

impl Range<Length> {
    /// Middle of the two.
    #[must_use]
    pub fn middle(&self) -> Length {
        (self.min + self.max) / 2.0
    }
}

/// What the roller adds: gaps, tips, and what a calliper reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gaps {
    /// Diameter of the gap bottoms.
    pub root: Length,
    /// Over two pins of roller diameter in (nearly) opposite gaps.
    pub over_pins: Length,
    /// Between the bottoms of those gaps.
    pub caliper: Length,
    /// Tip diameter.
    pub tip: Range<Length>,
    /// Radius of the roller's seat.
    pub seat_radius: Range<Length>,
    /// Radius of the tooth flank.
    pub flank_radius: Range<Length>,
    /// Angle that the seat spans.
    pub seat_angle: Range<Angle>,
}

/// Gap and tip forms of a sprocket for a roller.
///
/// # Formula
/// Root d − d1. Over pins: even z d + d1, odd d cos(π/2z) + d1; calliper the same with − d1.
/// Tip: d + p(1 − 1.6/z) − d1 to d + 1.25 p − d1. Seat 0.505 d1 to 0.505 d1 + 0.069 ∛d1.
/// Flank 0.12 d1(z + 2) to 0.008 d1(z² + 180). Seat angle 120° − 90°/z to 140° − 90°/z.
///
/// # Holds when
/// The roller is smaller than the pitch. Below nine teeth the tip is nominal only.
///
/// # Source
/// `machine-textbook`, worked example on a sprocket; over pins and calliper `geometry`; seat angle `memory`.
#[must_use]
pub fn gaps(pitch: Length, teeth: Teeth, roller: Length) -> Gaps {
    let (p, d1, z) = (pitch.mm(), roller.mm(), teeth.real());
    let d = 2.0 * p * pitch_radius(teeth);
    let across = if teeth.count().is_multiple_of(2) { d } else { d * (PI / (2.0 * z)).cos() };
    let mm = |min, max| Range { min: Length::from_mm(min), max: Length::from_mm(max) };
    let angle = |full: f64| Angle::from_deg(full - 90.0 / z);
    Gaps {
        root: Length::from_mm(d - d1),
        over_pins: Length::from_mm(across + d1),
        caliper: Length::from_mm(across - d1),
        tip: mm(d + p * (1.0 - 1.6 / z) - d1, d + 1.25 * p - d1),
        seat_radius: mm(0.505 * d1, 0.505 * d1 + 0.069 * d1.cbrt()),
        flank_radius: mm(0.12 * d1 * (z + 2.0), 0.008 * d1 * (z * z + 180.0)),
        seat_angle: Range { min: angle(120.0), max: angle(140.0) },
    }
}

/// Pitch up to which a tooth is the slightly narrower part of the inner width.
pub const NARROW_TOOTH_PITCH: Length = Length::from_mm(12.7);

/// Width of a tooth for a chain's inner width.
///
/// # Formula
/// 0.95 b1 above 12.7 mm pitch, 0.93 b1 up to it.
///
/// # Source
/// `machine-textbook` for 0.95; `memory` for 0.93.
#[must_use]
pub fn tooth_width(pitch: Length, inner_width: Length) -> Length {
    inner_width * if pitch > NARROW_TOOTH_PITCH { 0.95 } else { 0.93 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pins_sit_one_roller_above_the_caliper_on_each_side() {
        for count in [13, 14, 48, 49] {
            let teeth = Teeth::new(count).expect("teeth");
            let gaps = gaps(Length::from_mm(15.875), teeth, Length::from_mm(10.16));
            assert!((gaps.over_pins - gaps.caliper - Length::from_mm(20.32)).abs().mm() < 1e-12);
            assert!(gaps.caliper >= gaps.root * 0.9 && gaps.caliper <= gaps.root);
        }
    }
}
