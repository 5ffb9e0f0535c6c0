//! Elongation from a length over some pitches, and which slip of the hand an impossible reading looks like.

use measure::exact::INCH_MM;
use measure::{Elongation, Length, bounds};

/// Miscounts that are tried, nearest first.
const MISCOUNTS: [i32; 4] = [1, -1, 2, -2];

/// What an impossible reading looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// Right, if it was read in inches.
    Inches,
    /// Right, if it was read in centimetres.
    Centimetres,
    /// Right, if so many pitches were measured over.
    Miscounted(u32),
    /// None of these: chain not taut, wrong pitch, or misread.
    Implausible,
}

/// Elongation of a chain against new, from a length over a number of pitches.
///
/// # Formula
/// ε = l/(n p) − 1.
///
/// # Source
/// `geometry`.
#[must_use]
pub fn elongation(pitch: Length, pitches: u32, length: Length) -> Elongation {
    let new = pitch * f64::from(pitches);
    Elongation::from_fraction((length - new) / new)
}

/// Whether a chain can read so at all. An edge that binary arithmetic misses by less than 1e-9 % is still on it.
#[must_use]
pub fn is_plausible(elongation: Elongation) -> bool {
    bounds::ELONGATION.holds((elongation.pct() * 1e9).round() / 1e9)
}

/// The first slip that would make the reading plausible; `None` where it is plausible as it stands.
///
/// # Holds when
/// A hint for a sentence, never a repair: from 25 pitches on, one pitch miscounted cannot be told from wear.
///
/// # Source
/// `ours`: order of the tests.
#[must_use]
pub fn slip(pitch: Length, pitches: u32, length: Length) -> Option<Slip> {
    let reads = |pitches: u32, length: Length| is_plausible(elongation(pitch, pitches, length));
    if reads(pitches, length) {
        return None;
    }
    if reads(pitches, length * INCH_MM) {
        return Some(Slip::Inches);
    }
    if reads(pitches, length * 10.0) {
        return Some(Slip::Centimetres);
    }
    let recounted = MISCOUNTS
        .iter()
        .filter_map(|by| pitches.checked_add_signed(*by))
        .find(|count| *count > 0 && reads(*count, length));
    Some(recounted.map_or(Slip::Implausible, Slip::Miscounted))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(pitches: u32, mm: f64) -> Option<Slip> {
        slip(Length::from_mm(15.875), pitches, Length::from_mm(mm))
    }

    #[test]
    fn a_slip_is_recognised_but_never_repaired() {
        assert_eq!(of(20, 319.4), None);
        assert_eq!(of(20, 12.56), Some(Slip::Inches));
        assert_eq!(of(20, 31.94), Some(Slip::Centimetres));
        assert_eq!(of(20, 333.4), Some(Slip::Miscounted(21)));
        assert_eq!(of(20, 302.0), Some(Slip::Miscounted(19)));
        assert_eq!(of(1, 40.0), Some(Slip::Implausible));
    }

    #[test]
    fn the_edges_of_the_band_still_belong() {
        assert_eq!(of(20, 317.5 * 1.04), None);
        assert_eq!(of(20, 317.5 * 0.997), None);
        assert!(of(20, 317.5 * 1.0401).is_some());
    }
}
