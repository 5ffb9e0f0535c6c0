//! `chain.elongation`: how much longer than new, from a length over some pitches.

use drive::chain::elongation::{Slip, elongation as measured, slip};
use measure::{Length, bounds};

use super::pair::PITCH;
use crate::{Answer, Field, Figure, Given, Refusal};

/// Fewer pitches than this make a short base: a tenth of a millimetre then weighs more than 0.04 %.
const SHORT_BASE: u32 = 16;

pub(super) const ELONGATION: Figure = Figure {
    name: "chain.elongation",
    says: "Elongation against new from a length over a number of pitches.",
    given: &[
        PITCH,
        Field::whole("pitches", &bounds::chain::PITCHES).meaning("pitches between the two pins, an even number"),
        Field::number("length_mm", &bounds::chain::MEASURED).meaning("same edge to same edge of two pins, taut"),
    ],
    answer: &[("elongation_pct", "longer than new by so many percent")],
    formula: "ε = l/(n p) − 1",
    sources: &["geometry", "ours"],
    ask: elongation,
};

fn elongation(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (pitch, pitches, length) = (given.mm("pitch_mm")?, given.whole("pitches")?, given.mm("length_mm")?);
    let reading = measured(pitch, pitches, length);
    if let Some(slip) = slip(pitch, pitches, length) {
        return Err(Refusal::new("length_mm", "implausible", refusal(slip, pitch, pitches, length)));
    }
    Ok(Answer::new()
        .num("elongation_pct", reading.pct())
        .notice_if(!pitches.is_multiple_of(2), "odd_pitches", || {
            format!("{pitches} pitches are odd: wear lengthens only every second one. Measure over an even number.")
        })
        .notice_if(pitches < SHORT_BASE, "short_base", || {
            format!(
                "{pitches} pitches are a short base: 0.1 mm is {:.2} % here. Measure over {SHORT_BASE} or more.",
                10.0 / (pitch.mm() * f64::from(pitches))
            )
        }))
}

fn refusal(slip: Slip, pitch: Length, pitches: u32, length: Length) -> String {
    let bound = &bounds::ELONGATION;
    let hint = match slip {
        Slip::Inches => "It would fit if it was read in inches: give millimetres".to_owned(),
        Slip::Centimetres => "It would fit if it was read in centimetres: give millimetres".to_owned(),
        Slip::Miscounted(count) => format!("It would fit {count} pitches: count the pitches again"),
        Slip::Implausible => "Count the pitches again, check the pitch and pull the chain taut".to_owned(),
    };
    format!(
        "length_mm is {} mm over {pitches} pitches of {} mm, {:.2} % from new; {} is possible ({}). {hint}.",
        length.mm(),
        pitch.mm(),
        measured(pitch, pitches, length).pct(),
        bound.range(),
        bound.word
    )
}
