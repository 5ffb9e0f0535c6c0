//! Power rating of an industrial chain drive: context for a motorcycle, never a limit.

use measure::exact::INCH_MM;
use measure::{Length, Power, Teeth};

/// Mechanical horsepower.
///
/// # Source
/// `exact-units`: 550 foot-pounds a second.
const HORSEPOWER_KW: f64 = 0.745_699_871_582_270_2;

/// Factor of the impact rating for chains of 12.7 mm pitch and up, bar the light series.
///
/// # Source
/// `power-tables`: reproduces every printed value within its rounding.
const IMPACT_FACTOR: f64 = 17.0;

/// What limits a rating.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Fatigue of the link plates.
    Plate,
    /// Impact of rollers and bushes.
    Impact,
}

/// The two ratings of a drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Link plate fatigue.
    pub plate: Power,
    /// Roller and bush impact.
    pub impact: Power,
}

impl Rating {
    /// The lower of the two.
    #[must_use]
    pub const fn power(&self) -> Power {
        self.plate.min(self.impact)
    }

    /// Which one it is.
    #[must_use]
    pub fn limit(&self) -> Limit {
        if self.plate <= self.impact { Limit::Plate } else { Limit::Impact }
    }
}

/// Rating of a single-strand roller chain: 15 000 h, steady load, lubricated, 120 pitches.
///
/// # Formula
/// H1 = 0.004 z^1.08 n^0.9 P^(3 − 0.07 P), H2 = 1000 Kr (z/n)^1.5 P^0.8; hp, P in inches, n of the small sprocket.
///
/// # Holds when
/// Pitch 12.7 mm and up. An off-road engine sends several times this through the same chain for tens of hours.
///
/// # Source
/// `power-tables`.
#[must_use]
pub fn rating(pitch: Length, teeth: Teeth, rpm: f64) -> Rating {
    let (inches, z) = (pitch.mm() / INCH_MM, teeth.real());
    let plate = 0.004 * z.powf(1.08) * rpm.powf(0.9) * inches.powf(3.0 - 0.07 * inches);
    let impact = 1000.0 * IMPACT_FACTOR * (z / rpm).powf(1.5) * inches.powf(0.8);
    Rating { plate: Power::from_kw(plate * HORSEPOWER_KW), impact: Power::from_kw(impact * HORSEPOWER_KW) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slow_drives_are_limited_by_plates_and_fast_ones_by_impact() {
        let at = |rpm| rating(Length::from_mm(15.875), Teeth::new(14).expect("teeth"), rpm).limit();
        assert_eq!((at(300.0), at(3000.0)), (Limit::Plate, Limit::Impact));
    }
}
