//! `ride.stops`: where a ride stood still, and its moving time.

use measure::bounds::ride as bounds;
use ride::profile::stops;
use serde_json::json;

use crate::{Answer, Field, Figure, Given, Refusal};

/// Times of samples.
pub(super) const T_S: Field = Field::numbers("t_s", &bounds::SAMPLE_TIME).meaning("times of the samples, rising");
/// Speeds of samples.
pub(super) const SPEED_MPS: Field = Field::numbers("speed_mps", &bounds::GROUND_SPEED);

pub(super) const FIGURE: Figure = Figure {
    name: "ride.stops",
    says: "The stops of a ride and its moving time, which is the moving time of the whole tool.",
    given: &[T_S, SPEED_MPS],
    answer: &[
        ("stops", "begin and end of each stop, s; one still open ends at the last sample"),
        ("stopped_s", "time inside stops, s"),
        ("moving_s", "the rest, s"),
    ],
    formula: "below 0.8 m/s for 3 s starts a stop at the run's first sample; above 1.5 m/s for 2 s ends it there",
    sources: &["ours"],
    ask,
};

/// Times and speeds of one length, the times rising.
///
/// # Errors
/// `t_s` empty or not rising; `speed_mps` of another length.
pub(super) fn given_speeds(given: &Given<'_>) -> Result<(Vec<f64>, Vec<f64>), Refusal> {
    let (t_s, speed_mps) = (given.numbers("t_s"), given.numbers("speed_mps"));
    not_empty("t_s", &t_s)?;
    same_length("speed_mps", speed_mps.len(), "t_s", t_s.len())?;
    rising("t_s", &t_s)?;
    Ok((t_s, speed_mps))
}

pub(super) fn not_empty<T>(field: &str, values: &[T]) -> Result<(), Refusal> {
    if values.is_empty() {
        return Err(Refusal::new(field, "empty", format!("{field} is empty. Give at least one sample.")));
    }
    Ok(())
}

pub(super) fn same_length(field: &str, length: usize, first: &str, wanted: usize) -> Result<(), Refusal> {
    if length == wanted {
        return Ok(());
    }
    let text = format!("{field} has {length} values, {first} has {wanted}. Give one of each for every sample.");
    Err(Refusal::new(field, "length", text))
}

/// Times must strictly rise.
pub(super) fn rising(field: &str, values: &[f64]) -> Result<(), Refusal> {
    let pairs = values.iter().zip(values.iter().skip(1)).enumerate();
    match pairs.into_iter().find(|(_, (a, b))| a >= b) {
        None => Ok(()),
        Some((k, (a, b))) => Err(Refusal::new(
            field,
            "not_rising",
            format!(
                "{field} is {b} at place {}, after {a}; each time must be later than the one before. Sort them.",
                k + 2
            ),
        )),
    }
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (t_s, speed_mps) = given_speeds(given)?;
    let found = stops(&t_s, &speed_mps);
    Ok(Answer::new()
        .json("stops", json!(found.spans_s))
        .num("stopped_s", found.stopped_s)
        .num("moving_s", found.moving_s))
}
