//! What length readings say of wear, in figures alone: for one page ten years of them are judged.

use measure::Length;
use measure::bounds::wear::{LENGTH, LIMIT, PITCH_READ, PITCHES, REAR_TEETH};
use upkeep::bike::Bike;
use upkeep::record::ElongationReading;
use upkeep::wear::{Instrument, MeanError, Reading, mean_error, worst_place};

use super::elongation::{self, Limit};
use crate::ask::Gap;

/// Elongation at the worst place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worst {
    pub(super) pct: f64,
    pub(super) u_pct: f64,
    pub(super) u95_pct: f64,
}

/// What of a bike its readings are judged by.
pub(super) struct Judge<'b> {
    bike: &'b Bike,
    /// The pitch, where the figure would take it and the limit as they are.
    pitch: Option<Length>,
    /// How sure a place is: it hangs on the instrument, the pitches and the repeats, and not on what was read.
    sure: Vec<(Sure, MeanError)>,
}

/// Largest error and step of an instrument, pitches, readings at the place.
type Sure = (f64, f64, u32, usize);

impl<'b> Judge<'b> {
    pub(super) fn of(bike: &'b Bike) -> Self {
        let pitch_mm = bike.number("pitch_mm").filter(|pitch| PITCH_READ.holds(*pitch));
        let teeth = bike.whole("rear_teeth").is_none_or(|count| REAR_TEETH.holds(f64::from(count)));
        let possible = teeth && LIMIT.holds(Limit::of(bike).limit_pct);
        Self { bike, pitch: pitch_mm.filter(|_| possible).map(Length::from_mm), sure: Vec::new() }
    }

    /// The worst place by a reading; `None` for one that cannot be right.
    ///
    /// # Errors
    /// As [`elongation::view`].
    pub(super) fn worst(&mut self, reading: &ElongationReading) -> Result<Option<Worst>, Gap> {
        if let Some(worst) = self.plainly(reading) {
            return Ok(Some(worst));
        }
        let view = elongation::view(self.bike, reading)?;
        let worst = Worst { pct: view.worst_pct, u_pct: view.worst_u_pct, u95_pct: view.worst_u95_pct };
        Ok((!view.bad).then_some(worst))
    }

    /// The figure's own sum; the figure itself is asked where it has something to refuse or to doubt.
    fn plainly(&mut self, given: &ElongationReading) -> Option<Worst> {
        let lengths = || given.length_mm().iter().flatten();
        if !PITCHES.holds(f64::from(given.pitches())) || !lengths().all(|length| LENGTH.holds(*length)) {
            return None;
        }
        let (repeat, repeat_dof) = Instrument::HAND;
        let instrument = Instrument {
            pitch: self.pitch?,
            largest_error: Length::from_mm(given.maximum_error_mm()),
            resolution: Length::from_mm(given.resolution_mm()),
            repeat,
            repeat_dof,
        };
        let places = given.length_mm().iter();
        let lengths = places.map(|place| place.iter().copied().map(Length::from_mm).collect()).collect();
        // The limit tells worn from sound, which is not asked here.
        let reading = Reading { lengths, pitches: given.pitches(), limit_pct: 0.0 };
        let (worst, pct) = worst_place(&reading, &instrument)?;
        let repeats = reading.lengths.get(worst)?.len();
        let error = self.error(&instrument, reading.pitches, repeats);
        let worst = Worst { pct, u_pct: error.u_pct, u95_pct: error.u95_pct };
        [worst.pct, worst.u_pct, worst.u95_pct].iter().all(|value| value.is_finite()).then_some(worst)
    }

    fn error(&mut self, instrument: &Instrument, pitches: u32, repeats: usize) -> MeanError {
        let sure = (instrument.largest_error.mm(), instrument.resolution.mm(), pitches, repeats);
        if let Some((_, error)) = self.sure.iter().find(|(known, _)| *known == sure) {
            return *error;
        }
        let error = mean_error(instrument, pitches, &[repeats], None);
        self.sure.push((sure, error));
        error
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bike(sheet: &str) -> Bike {
        Bike::from_toml(&format!(
            "schema = 1\n[bike]\nid = \"b\"\nname = \"B\"\ninvented = true\nengine = \"four-stroke\"\n[drive]\n{sheet}"
        ))
        .expect("a bike")
    }

    fn reading(length_mm: Vec<Vec<f64>>, pitches: u32) -> ElongationReading {
        ElongationReading::new(pitches, length_mm, 0.05, 0.01).expect("a reading")
    }

    #[test]
    fn figures_alone_are_those_of_the_whole_judgement() {
        let sheets = [
            "",
            "pitch_mm = 15.875",
            "pitch_mm = 15.875\nrear_teeth = 50",
            "pitch_mm = 12.7\n[sheet]\nlimit_pct = 2.0",
        ];
        let all = [
            reading(vec![vec![318.2], vec![318.9], vec![318.4]], 20),
            reading(vec![vec![254.9, 255.2], vec![255.1]], 16),
            reading(vec![vec![12.53]], 20),
            reading(vec![vec![333.9], vec![318.2]], 20),
            reading(vec![vec![900.0]], 20),
        ];
        for bike in sheets.map(bike) {
            let mut judge = Judge::of(&bike);
            for reading in &all {
                let whole = elongation::view(&bike, reading);
                let whole = whole.map(|view| {
                    let worst = Worst { pct: view.worst_pct, u_pct: view.worst_u_pct, u95_pct: view.worst_u95_pct };
                    (!view.bad).then_some(worst)
                });
                assert_eq!(judge.worst(reading), whole, "{reading:?}");
            }
        }
    }
}
