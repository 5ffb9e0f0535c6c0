//! The two frames: chassis (x forward, z up, pivot at the origin) and swingarm (u along the arm, w square to it).
//!
//! ```text
//!         z up                       C = countershaft, P = pivot (0, 0), A = axle
//!         |        o C               the bike faces right
//!    P o--+--> x                     arm angle φ: + = axle below the pivot
//!     /                              u from P towards A; w square to it, + on the upper side:
//!    o A                             point(u, w) = (-u cos φ - w sin φ, -u sin φ + w cos φ)
//! ```

use std::ops::{Add, Mul, Sub};

/// A place or direction in the chassis frame, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// Forward of the pivot.
    pub x_mm: f64,
    /// Above the pivot.
    pub z_mm: f64,
}

impl Point {
    /// From forward and upward distance.
    #[must_use]
    pub const fn new(x_mm: f64, z_mm: f64) -> Self {
        Self { x_mm, z_mm }
    }

    /// The unit direction of an angle, counted from forward towards up.
    #[must_use]
    pub fn toward(rad: f64) -> Self {
        let (sin, cos) = rad.sin_cos();
        Self::new(cos, sin)
    }

    /// The place `u_mm` along the arm and `w_mm` square to it, the arm standing at `arm_rad`.
    #[must_use]
    pub fn on_arm(u_mm: f64, w_mm: f64, arm_rad: f64) -> Self {
        let (sin, cos) = arm_rad.sin_cos();
        Self::new(-u_mm * cos - w_mm * sin, -u_mm * sin + w_mm * cos)
    }

    /// The product that is zero for square directions.
    #[must_use]
    pub const fn dot(self, other: Self) -> f64 {
        self.x_mm * other.x_mm + self.z_mm * other.z_mm
    }

    /// The distance from the origin.
    #[must_use]
    pub fn size(self) -> f64 {
        // Millimetres of a motorcycle: their squares neither overflow nor vanish, so the careful way would only cost.
        self.dot(self).sqrt()
    }

    /// The angle of the direction, counted from forward towards up.
    #[must_use]
    pub fn angle_rad(self) -> f64 {
        self.z_mm.atan2(self.x_mm)
    }

    /// The same turned about the pivot, from forward towards up.
    #[must_use]
    pub fn turned(self, rad: f64) -> Self {
        let (sin, cos) = rad.sin_cos();
        Self::new(self.x_mm * cos - self.z_mm * sin, self.x_mm * sin + self.z_mm * cos)
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x_mm + other.x_mm, self.z_mm + other.z_mm)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x_mm - other.x_mm, self.z_mm - other.z_mm)
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self::new(self.x_mm * by, self.z_mm * by)
    }
}

/// The distance from a place to the straight piece between two others.
pub(super) fn distance_to_piece(place: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let length = along.dot(along);
    let share = if length > 0.0 { ((place - from).dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
    (place - (from + along * share)).size()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_axle_of_a_drooping_arm_lies_behind_and_below() {
        let axle = Point::on_arm(600.0, 0.0, 30_f64.to_radians());
        assert!((axle.x_mm + 519.615).abs() < 1e-3 && (axle.z_mm + 300.0).abs() < 1e-9);
    }

    #[test]
    fn the_upper_side_of_a_level_arm_is_up() {
        let above = Point::on_arm(100.0, 40.0, 0.0);
        assert!((above.x_mm + 100.0).abs() < 1e-12 && (above.z_mm - 40.0).abs() < 1e-12);
    }

    #[test]
    fn distance_to_a_piece_stops_at_its_ends() {
        let (from, to) = (Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        assert!((distance_to_piece(Point::new(5.0, 3.0), from, to) - 3.0).abs() < 1e-12);
        assert!((distance_to_piece(Point::new(13.0, 4.0), from, to) - 5.0).abs() < 1e-12);
        assert!((distance_to_piece(Point::new(13.0, 4.0), from, from) - 13.0_f64.hypot(4.0)).abs() < 1e-12);
    }

    #[test]
    fn distance_to_a_piece_is_what_a_walk_along_it_finds() {
        let (from, to) = (Point::new(-30.0, 12.0), Point::new(45.0, -63.0));
        for place in [Point::new(10.0, 20.0), Point::new(-80.0, -5.0), Point::new(60.0, -90.0), Point::new(3.0, -21.0)]
        {
            let walked = (0..=10_000)
                .map(|n| (from + (to - from) * (f64::from(n) / 10_000.0) - place).size())
                .fold(f64::INFINITY, f64::min);
            assert!((distance_to_piece(place, from, to) - walked).abs() < 0.01);
        }
    }

    #[test]
    fn a_direction_turned_by_its_own_angle_points_forward() {
        for deg in [-170.0, -90.0, -20.0, 0.0, 45.0, 135.0] {
            let rad = f64::to_radians(deg);
            let place = Point::toward(rad) * 7.0;
            assert!((place.angle_rad() - rad).abs() < 1e-12 && (place.size() - 7.0).abs() < 1e-12);
            assert!((place.turned(-rad) - Point::new(7.0, 0.0)).size() < 1e-12);
            // On an arm at that angle, back and up are the frame's own axes turned by it.
            let on_arm = Point::on_arm(-7.0, 2.0, rad);
            assert!((on_arm - Point::new(7.0, 2.0).turned(rad)).size() < 1e-12);
        }
    }
}
