//! One set of length readings judged against the limit: worn, not worn, measure again, or a bad reading.

use drive::chain::elongation::{Slip, elongation, slip};
use measure::{Length, Teeth};

use super::instrument::{Instrument, MeanError, mean_error};
use crate::chance::normal;

/// Chance of being over the limit from which a chain counts as worn, and below 1 − which as sound.
const DECIDED: f64 = 0.95;
/// Most pitches that a tape at home reaches over.
const MOST_PITCHES: u32 = 60;

/// Readings over an even number of pitches, one list for each place (none empty).
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Lengths by place.
    pub lengths: Vec<Vec<Length>>,
    /// Pitches between the jaws.
    pub pitches: u32,
    /// The limit that decides, per cent.
    pub limit_pct: f64,
}

/// What a set of readings says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Surely below the limit.
    Sound,
    /// Too close to the limit for this measurement.
    MeasureAgain,
    /// Surely above the limit.
    Worn,
    /// A length that no chain can have, or places that cannot belong to one chain.
    BadReading,
}

/// A set of readings, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Elongation at each place, per cent.
    pub places_pct: Vec<f64>,
    /// Mean over the places, per cent.
    pub mean_pct: f64,
    /// Uncertainty of that mean.
    pub mean: MeanError,
    /// Index of the most stretched place (the first of equals).
    pub worst: usize,
    /// Uncertainty of that place alone.
    pub worst_error: MeanError,
    /// Chance that the worst place is over the limit.
    pub chance_worn: f64,
    /// What follows.
    pub verdict: Verdict,
    /// Fewest even pitches over which the same elongation would decide; `None` if none up to 60, or nothing to decide.
    pub pitches_to_decide: Option<u32>,
    /// What the first impossible length looks like, by place; `None` where all are possible.
    pub slips: Vec<Option<Slip>>,
    /// Two readings differ by more than half a pitch: one was miscounted.
    pub places_disagree: bool,
    /// Standard deviation of repeats, pooled over places, with its count; `None` without a repeat.
    pub pooled_repeat: Option<(Length, usize)>,
}

/// The limit in per cent where a rear sprocket of many teeth lets a worn chain ride up earlier.
///
/// # Formula
/// min(limit, 200/z)
///
/// # Source
/// Roller-chain makers' engineering pages (`chain-makers`).
#[must_use]
pub fn limit_for_teeth(limit_pct: f64, rear: Teeth) -> f64 {
    limit_pct.min(200.0 / rear.real())
}

/// Judges a set of readings by its worst place.
///
/// # Formula
/// P(e > limit) = 1 − Φ((limit − e)/u) with u of that place alone; worn above 0.95, sound below 0.05.
///
/// # Holds when
/// The chain is clean and the measured run taut, and no place is empty.
#[must_use]
pub fn judge(reading: &Reading, instrument: &Instrument) -> Judged {
    let pitches = reading.pitches;
    let places_pct = places_pct(reading, instrument);
    let counts: Vec<usize> = reading.lengths.iter().map(Vec::len).collect();
    let worst = first_largest(&places_pct);
    let worst_error = mean_error(instrument, pitches, &counts[worst..=worst], None);
    let slips = slips(reading, instrument);
    let places_disagree = disagree(reading, instrument);
    let over = |u: f64| normal::above((reading.limit_pct - places_pct[worst]) / u);
    let chance_worn = over(worst_error.u_pct);
    let verdict = if places_disagree || slips.iter().any(Option::is_some) {
        Verdict::BadReading
    } else if chance_worn > DECIDED {
        Verdict::Worn
    } else if chance_worn < 1.0 - DECIDED {
        Verdict::Sound
    } else {
        Verdict::MeasureAgain
    };
    let decides = |&n: &u32| {
        let chance = over(worst_error.u_pct * f64::from(pitches) / f64::from(n));
        !(1.0 - DECIDED..=DECIDED).contains(&chance)
    };
    let next_even = pitches + 2 - pitches % 2;
    let pitches_to_decide =
        (verdict == Verdict::MeasureAgain).then(|| (next_even..=MOST_PITCHES).step_by(2).find(decides)).flatten();
    Judged {
        mean_pct: places_pct.iter().sum::<f64>() / places_pct.len() as f64,
        mean: mean_error(instrument, pitches, &counts, None),
        places_pct,
        worst,
        worst_error,
        chance_worn,
        verdict,
        pitches_to_decide,
        slips,
        places_disagree,
        pooled_repeat: pooled(&reading.lengths),
    }
}

/// The most stretched place (the first of equals) with its elongation in per cent, as [`judge`] finds it without asking how
/// sure it is; `None` for readings that it calls bad.
#[must_use]
pub fn worst_place(reading: &Reading, instrument: &Instrument) -> Option<(usize, f64)> {
    let places_pct = places_pct(reading, instrument);
    let worst = first_largest(&places_pct);
    let bad = disagree(reading, instrument) || slips(reading, instrument).iter().any(Option::is_some);
    if bad { None } else { Some((worst, *places_pct.get(worst)?)) }
}

fn places_pct(reading: &Reading, instrument: &Instrument) -> Vec<f64> {
    reading.lengths.iter().map(|place| elongation(instrument.pitch, reading.pitches, mean(place)).pct()).collect()
}

/// The slip of the first impossible length of each place.
fn slips(reading: &Reading, instrument: &Instrument) -> Vec<Option<Slip>> {
    let first = |place: &Vec<Length>| place.iter().find_map(|&length| slip(instrument.pitch, reading.pitches, length));
    reading.lengths.iter().map(first).collect()
}

fn disagree(reading: &Reading, instrument: &Instrument) -> bool {
    spread(&reading.lengths) > instrument.pitch.mm() / 2.0
}

fn mean(place: &[Length]) -> Length {
    place.iter().copied().sum::<Length>() / place.len() as f64
}

fn first_largest(values: &[f64]) -> usize {
    (1..values.len()).fold(0, |best, k| if values[k] > values[best] { k } else { best })
}

fn spread(lengths: &[Vec<Length>]) -> f64 {
    let all = || lengths.iter().flatten().map(|length| length.mm());
    all().fold(f64::MIN, f64::max) - all().fold(f64::MAX, f64::min)
}

fn pooled(lengths: &[Vec<Length>]) -> Option<(Length, usize)> {
    let count: usize = lengths.iter().map(|place| place.len() - 1).sum();
    let squares: f64 = lengths
        .iter()
        .map(|place| {
            let mean = mean(place);
            place.iter().map(|&length| (length - mean).mm().powi(2)).sum::<f64>()
        })
        .sum();
    (count > 0).then(|| (Length::from_mm((squares / count as f64).sqrt()), count))
}

#[cfg(test)]
mod tests {
    use super::super::instrument::tests::CALLIPER;
    use super::*;

    fn judged(places: &[&[f64]], pitches: u32, limit_pct: f64) -> Judged {
        let lengths = places.iter().map(|place| place.iter().map(|&mm| Length::from_mm(mm)).collect()).collect();
        judge(&Reading { lengths, pitches, limit_pct }, &CALLIPER)
    }

    #[test]
    fn an_elongation_at_the_limit_is_never_decided() {
        let judged = judged(&[&[254.0 * 1.01]], 16, 1.0);
        assert_eq!((judged.verdict, judged.pitches_to_decide), (Verdict::MeasureAgain, None));
    }

    #[test]
    fn a_slip_is_named_and_never_rewritten() {
        for (length, want) in [
            (10.1, Slip::Inches),
            (25.65, Slip::Centimetres),
            (272.5, Slip::Miscounted(17)),
            (500.0, Slip::Implausible),
        ] {
            let judged = judged(&[&[length]], 16, 1.0);
            assert_eq!((judged.slips[0], judged.verdict), (Some(want), Verdict::BadReading));
            assert!((judged.places_pct[0] - 100.0 * (length / 254.0 - 1.0)).abs() < 1e-12);
        }
    }

    #[test]
    fn places_disagree_only_beyond_half_a_pitch() {
        let apart = |mm: f64| judged(&[&[254.0], &[254.0 + mm]], 16, 1.0).places_disagree;
        assert!(!apart(15.875 / 2.0) && apart(15.875 / 2.0 + 1e-9));
    }

    #[test]
    fn the_worst_place_alone_is_the_one_that_is_judged_and_none_where_a_reading_is_bad() {
        let reading = |places: &[&[f64]]| Reading {
            lengths: places.iter().map(|place| place.iter().map(|&mm| Length::from_mm(mm)).collect()).collect(),
            pitches: 16,
            limit_pct: 1.0,
        };
        for places in [&[&[254.5, 255.1][..], &[255.9], &[255.9], &[254.2]][..], &[&[255.0]], &[&[254.0], &[254.9]]] {
            let reading = reading(places);
            let judged = judge(&reading, &CALLIPER);
            let (worst, pct) = worst_place(&reading, &CALLIPER).expect("all possible");
            assert_eq!((worst, pct), (judged.worst, judged.places_pct[judged.worst]));
            assert!(
                judged.places_pct.iter().all(|other| *other <= pct)
                    && judged.places_pct[..worst].iter().all(|other| *other < pct)
            );
            for (place, found) in places.iter().zip(&judged.places_pct) {
                let mean = place.iter().sum::<f64>() / place.len() as f64;
                assert!((found - 100.0 * (mean / 254.0 - 1.0)).abs() < 1e-12);
            }
            let mean = judged.places_pct.iter().sum::<f64>() / judged.places_pct.len() as f64;
            assert!((judged.mean_pct - mean).abs() < 1e-14);
        }
        assert_eq!(worst_place(&reading(&[&[254.0], &[265.0]]), &CALLIPER), None);
        assert_eq!(worst_place(&reading(&[&[25.4]]), &CALLIPER), None);
    }

    #[test]
    fn a_verdict_turns_where_the_chance_passes_nineteen_in_twenty_and_more_pitches_may_decide() {
        let u = mean_error(&CALLIPER, 16, &[1], None).u_pct;
        let z = normal::quantile(0.95);
        let at = |by: f64| {
            let mm = 254.0 * (1.0 + (1.0 + by * u) / 100.0);
            let found = judged(&[&[mm]], 16, 1.0);
            (found.verdict, found.chance_worn, found.pitches_to_decide)
        };
        assert_eq!([at(z + 1e-6).0, at(z - 1e-6).0], [Verdict::Worn, Verdict::MeasureAgain]);
        assert_eq!([at(-z - 1e-6).0, at(1e-6 - z).0], [Verdict::Sound, Verdict::MeasureAgain]);
        assert!((at(0.5).1 - normal::below(0.5)).abs() < 1e-12);
        for by in [-1.2, -0.7, 0.6, 1.0, 1.5] {
            // The same elongation over more pitches is known as much better.
            let even = (18..=60_u32).step_by(2).find(|&pitches| f64::abs(by) * f64::from(pitches) / 16.0 > z);
            assert_eq!(at(by).2, even, "{by}");
        }
        assert_eq!((at(z + 0.1).2, at(0.01).2), (None, None));
        let odd = judged(&[&[15.875 * 17.0 * (1.0 + (1.0 + u) / 100.0)]], 17, 1.0);
        assert!(odd.pitches_to_decide.is_some_and(|pitches| pitches % 2 == 0 && pitches > 17));
    }

    #[test]
    fn repeats_are_pooled_over_their_places() {
        let found = judged(&[&[254.0, 254.2, 254.4], &[255.0], &[254.6, 255.0]], 16, 1.0).pooled_repeat;
        let want = ((0.04 + 0.0 + 0.04 + 0.04 + 0.04) / 3.0_f64).sqrt();
        assert!(found.is_some_and(|(sd, count)| (sd.mm() - want).abs() < 1e-12 && count == 3), "{found:?}");
        assert_eq!(judged(&[&[254.0], &[255.0]], 16, 1.0).pooled_repeat, None);
    }
}
