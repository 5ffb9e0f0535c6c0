//! The travel of the suspension as arm angles, and the distance countershaft-axle over it.

use measure::{Angle, Length};

use super::fault::Fault;
use super::frame::Point;

/// Arm angles and lengths nearer than this are one (a value that went out and came back in).
pub(super) const ROUNDING: f64 = 1e-9;

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

    pub(super) fn holds(&self, rad: f64) -> bool {
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

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn countershaft_on_the_pivot_or_no_travel_is_constant() {
        let arm = Length::from_mm(615.0);
        assert_eq!(longest(Point::new(0.0, 0.0), arm, &sample::swing()).at, LongestAt::Constant);
        let still = Swing::new(arm, Angle::from_deg(24.0), Length::ZERO).expect("within reach");
        assert_eq!(longest(Point::new(68.0, 9.0), arm, &still).at, LongestAt::Constant);
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
    fn the_longest_is_what_a_walk_along_the_travel_finds() {
        let arm = Length::from_mm(615.0);
        for (x, z) in [(68.0, 9.0), (68.0, -20.0), (40.0, 60.0), (-30.0, 10.0), (-30.0, -10.0), (5.0, 0.0)] {
            for (droop, travel) in [(24.0, 295.0), (5.0, 295.0), (40.0, 100.0), (-8.0, 60.0)] {
                let swing = Swing::new(arm, Angle::from_deg(droop), Length::from_mm(travel)).expect("within reach");
                let (low, high) = (swing.compression.rad(), swing.extension.rad());
                let at = |n: u32| Angle::from_rad(low + (high - low) * f64::from(n) / 2000.0);
                let shaft = Point::new(x, z);
                let walked = (0..=2000).map(|n| centre_distance(shaft, arm, at(n)).mm()).fold(0.0, f64::max);
                let told = longest(shaft, arm, &swing);
                assert!(
                    (told.centre.mm() - walked).abs() < 1e-3 && told.centre.mm() > walked - 1e-9,
                    "{x} {z} {droop}"
                );
                let angle = told.arm.expect("it changes");
                assert!((centre_distance(shaft, arm, angle) - told.centre).mm().abs() < 1e-9);
                assert_eq!(told.at == LongestAt::FullExtension, angle == swing.extension);
                assert_eq!(told.at == LongestAt::FullCompression, angle == swing.compression);
                assert_eq!(told.at == LongestAt::InLine, line_is_reached(shaft, &swing));
            }
        }
    }

    #[test]
    fn an_angle_belongs_to_the_travel_up_to_rounding_past_its_ends() {
        let swing = sample::swing();
        let (low, high) = (swing.compression.rad(), swing.extension.rad());
        let past = |by: f64| [Angle::from_rad(low - by), Angle::from_rad(high + by)];
        assert!(past(0.9 * ROUNDING).iter().all(|arm| swing.reaches(*arm) == Ok(*arm)));
        let refused = Fault::OutsideTravel { compression: swing.compression, extension: swing.extension };
        assert!(past(1.1 * ROUNDING).iter().all(|arm| swing.reaches(*arm) == Err(refused)));
        assert!(swing.holds(low) && swing.holds(high) && !swing.holds(low - 1e-15) && !swing.holds(high + 1e-15));
        assert_eq!(swing.angle_at(Length::ZERO), Ok(swing.extension));
        for travel_mm in [0.0, 12.0, 150.0, 295.0] {
            let arm = swing.angle_at(Length::from_mm(travel_mm)).expect("within reach");
            assert!((swing.travel_at(arm).mm() - travel_mm).abs() < 1e-9);
        }
    }

    #[test]
    fn an_arm_that_comes_to_stand_upright_has_made_all_its_travel() {
        let arm = Length::from_mm(300.0);
        let most = Length::from_mm(450.0 + 300.0 * 1.1e-9);
        let refused = Swing::new(arm, Angle::from_deg(30.0), most);
        assert!(matches!(refused, Err(Fault::BeyondReach { most }) if (most.mm() - 450.0).abs() < 1e-9), "{refused:?}");
        let upright = Swing::new(arm, Angle::from_deg(30.0), most - arm * 0.2e-9).expect("all of it");
        assert!((upright.compression.deg() + 90.0).abs() < 1e-12);
    }

    #[test]
    fn more_travel_than_the_arm_makes_is_refused() {
        let swing = |mm: f64| Swing::new(Length::from_mm(300.0), Angle::from_deg(30.0), Length::from_mm(mm));
        assert!(swing(450.0).is_ok() && matches!(swing(450.1), Err(Fault::BeyondReach { .. })));
    }
}
