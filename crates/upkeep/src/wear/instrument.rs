//! What a length reading is worth: uncertainty of an elongation from the instrument, the hand and the places.

use measure::Length;

use crate::chance;

/// An instrument in a hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instrument {
    /// Chain pitch.
    pub pitch: Length,
    /// Largest error of the instrument (taken as evenly spread).
    pub largest_error: Length,
    /// Smallest step of its scale.
    pub resolution: Length,
    /// Standard deviation of repeated readings, new jaw placement each time.
    pub repeat: Length,
    /// Degrees of freedom behind that standard deviation.
    pub repeat_dof: f64,
}

impl Instrument {
    /// Scatter of a hand that nobody measured: standard deviation of repeated readings, and the degrees of freedom behind it.
    pub const HAND: (Length, f64) = (Length::from_mm(0.15), 10.0);
}

/// How much the chain itself differs from place to place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceScatter {
    /// Standard deviation, per cent.
    pub sd_pct: f64,
    /// Degrees of freedom; without, places less one.
    pub dof: Option<f64>,
}

/// Uncertainty of a mean elongation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanError {
    /// Standard uncertainty, per cent.
    pub u_pct: f64,
    /// Effective degrees of freedom.
    pub dof: f64,
    /// Half width of the 95 % interval, per cent.
    pub u95_pct: f64,
}

/// Uncertainty of the mean over places, each the mean of so many readings (`readings` has one count per place).
///
/// # Formula
/// c = 100/(N p); u² = (c a/√3)² + (c s)² Σ(1/rₖ)/K² + (c r/√12)²/K + s_place²/K. The first term is common to all
/// places and never averages down. νₑ = u⁴/Σ(uᵢ⁴/νᵢ) over the terms with a count behind them; U95 = t₀.₉₇₅(νₑ) u.
///
/// # Source
/// JCGM 100:2008, 4.2, 4.3.7, 5.1.2 and equation G.2b (`jcgm-100`).
#[must_use]
pub fn mean_error(
    instrument: &Instrument,
    pitches: u32,
    readings: &[usize],
    scatter: Option<PlaceScatter>,
) -> MeanError {
    let places = readings.len() as f64;
    let c = 100.0 / (f64::from(pitches) * instrument.pitch.mm());
    let common = c * instrument.largest_error.mm() / 3.0_f64.sqrt();
    let hand = c * instrument.repeat.mm() * readings.iter().map(|&r| 1.0 / r as f64).sum::<f64>().sqrt() / places;
    let step = c * instrument.resolution.mm() / (12.0 * places).sqrt();
    let (place, place_dof) = scatter.map_or((0.0, 1.0), |scatter| {
        (scatter.sd_pct / places.sqrt(), scatter.dof.unwrap_or_else(|| (places - 1.0).max(1.0)))
    });
    let u2 = common * common + hand * hand + step * step + place * place;
    // Shares, not fourth powers: tiny uncertainties would underflow.
    let (hand_share, place_share) = (hand * hand / u2, place * place / u2);
    let dof = 1.0 / (hand_share * hand_share / instrument.repeat_dof + place_share * place_share / place_dof);
    let u = u2.sqrt();
    MeanError { u_pct: u, dof, u95_pct: chance::student_quantile(0.975, dof) * u }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in crate::wear) const CALLIPER: Instrument = Instrument {
        pitch: Length::from_mm(15.875),
        largest_error: Length::from_mm(0.05),
        resolution: Length::from_mm(0.01),
        repeat: Length::from_mm(0.15),
        repeat_dof: 10.0,
    };

    #[test]
    fn twice_the_pitches_halve_the_uncertainty() {
        let (one, two) = (mean_error(&CALLIPER, 16, &[1], None), mean_error(&CALLIPER, 32, &[1], None));
        assert!((one.u_pct / two.u_pct - 2.0).abs() < 1e-12 && (one.dof - two.dof).abs() < 1e-9);
    }

    #[test]
    fn the_instruments_own_error_never_averages_down() {
        let many = mean_error(&CALLIPER, 16, &[20; 20], None);
        assert!(many.u_pct > 100.0 / 254.0 * 0.05 / 3.0_f64.sqrt());
    }

    #[test]
    fn an_uncertainty_is_the_root_of_the_squares_of_its_terms_with_the_freedom_behind_each() {
        let c = 100.0 / (16.0 * 15.875);
        for readings in [vec![1], vec![3], vec![2, 4, 1], vec![5; 6]] {
            for (sd_pct, dof) in [(0.0, Some(3.0)), (0.03, None), (0.03, Some(7.0)), (0.2, None)] {
                let places = readings.len() as f64;
                let found = mean_error(&CALLIPER, 16, &readings, Some(PlaceScatter { sd_pct, dof }));
                let common = c * 0.05 / f64::sqrt(3.0);
                let hand = c * 0.15 * readings.iter().map(|r| 1.0 / *r as f64).sum::<f64>().sqrt() / places;
                let step = c * 0.01 / f64::sqrt(12.0 * places);
                let place = sd_pct / places.sqrt();
                let u = (common.powi(2) + hand.powi(2) + step.powi(2) + place.powi(2)).sqrt();
                let behind = dof.unwrap_or((places - 1.0).max(1.0));
                let freedom = u.powi(4) / (hand.powi(4) / 10.0 + place.powi(4) / behind);
                assert!((found.u_pct / u - 1.0).abs() < 1e-12, "{readings:?}");
                assert!((found.dof / freedom - 1.0).abs() < 1e-9, "{readings:?}: {} {freedom}", found.dof);
                assert!((found.u95_pct / (u * chance::student_quantile(0.975, freedom)) - 1.0).abs() < 1e-9);
            }
        }
        let plain = mean_error(&CALLIPER, 16, &[2, 4, 1], None);
        let none = mean_error(&CALLIPER, 16, &[2, 4, 1], Some(PlaceScatter { sd_pct: 0.0, dof: None }));
        assert_eq!(plain, none);
    }
}
