//! The metric thread: flank geometry, coarse pitches and the stress area. Inch threads do not live here.
//!
//! ```text
//!      ____      H = √3/2 P      d   nominal diameter
//!     /    \     d2 pitch ⌀      d1  minor ⌀ of the nut thread
//! ___/      \___ d3 root ⌀       As  area that carries the load
//! ```

use std::f64::consts::PI;

use measure::Length;

/// Coarse pitches, diameter and pitch in mm.
///
/// # Source
/// iso-thread: ISO 261, coarse series.
const COARSE: [(f64, f64); 14] = [
    (3.0, 0.5),
    (4.0, 0.7),
    (5.0, 0.8),
    (6.0, 1.0),
    (7.0, 1.0),
    (8.0, 1.25),
    (10.0, 1.5),
    (12.0, 1.75),
    (14.0, 2.0),
    (16.0, 2.0),
    (18.0, 2.5),
    (20.0, 2.5),
    (22.0, 2.5),
    (24.0, 3.0),
];

/// The coarse pitch of a nominal diameter; `None` where the coarse series has no such size.
#[must_use]
fn coarse_pitch(diameter: Length) -> Option<Length> {
    COARSE
        .iter()
        .find(|(size_mm, _)| (size_mm - diameter.mm()).abs() < 1e-9)
        .map(|(_, pitch_mm)| Length::from_mm(*pitch_mm))
}

/// Why a diameter and a pitch make no thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ThreadFault {
    /// No pitch was given and the coarse series has none for this diameter.
    NoCoarsePitch,
    /// The pitch is above 0.3 of the diameter.
    PitchTooLarge {
        /// The largest pitch that this diameter allows.
        most: Length,
    },
}

/// A metric thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    diameter: Length,
    pitch: Length,
}

impl Thread {
    /// A thread of a diameter and a pitch; without a pitch the coarse one holds.
    ///
    /// # Errors
    /// The fault that leaves no thread.
    pub fn new(diameter: Length, pitch: Option<Length>) -> Result<Self, ThreadFault> {
        let pitch = pitch.or_else(|| coarse_pitch(diameter)).ok_or(ThreadFault::NoCoarsePitch)?;
        let most = diameter * 3.0 / 10.0;
        if pitch > most { Err(ThreadFault::PitchTooLarge { most }) } else { Ok(Self { diameter, pitch }) }
    }

    /// The nominal diameter.
    #[must_use]
    pub const fn diameter(&self) -> Length {
        self.diameter
    }

    /// The pitch.
    #[must_use]
    pub const fn pitch(&self) -> Length {
        self.pitch
    }

    /// Whether the pitch is the one of the coarse series.
    #[must_use]
    pub fn is_coarse(&self) -> bool {
        coarse_pitch(self.diameter).is_some_and(|coarse| (coarse - self.pitch).abs().mm() < 1e-9)
    }

    /// Height of the sharp triangle.
    ///
    /// # Formula
    /// H = √3/2 · P
    ///
    /// # Source
    /// iso-thread: ISO 68-1.
    #[must_use]
    pub fn height(&self) -> Length {
        self.pitch * (3.0_f64.sqrt() / 2.0)
    }

    /// Pitch diameter.
    ///
    /// # Formula
    /// d2 = d − 0.75 H
    ///
    /// # Source
    /// iso-thread: ISO 724.
    #[must_use]
    pub fn pitch_diameter(&self) -> Length {
        self.diameter - self.height() * 0.75
    }

    /// Minor diameter of the nut thread.
    ///
    /// # Formula
    /// D1 = d − 1.25 H
    ///
    /// # Source
    /// iso-thread: ISO 724.
    #[must_use]
    pub fn minor_diameter(&self) -> Length {
        self.diameter - self.height() * 1.25
    }

    /// Root diameter of the bolt thread.
    ///
    /// # Formula
    /// d3 = D1 − H/6
    ///
    /// # Source
    /// iso-thread: ISO 724.
    #[must_use]
    pub fn root_diameter(&self) -> Length {
        self.minor_diameter() - self.height() / 6.0
    }

    /// Diameter of the circle whose area carries the load.
    pub(super) fn stress_diameter(&self) -> Length {
        (self.pitch_diameter() + self.root_diameter()) / 2.0
    }

    /// Stress area in mm².
    ///
    /// # Formula
    /// As = π/4 · ((d2 + d3)/2)²
    ///
    /// # Source
    /// iso-898-1.
    #[must_use]
    pub fn stress_area_mm2(&self) -> f64 {
        PI / 4.0 * self.stress_diameter().mm().powi(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn m(diameter_mm: f64, pitch_mm: Option<f64>) -> Result<Thread, ThreadFault> {
        Thread::new(Length::from_mm(diameter_mm), pitch_mm.map(Length::from_mm))
    }

    #[test]
    fn a_size_outside_the_coarse_series_asks_for_its_pitch() {
        assert_eq!(m(9.0, None), Err(ThreadFault::NoCoarsePitch));
        assert!(m(9.0, Some(1.25)).is_ok_and(|thread| !thread.is_coarse()));
    }

    #[test]
    fn a_pitch_of_three_tenths_is_the_last_one() {
        for diameter in [1.0, 5.0, 7.0, 10.0, 64.0] {
            assert!(m(diameter, Some(diameter * 3.0 / 10.0)).is_ok());
            assert!(m(diameter, Some(diameter * 0.3001)).is_err());
        }
    }

    #[test]
    fn the_diameters_of_a_thread_lie_one_inside_the_other() {
        for (diameter, pitch) in [(6.0, 1.0), (10.0, 1.25), (24.0, 3.0)] {
            let thread = m(diameter, Some(pitch)).expect("a thread");
            assert!(thread.root_diameter() < thread.minor_diameter());
            assert!(thread.minor_diameter() < thread.pitch_diameter());
            assert!(thread.pitch_diameter() < thread.diameter());
        }
    }

    #[test]
    fn diameters_and_areas_are_those_of_the_printed_tables() {
        // d2, D1, d3 in mm and As in mm², as the tables of the thread standards print them.
        for (size, pitch, d2, d1, d3, area) in [
            (6.0, 1.0, 5.350, 4.917, 4.773, 20.1),
            (8.0, 1.25, 7.188, 6.647, 6.466, 36.6),
            (10.0, 1.5, 9.026, 8.376, 8.160, 58.0),
            (12.0, 1.75, 10.863, 10.106, 9.853, 84.3),
            (16.0, 2.0, 14.701, 13.835, 13.546, 157.0),
        ] {
            let thread = m(size, None).expect("coarse");
            assert!(
                thread.is_coarse() && (thread.pitch().mm() - pitch).abs() < 1e-12 && thread.diameter().mm() == size
            );
            let found = [thread.pitch_diameter(), thread.minor_diameter(), thread.root_diameter()].map(Length::mm);
            for (found, want) in found.into_iter().zip([d2, d1, d3]) {
                assert!((found - want).abs() < 6e-4, "M{size}: {found} {want}");
            }
            assert!((thread.stress_area_mm2() / area - 1.0).abs() < 3e-3, "M{size}: {}", thread.stress_area_mm2());
            assert!((thread.stress_diameter().mm() - (d2 + d3) / 2.0).abs() < 6e-4);
            assert!(!m(size, Some(pitch * 0.5)).expect("fine").is_coarse());
        }
        assert!((m(10.0, None).expect("coarse").height().mm() - 1.299).abs() < 1e-3);
        let most = Length::from_mm(10.0) * 3.0 / 10.0;
        assert_eq!(m(10.0, Some(3.2)), Err(ThreadFault::PitchTooLarge { most }));
    }
}
