//! The travel of the suspension as arm angles, the distance countershaft-axle over it, and the tightest place.

use measure::{Angle, Length};

use super::fault::Fault;
use super::frame::Point;
use super::layout::Layout;
use super::solve::top;

/// Arm angles and lengths nearer than this are one (a value that went out and came back in).
const ROUNDING: f64 = 1e-9;
/// Places at which the loop's length is looked at before its tops are refined.
const SCAN: usize = 120;
/// Loops nearer in length than this take the same chain.
const SAME_LENGTH: f64 = 1e-10;

/// The arm's travel: full extension down to full compression.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    arm_mm: f64,
    /// Arm angle at full extension.
    pub extension: Angle,
    /// Arm angle at full compression; not above the extension.
    pub compression: Angle,
}

impl Swing {
    /// From the angle at full extension and the wheel travel at this arm length.
    ///
    /// # Formula
    /// `sin φ = sin φ_ext - z / arm`
    ///
    /// # Errors
    /// The travel is more than the arm can make: `arm (1 + sin φ_ext)`.
    pub fn new(arm: Length, extension: Angle, travel: Length) -> Result<Self, Fault> {
        let compression = angle_after(arm.mm(), extension, travel)?;
        Ok(Self { arm_mm: arm.mm(), extension, compression })
    }

    /// The arm angle after some wheel travel.
    ///
    /// # Errors
    /// More travel than the arm can make.
    pub fn angle_at(&self, travel: Length) -> Result<Angle, Fault> {
        angle_after(self.arm_mm, self.extension, travel)
    }

    /// The wheel travel at an arm angle.
    #[must_use]
    pub fn travel_at(&self, arm: Angle) -> Length {
        Length::from_mm(self.arm_mm * (self.extension.rad().sin() - arm.rad().sin()))
    }

    /// Refuses an arm angle that the travel does not reach.
    ///
    /// # Errors
    /// The angle lies outside.
    pub fn reaches(&self, arm: Angle) -> Result<Angle, Fault> {
        if self.compression.rad() - ROUNDING <= arm.rad() && arm.rad() <= self.extension.rad() + ROUNDING {
            Ok(arm)
        } else {
            Err(Fault::OutsideTravel { compression: self.compression, extension: self.extension })
        }
    }

    fn holds(&self, rad: f64) -> bool {
        self.compression.rad() <= rad && rad <= self.extension.rad()
    }
}

fn angle_after(arm_mm: f64, extension: Angle, travel: Length) -> Result<Angle, Fault> {
    let sin = extension.rad().sin() - travel.mm() / arm_mm;
    if sin < -1.0 - ROUNDING {
        return Err(Fault::BeyondReach { most: Length::from_mm(arm_mm * (1.0 + extension.rad().sin())) });
    }
    Ok(if travel == Length::ZERO { extension } else { Angle::from_rad(sin.clamp(-1.0, 1.0).asin()) })
}

/// Where the distance countershaft-axle is longest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LongestAt {
    /// Countershaft, pivot and axle in one line.
    InLine,
    /// At full extension.
    FullExtension,
    /// At full compression.
    FullCompression,
    /// Nowhere: it does not change.
    Constant,
}

/// The longest distance over the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Longest {
    /// The distance.
    pub centre: Length,
    /// Where.
    pub at: LongestAt,
    /// The arm angle there; `None` where the distance does not change.
    pub arm: Option<Angle>,
}

/// The distance countershaft-axle at an arm angle, for a drive of which only these three are known.
#[must_use]
pub fn centre_distance(countershaft: Point, arm: Length, angle: Angle) -> Length {
    Length::from_mm((Point::on_arm(arm.mm(), 0.0, angle.rad()) - countershaft).size())
}

/// The arm angle at which countershaft, pivot and axle are in line, the axle beyond the pivot.
#[must_use]
pub fn line_angle(countershaft: Point) -> Angle {
    Angle::from_rad(countershaft.angle_rad())
}

/// Whether the line of the three lies inside the travel.
#[must_use]
pub fn line_is_reached(countershaft: Point, swing: &Swing) -> bool {
    swing.holds(line_angle(countershaft).rad())
}

/// The longest distance countershaft-axle over the travel.
///
/// # Formula
/// `D² = c² + arm² + 2 c arm cos(φ - φ*)`, longest at `φ = φ* = atan2(cz, cx)`, else at the better end.
///
/// # Source
/// geometry
#[must_use]
pub fn longest(countershaft: Point, arm: Length, swing: &Swing) -> Longest {
    let at = |angle: Angle| centre_distance(countershaft, arm, angle);
    let line = line_angle(countershaft);
    let (extended, compressed) = (at(swing.extension), at(swing.compression));
    let (end, end_at, end_angle) = if extended >= compressed {
        (extended, LongestAt::FullExtension, swing.extension)
    } else {
        (compressed, LongestAt::FullCompression, swing.compression)
    };
    let shortest = extended.min(compressed);
    let (centre, place, angle) = if swing.holds(line.rad()) && at(line).mm() > end.mm() + ROUNDING {
        (at(line), LongestAt::InLine, line)
    } else {
        (end, end_at, end_angle)
    };
    if (centre - shortest).mm() < ROUNDING {
        return Longest { centre, at: LongestAt::Constant, arm: None };
    }
    Longest { centre, at: place, arm: Some(angle) }
}

/// The place of the travel where the taut loop takes most chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightest {
    /// The arm angle there.
    pub arm: Angle,
    /// What the taut loop takes there.
    pub length: Length,
    /// Whether the loop takes the same everywhere, so that no place is tightest.
    pub constant: bool,
}

/// The tightest place over the travel.
///
/// Without a slider it is where the distance is longest. With one, chain that rests on it can make another place
/// the tightest, or two: the length is looked at all along the travel and each top of it refined. Of two places
/// equally tight (a slider round the pivot has them) the one nearer to a place looked at is named.
#[must_use]
pub fn tightest(layout: &Layout, swing: &Swing) -> Tightest {
    let length = |rad: f64| layout.taut_length(Angle::from_rad(rad)).mm();
    let (low, high) = (swing.compression.rad(), swing.extension.rad());
    let mut found = Highest::new(high, length(high));
    found.consider(low, length(low));
    if layout.slider.is_some() && high > low {
        over_travel(length, low, high, &mut found);
    } else {
        let line = line_angle(layout.countershaft).rad();
        if swing.holds(line) {
            found.consider(line, length(line));
        }
    }
    Tightest {
        arm: Angle::from_rad(found.rad),
        length: Length::from_mm(found.mm),
        constant: found.mm - found.least_mm < ROUNDING,
    }
}

/// The top next to an arm angle, at most one look along the travel away; not higher than the tightest place.
pub(super) fn top_near(layout: &Layout, swing: &Swing, arm: Angle) -> (Angle, Length) {
    let (low, high) = (swing.compression.rad(), swing.extension.rad());
    let (step, place) = ((high - low) / steps(SCAN), arm.rad().clamp(low, high));
    let length = |rad: f64| layout.taut_length(Angle::from_rad(rad)).mm();
    let here = (place, length(place));
    let found = top(length, (place - step).max(low), (place + step).min(high));
    let (rad, mm) = if found.1 > here.1 { found } else { here };
    (Angle::from_rad(rad), Length::from_mm(mm))
}

/// The highest seen so far; a later one must be higher by more than rounding.
struct Highest {
    rad: f64,
    mm: f64,
    least_mm: f64,
}

impl Highest {
    const fn new(rad: f64, mm: f64) -> Self {
        Self { rad, mm, least_mm: mm }
    }

    fn consider(&mut self, rad: f64, mm: f64) {
        self.least_mm = self.least_mm.min(mm);
        if mm > self.mm + SAME_LENGTH {
            (self.rad, self.mm) = (rad, mm);
        }
    }
}

/// Looks along the travel and refines each top, the highest seen first.
fn over_travel(length: impl Fn(f64) -> f64, low: f64, high: f64, found: &mut Highest) {
    let place = |n: usize| low + (high - low) * steps(n) / steps(SCAN);
    let mut seen = [0.0; SCAN + 1];
    for (n, mm) in seen.iter_mut().enumerate() {
        *mm = length(place(n));
    }
    let around = |n: usize| (n.saturating_sub(1), (n + 1).min(SCAN));
    let is_top = |n: usize| seen[n] >= seen[around(n).0] && seen[n] >= seen[around(n).1];
    let highest = (0..=SCAN).fold(0, |best, n| if seen[n] > seen[best] { n } else { best });
    for n in std::iter::once(highest).chain((0..=SCAN).filter(|n| *n != highest && is_top(*n))) {
        let (before, after) = around(n);
        // Between two places the length cannot rise further than it fell beside them; a flat stretch has no better top.
        let rise = 2.0 * (seen[n] - seen[before].min(seen[after]));
        if n != highest && seen[n] + rise <= found.mm {
            continue;
        }
        let (rad, mm) = top(&length, place(before), place(after));
        found.consider(rad, mm);
    }
    found.least_mm = seen.iter().copied().fold(found.least_mm, f64::min);
}

#[expect(clippy::cast_precision_loss, reason = "a few hundred steps at most")]
const fn steps(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::super::layout::Slider;
    use super::super::sample;
    use super::*;

    #[test]
    fn countershaft_on_the_pivot_or_no_travel_is_constant() {
        let arm = Length::from_mm(615.0);
        assert_eq!(longest(Point::new(0.0, 0.0), arm, &sample::swing()).at, LongestAt::Constant);
        let still = Swing::new(arm, Angle::from_deg(24.0), Length::ZERO).expect("within reach");
        assert_eq!(longest(Point::new(68.0, 9.0), arm, &still).at, LongestAt::Constant);
        assert!(tightest(&sample::layout(), &still).constant);
    }

    #[test]
    fn a_line_outside_the_travel_leaves_the_longest_at_an_end() {
        let arm = Length::from_mm(615.0);
        let at = |z_mm: f64| longest(Point::new(68.0, z_mm), arm, &sample::swing()).at;
        assert_eq!(at(9.0), LongestAt::InLine);
        assert_eq!(at(-20.0), LongestAt::FullCompression);
        assert_eq!(at(60.0), LongestAt::FullExtension);
    }

    #[test]
    fn more_travel_than_the_arm_makes_is_refused() {
        let swing = |mm: f64| Swing::new(Length::from_mm(300.0), Angle::from_deg(30.0), Length::from_mm(mm));
        assert!(swing(450.0).is_ok() && matches!(swing(450.1), Err(Fault::BeyondReach { .. })));
    }

    #[test]
    fn a_thick_slider_moves_the_tightest_place_off_the_line() {
        let mut sheet = sample::sheet();
        sheet.front = measure::Teeth::new(12).expect("12 teeth");
        sheet.slider = sheet.slider.map(|slider| Slider { radius: Length::from_mm(44.0), ..slider });
        let place = tightest(&Layout::new(&sheet), &sample::swing()).arm.deg();
        assert!((place - 7.539).abs() > 4.0, "{place}");
    }

    #[test]
    fn a_higher_top_between_two_places_is_found_beside_a_lower_one_that_is_met_exactly() {
        // Both fall away on each side; the higher one peaks half a look from either place, and is seen lower there.
        let length = |x: f64| (1000.0 - (x - 10.0).powi(2)).max(1000.01 - 0.1 * (x - 30.5).powi(2));
        let mut found = Highest::new(0.0, length(0.0));
        over_travel(length, 0.0, steps(SCAN), &mut found);
        assert!((found.rad - 30.5).abs() < 1e-4 && (found.mm - 1000.01).abs() < 1e-9, "{} {}", found.rad, found.mm);
    }
}
