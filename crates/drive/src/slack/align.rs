//! Whether the rear wheel points ahead: one distance per side, seen from above.
//!
//! ```text
//!    left end  o------ T ------o  right end      larger distance = further back
//!                    |  y |                      the end further back is the side the wheel heads to
//! ```

use measure::{Angle, Length};

/// Shafts are parallel enough within one part in this many.
///
/// # Source
/// chain-guide, section 7.1.2.2; for industrial drives on fixed shafts.
const PARALLEL_PART: f64 = 300.0;
/// Differences nearer to a limit than this are on it (decimal readings are not exact in binary).
const ROUNDING_MM: f64 = 1e-9;

/// Distances on both sides, block to reference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// Left, larger = further back.
    pub left: Length,
    /// Right, larger = further back.
    pub right: Length,
    /// Between the two measuring places.
    pub track: Length,
    /// Error of one reading.
    pub error: Length,
}

/// What the readings can tell about the limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parallel {
    /// Inside the limit whatever the error.
    Within,
    /// Beyond it whatever the error.
    Outside,
    /// The error is too large to say.
    CannotTell,
}

impl Sides {
    /// Left minus right.
    #[must_use]
    pub fn difference(&self) -> Length {
        self.left - self.right
    }

    /// How far the wheel turns from straight; + = heading left.
    #[must_use]
    pub fn skew(&self) -> Angle {
        Angle::from_rad((self.difference() / self.track).atan())
    }

    /// How far the wheel's plane misses something at a distance ahead; + = passes on its left.
    #[must_use]
    pub fn miss(&self, ahead: Length) -> Length {
        ahead * (self.difference() / self.track)
    }

    /// Where the axle stands at a plane left of the middle.
    #[must_use]
    pub fn at(&self, left_of_middle: Length) -> Length {
        let share = left_of_middle / self.track;
        self.left * (0.5 + share) + self.right * (0.5 - share)
    }

    /// The largest difference that counts as parallel.
    #[must_use]
    pub fn allowed(&self) -> Length {
        self.track / PARALLEL_PART
    }

    /// Error of the difference: two independent readings.
    #[must_use]
    pub fn difference_error(&self) -> Length {
        self.error * std::f64::consts::SQRT_2
    }

    /// Whether the difference is inside the limit, as far as the readings can tell.
    #[must_use]
    pub fn parallel(&self) -> Parallel {
        let (size, error) = (self.difference().abs().mm(), self.difference_error().mm());
        let allowed = self.allowed().mm() + ROUNDING_MM;
        if size + error <= allowed {
            Parallel::Within
        } else if size - error > allowed {
            Parallel::Outside
        } else {
            Parallel::CannotTell
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sides(left: f64, right: f64, error: f64) -> Sides {
        let mm = Length::from_mm;
        Sides { left: mm(left), right: mm(right), track: mm(210.0), error: mm(error) }
    }

    #[test]
    fn a_difference_on_the_limit_is_within_however_it_was_written() {
        assert_eq!(sides(590.7, 590.0, 0.0).parallel(), Parallel::Within);
        assert_eq!(sides(590.0, 590.7, 0.0).parallel(), Parallel::Within);
        assert_eq!(sides(590.71, 590.0, 0.0).parallel(), Parallel::Outside);
    }

    #[test]
    fn marks_read_to_half_a_millimetre_cannot_tell() {
        assert_eq!(sides(20.0, 20.0, 0.5).parallel(), Parallel::CannotTell);
        assert_eq!(sides(20.0, 22.0, 0.5).parallel(), Parallel::Outside);
    }

    #[test]
    fn the_end_further_back_is_the_side_the_wheel_heads_to() {
        assert!(sides(21.0, 20.0, 0.0).skew().rad() > 0.0);
        assert!((sides(21.0, 20.0, 0.0).at(Length::from_mm(105.0)).mm() - 21.0).abs() < 1e-12);
    }
}
