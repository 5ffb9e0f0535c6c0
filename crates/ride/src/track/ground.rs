//! Places on the earth and the distance between them along the ellipsoid.

use geographiclib_rs::{Geodesic, InverseGeodesic};
use measure::{Angle, Length};

/// A place by latitude and longitude in degrees on the WGS84 ellipsoid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Latitude, −90 to 90, north positive.
    pub lat_deg: f64,
    /// Longitude, −180 to 180, east positive.
    pub lon_deg: f64,
}

impl Place {
    /// A place; `None` outside the ranges, for NaN too.
    #[must_use]
    pub fn new(lat_deg: f64, lon_deg: f64) -> Option<Self> {
        (lat_deg.abs() <= 90.0 && lon_deg.abs() <= 180.0).then_some(Self { lat_deg, lon_deg })
    }

    /// The distance to another place, shortest way along the ellipsoid.
    ///
    /// # Source
    /// `karney`: the inverse problem, as the library solves it.
    ///
    /// # Example
    /// ```
    /// use ride::track::Place;
    /// let (here, there) = (Place::new(0.0, 0.0).unwrap(), Place::new(0.0, 0.001).unwrap());
    /// // on the equator the angle times the equatorial radius
    /// assert!((here.distance(there).m() - 0.001_f64.to_radians() * 6_378_137.0).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn distance(self, to: Self) -> Length {
        Length::from_m(self.distance_m(to))
    }

    /// As [`Self::distance`], a raw number of metres for bulk work.
    #[must_use]
    pub fn distance_m(self, to: Self) -> f64 {
        Geodesic::wgs84().inverse(self.lat_deg, self.lon_deg, to.lat_deg, to.lon_deg)
    }

    /// Distance to another place and the direction in which that way sets out, clockwise from north, −180° to 180°.
    ///
    /// # Source
    /// `karney`.
    #[must_use]
    pub fn bearing(self, to: Self) -> (Length, Angle) {
        let (distance_m, azimuth_deg) = self.way_m_deg(to);
        (Length::from_m(distance_m), Angle::from_deg(azimuth_deg))
    }

    /// As [`Self::bearing`], raw metres and degrees.
    #[must_use]
    fn way_m_deg(self, to: Self) -> (f64, f64) {
        let (distance_m, azimuth_deg, _, _): (f64, f64, f64, f64) =
            Geodesic::wgs84().inverse(self.lat_deg, self.lon_deg, to.lat_deg, to.lon_deg);
        (distance_m, azimuth_deg)
    }

    /// East and north of another place in the plane around this one: distances and directions from here are true.
    ///
    /// # Formula
    /// `x = s·sin α`, `y = s·cos α` with distance s and direction α of [`Self::bearing`].
    ///
    /// # Holds when
    /// Lengths across the direction are stretched by 2·10⁻⁶ at 20 km, 4·10⁻⁵ at 100 km from here.
    #[must_use]
    pub(crate) fn plane_m(self, to: Self) -> (f64, f64) {
        let (distance_m, azimuth_deg) = self.way_m_deg(to);
        let (sin, cos) = azimuth_deg.to_radians().sin_cos();
        (distance_m * sin, distance_m * cos)
    }
}

#[cfg(test)]
mod tests {
    use geographiclib_rs::DirectGeodesic;

    use super::*;

    fn place(lat_deg: f64, lon_deg: f64) -> Place {
        Place::new(lat_deg, lon_deg).expect("a place")
    }

    #[test]
    fn the_date_line_is_no_wall() {
        let across = place(0.0, 179.9995).distance_m(place(0.0, -179.9995));
        let plain = place(0.0, 0.0).distance_m(place(0.0, 0.001));
        assert!((across - plain).abs() < 1e-6);
    }

    #[test]
    fn a_degree_along_the_equator_is_a_part_of_the_earth_round_its_middle() {
        // The ellipsoid's larger half axis: 6 378 137 m.
        let metres = std::f64::consts::PI * 6_378_137.0 / 180.0;
        let (west, east) = (place(0.0, 10.0), place(0.0, 11.0));
        assert!((west.distance(east).m() - metres).abs() < 1e-6 && (west.distance_m(east) - metres).abs() < 1e-6);
        let (distance, bearing) = west.bearing(east);
        assert!((distance.m() - metres).abs() < 1e-6 && (bearing.deg() - 90.0).abs() < 1e-9);
        assert!((east.bearing(west).1.deg() + 90.0).abs() < 1e-9);
    }

    #[test]
    fn latitude_beyond_the_pole_is_no_place() {
        assert!(Place::new(90.1, 0.0).is_none() && Place::new(f64::NAN, 0.0).is_none());
        assert!(Place::new(-90.0, 180.0).is_some() && Place::new(0.0, -180.1).is_none());
    }

    #[test]
    fn the_plane_leads_back_to_the_place() {
        let here = place(45.0, 7.0);
        for there in [place(45.01, 7.02), place(44.9, 6.9), place(45.0, 7.0)] {
            let (x_m, y_m) = here.plane_m(there);
            let azimuth_deg = x_m.atan2(y_m).to_degrees();
            let (lat_deg, lon_deg): (f64, f64) =
                Geodesic::wgs84().direct(here.lat_deg, here.lon_deg, azimuth_deg, x_m.hypot(y_m));
            assert!(place(lat_deg, lon_deg).distance_m(there) < 1e-6);
        }
    }
}
