//! The fields that every look ahead shares: the log of readings, the limit and what is assumed before the first.

use measure::bounds::wear as bounds;
use serde_json::Value;
use upkeep::wear::{Log, Process};

use super::inside;
use crate::{Field, Given, Refusal};

pub(super) const LIMIT: Field = Field::number("limit_pct", &bounds::LIMIT);
pub(super) const HOURS: Field = Field::numbers("hours_h", &bounds::HOURS)
    .meaning("equivalent hours since fitting at each reading, not falling; may be empty");
pub(super) const ELONGATION: Field =
    Field::numbers("elongation_pct", &bounds::ELONGATION_READ).meaning("one for each of hours_h");
pub(super) const U: Field =
    Field::any("u_pct").optional("0.06").meaning("standard uncertainty, one for all or one for each, above 0 up to 2");
pub(super) const U_COMMON: Field =
    Field::number("u_common_pct", &bounds::UNCERTAINTY_COMMON).optional("0").meaning("error that all readings share");
pub(super) const START: Field =
    Field::number("start_pct", &bounds::START).optional("0.05").meaning("elongation of a new chain");
pub(super) const START_SD: Field = Field::number("start_sd_pct", &bounds::START_SD).optional("0.05");
pub(super) const RATE: Field = Field::number("rate_pct_per_h", &bounds::RATE)
    .optional("limit_pct/70")
    .meaning("expected before the first reading");
pub(super) const RATE_SD: Field = Field::number("rate_sd_pct_per_h", &bounds::RATE).optional("half the rate");
pub(super) const SCATTER: Field =
    Field::number("scatter_pct", &bounds::SCATTER).optional("0.015").meaning("wander of the wear, per root hour");
pub(super) const MULTIPLIER: Field =
    Field::number("multiplier", &bounds::MULTIPLIER).optional("1").meaning("of the coming ground");
pub(super) const INTERVAL: Field =
    Field::number("interval", &bounds::INTERVAL).optional("0.9").meaning("probability between low and high");

/// What is assumed where nothing is said; each stands in its field's words, too.
///
/// # Source
/// `wear-guesses`.
pub(super) mod assumed {
    /// Standard uncertainty of a length reading, percent.
    pub(in crate::wear) const U_PCT: f64 = 0.06;
    /// Hours in which a chain reaches its limit on hard, dry ground.
    pub(super) const LIFE_H: f64 = 70.0;
    /// Elongation of a new chain and its standard deviation, percent.
    pub(super) const START_PCT: (f64, f64) = (0.05, 0.05);
    /// Wander of the wear, percent per root hour.
    pub(super) const SCATTER_PCT: f64 = 0.015;
    /// Probability between the low and the high end of a forecast.
    pub(in crate::wear) const INTERVAL: f64 = 0.9;
}

/// Elongation of a new chain and its standard deviation.
pub(super) fn start(given: &Given<'_>) -> (f64, f64) {
    let (mean, sd) = assumed::START_PCT;
    (given.num_or("start_pct", mean), given.num_or("start_sd_pct", sd))
}

/// Wander of the wear.
pub(super) fn scatter(given: &Given<'_>) -> f64 {
    given.num_or("scatter_pct", assumed::SCATTER_PCT)
}

/// Readings of one chain that a log may hold.
pub(super) const MOST_READINGS: usize = 1000;

/// The process of the shared fields.
pub(super) fn process(given: &Given<'_>) -> Result<Process, Refusal> {
    let rate =
        given.opt("rate_pct_per_h").map_or_else(|| given.num("limit_pct").map(|limit| limit / assumed::LIFE_H), Ok)?;
    Ok(Process {
        start: start(given),
        rate: (rate, given.num_or("rate_sd_pct_per_h", rate / 2.0)),
        scatter: scatter(given),
    })
}

/// The log of the shared fields.
pub(super) fn log(given: &Given<'_>) -> Result<Log, Refusal> {
    let u = uncertainties(given)?;
    let hours = given.numbers("hours_h");
    inside::at_most("hours_h", hours.len(), MOST_READINGS)?;
    let elongation_pct = given.numbers("elongation_pct");
    inside::as_many("elongation_pct", elongation_pct.len(), "hours_h", hours.len())?;
    if let Some(pair) = hours.windows(2).find(|pair| pair[1] < pair[0]) {
        let text = format!("hours_h falls from {} to {} h. Put the readings in order of time.", pair[0], pair[1]);
        return Err(Refusal::new("hours_h", "falls", text));
    }
    let u_pct = match u {
        Uncertainties::Same(u) => vec![u; hours.len()],
        Uncertainties::Each(each) => {
            inside::as_many("u_pct", each.len(), "hours_h", hours.len())?;
            each
        }
    };
    Ok(Log { hours, elongation_pct, u_pct, u_common_pct: given.num_or("u_common_pct", 0.0) })
}

enum Uncertainties {
    Same(f64),
    Each(Vec<f64>),
}

fn uncertainties(given: &Given<'_>) -> Result<Uncertainties, Refusal> {
    match given.raw("u_pct") {
        None => Ok(Uncertainties::Same(assumed::U_PCT)),
        Some(value @ Value::Array(_)) => inside::numbers("u_pct", value, &bounds::UNCERTAINTY).map(Uncertainties::Each),
        Some(value) => inside::number("u_pct", value, &bounds::UNCERTAINTY).map(Uncertainties::Same),
    }
}
