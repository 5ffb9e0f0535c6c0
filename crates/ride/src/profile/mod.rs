//! The profile of a ride: speed, acceleration, distance and grade over time, smoothed from noisy positions.
//!
//! Lives here: the plane and the height smoother, stops, the even grid and the compact blob of a ride.
//! Does not live here: which points of a recording are believed (`track`), what the engine made of it (`replay`).

mod blob;
mod grid;
mod height;
mod plane;
mod saturation;
mod stops;

pub use blob::{Blob, BlobFault, Keep, Leg, LegHeight, LegPlaces};
pub use height::{Height, HeightTuning, grade};
pub use plane::PlaneTuning;
pub use saturation::{Saturation, saturation};
pub use stops::{Stops, stops};

use measure::Length;

use crate::track::{Class, Fix, Moment, Place, Rules, Sifted, Track, sift};

/// How a track is sifted and smoothed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuning {
    /// Which points are believed.
    pub rules: Rules,
    /// The smoother of positions.
    pub plane: PlaneTuning,
    /// The smoother of elevations.
    pub height: HeightTuning,
}

impl Tuning {
    /// The tool's own tuning.
    pub const USUAL: Self = Self { rules: Rules::USUAL, plane: PlaneTuning::USUAL, height: HeightTuning::USUAL };
}

/// A smoothed ride.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// How far the times of the track could be used.
    pub class: Class,
    /// The moment of `t_s` = 0; `None` without a usable time.
    pub start: Option<Moment>,
    /// The parts of at least three points.
    pub parts: Vec<Part>,
    /// Elevations taken as missing because they jumped.
    pub elevation_jumps: usize,
    /// Points whose grade was beyond ±0.7 and is shown as that.
    pub grade_clamped: usize,
}

/// A part of a ride without a pause: lists of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Where `x_m` and `y_m` are 0; `None` for samples given in the plane.
    pub origin: Option<Place>,
    /// Seconds from the ride's first kept point, strictly rising.
    pub t_s: Vec<f64>,
    /// East of the origin.
    pub x_m: Vec<f64>,
    /// North of the origin.
    pub y_m: Vec<f64>,
    /// Distance from the part's begin.
    pub s_m: Vec<f64>,
    /// Ground speed.
    pub speed_mps: Vec<f64>,
    /// Acceleration along the way.
    pub accel_mps2: Vec<f64>,
    /// Standard deviation of the speed along one axis.
    pub sd_speed_mps: Vec<f64>,
    /// Elevation and grade; `None` if the elevations are too sparse to tell.
    pub height: Option<Height>,
    /// The whole smoothed distance.
    pub distance: Length,
}

/// Samples of one part in the plane, as the smoother takes them: lists of one length, times strictly rising.
#[derive(Debug, Clone, PartialEq)]
pub struct Samples {
    /// Where `x_m` and `y_m` are 0, if that is a place on the earth.
    pub origin: Option<Place>,
    /// Seconds.
    pub t_s: Vec<f64>,
    /// East.
    pub x_m: Vec<f64>,
    /// North.
    pub y_m: Vec<f64>,
    /// Elevation, `None` where it is missing.
    pub ele_m: Vec<Option<f64>>,
}

/// A grid of more points is not made: four months at one point a second.
pub const MOST_GRID_POINTS: f64 = 1e7;

/// A part needs this many points to have a speed.
const LEAST_POINTS: usize = 3;

/// Sifts and smooths a track.
///
/// # Example
/// ```
/// use ride::{profile, track};
/// let point = |n: u32| {
///     let lon = f64::from(n) * 1e-4;
///     format!("<trkpt lat='0' lon='{lon}'><time>2001-05-06T07:00:{n:02}Z</time></trkpt>")
/// };
/// let points: String = (0..60).map(point).collect();
/// let text = format!("<gpx><trk><trkseg>{points}</trkseg></trk></gpx>");
/// let track = track::read(&text, &track::Limits::USUAL).unwrap();
/// let ride = profile::smooth(&track, &profile::Tuning::USUAL);
/// // eleven metres a second along the equator
/// assert!((ride.parts[0].speed_mps[30] - 11.13).abs() < 0.01);
/// ```
#[must_use]
pub fn smooth(track: &Track, tuning: &Tuning) -> Profile {
    of_sifted(&sift(track, &tuning.rules), tuning)
}

/// Smooths a sifted track; parts under three points are left out.
#[must_use]
fn of_sifted(sifted: &Sifted, tuning: &Tuning) -> Profile {
    let start = sifted.parts.first().and_then(|part| part.first()).map(|fix| fix.at);
    let long = sifted.parts.iter().filter(|part| part.len() >= LEAST_POINTS);
    let samples = start.into_iter().flat_map(|start| long.clone().map(move |part| Samples::of(part, start)));
    Profile { start, ..of_samples(sifted.class, samples, tuning) }
}

/// Smooths samples that are already in a plane, each a part of its own.
#[must_use]
pub fn of_samples(class: Class, samples: impl IntoIterator<Item = Samples>, tuning: &Tuning) -> Profile {
    let mut profile = Profile { class, start: None, parts: Vec::new(), elevation_jumps: 0, grade_clamped: 0 };
    for samples in samples {
        let part = plane::smooth(&samples, &tuning.plane);
        let (ele_m, jumps) = height::without_jumps(&part.s_m, samples.ele_m);
        let height = height::known(&part.s_m, &ele_m).then(|| grade(&part.s_m, &ele_m, &tuning.height)).flatten();
        profile.elevation_jumps += jumps;
        let (height, clamped) = height.map_or((None, 0), |height| {
            let (height, clamped) = height.clamped();
            (Some(height), clamped)
        });
        profile.grade_clamped += clamped;
        profile.parts.push(Part { height, ..part });
    }
    profile
}

impl Samples {
    /// A part's fixes in the plane around its first one.
    fn of(part: &[Fix], start: Moment) -> Self {
        let origin = part.first().map(|fix| fix.place);
        let (x_m, y_m) = part.iter().map(|fix| origin.map_or((0.0, 0.0), |origin| origin.plane_m(fix.place))).unzip();
        Self {
            origin,
            t_s: part.iter().map(|fix| fix.at.since(start)).collect(),
            x_m,
            y_m,
            ele_m: part.iter().map(|fix| fix.ele_m).collect(),
        }
    }
}

impl Profile {
    /// The smoothed distance of all parts.
    #[must_use]
    pub fn distance(&self) -> Length {
        self.parts.iter().fold(Length::ZERO, |sum, part| sum + part.distance)
    }

    /// Seconds in motion and seconds stopped, over all parts.
    #[must_use]
    pub fn moving_and_stopped_s(&self) -> (f64, f64) {
        let each = self.parts.iter().map(|part| stops(&part.t_s, &part.speed_mps));
        each.fold((0.0, 0.0), |(moving, stopped), stops| (moving + stops.moving_s, stopped + stops.stopped_s))
    }

    /// Whether every part, and at least one, has a grade.
    #[must_use]
    pub fn grade_known(&self) -> bool {
        !self.parts.is_empty() && self.parts.iter().all(|part| part.height.is_some())
    }

    /// The same ride on an even grid of `step_s` seconds, each part from its own begin.
    ///
    /// # Shape
    /// A part ends with the last grid point inside it; distances stay those of the whole part. `None` if the grid
    /// would have more than [`MOST_GRID_POINTS`] points, or the step is not positive.
    #[must_use]
    pub fn on_grid(&self, step_s: f64) -> Option<Self> {
        let points: f64 = self.parts.iter().map(|part| grid::points(part, step_s)).sum();
        if !(step_s > 0.0 && points <= MOST_GRID_POINTS) {
            return None;
        }
        let parts = self.parts.iter().map(|part| grid::resampled(part, step_s)).collect();
        Some(Self { parts, ..*self })
    }
}

#[cfg(test)]
mod tests;
