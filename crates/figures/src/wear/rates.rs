//! `wear.rates`: wear per hour of each ground.

use measure::bounds::wear as bounds;
use serde_json::Value;
use upkeep::wear::{GroundPrior, GroundReading, ground_rates};

use super::inside;
use super::process::{MOST_READINGS, SCATTER, START, START_SD, assumed, scatter, start};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.rates",
    says: "Wear per hour of each ground from readings that mix grounds; claimed only where enough hours were ridden.",
    given: &[
        Field::nested("grounds").meaning("names"),
        Field::nested("ground_hours_h")
            .meaning("a row for each reading: hours since fitting on each ground, in that order"),
        Field::numbers("elongation_pct", &bounds::ELONGATION_READ).meaning("one for each row"),
        Field::number("rate_pct_per_h", &bounds::RATE).meaning("expected on hard ground before the first reading"),
        Field::numbers("multiplier", &bounds::MULTIPLIER).optional("1 for each ground"),
        Field::number("rate_spread", &bounds::RATE_SPREAD)
            .optional("0.4")
            .meaning("spread of each rate as a share of it"),
        Field::number("u_pct", &bounds::UNCERTAINTY).optional("0.06"),
        START,
        START_SD,
        SCATTER,
        Field::number("least_h", &bounds::LEAST_HOURS)
            .optional("8")
            .meaning("hours on a ground below which nothing is claimed"),
    ],
    answer: &[
        ("rates_pct_per_h", "wear per hour of each ground, %/h"),
        ("rates_sd_pct_per_h", "its standard deviation, %/h"),
        ("claimed", "whether enough hours were ridden on it"),
    ],
    formula: "y = x0 + sum(hours rate) + wander + error, rates ~ N(rate m, (spread rate m)^2); Gaussian conditioning",
    sources: &["wear-process", "wear-guesses"],
    ask,
};

/// Grounds that a rider tells apart.
const MOST_GROUNDS: usize = 20;

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let grounds = grounds(given)?;
    let hours = hours(given, grounds.len())?;
    let elongations = given.numbers("elongation_pct");
    inside::some("elongation_pct", elongations.len(), "reading")?;
    inside::at_most("elongation_pct", elongations.len(), MOST_READINGS)?;
    inside::as_many("ground_hours_h", hours.len(), "elongation_pct", elongations.len())?;
    let multipliers = if given.has("multiplier") { given.numbers("multiplier") } else { vec![1.0; grounds.len()] };
    inside::as_many("multiplier", multipliers.len(), "grounds", grounds.len())?;
    let least = given.num_or("least_h", 8.0);
    let last = hours.last().cloned().unwrap_or_default();
    let prior = GroundPrior {
        start: start(given),
        rate: given.num("rate_pct_per_h")?,
        multipliers,
        spread: given.num_or("rate_spread", 0.4),
        scatter: scatter(given),
    };
    let u_pct = given.num_or("u_pct", assumed::U_PCT);
    let readings: Vec<GroundReading> = hours
        .into_iter()
        .zip(elongations)
        .map(|(hours, elongation_pct)| GroundReading { hours, elongation_pct, u_pct })
        .collect();
    let rates = ground_rates(&prior, &readings);
    let thin = grounds.iter().zip(&last).find(|(_, hours)| **hours < least);
    Ok(Answer::new()
        .json("rates_pct_per_h", rates.iter().map(|rate| rate.0).collect::<Vec<_>>())
        .json("rates_sd_pct_per_h", rates.iter().map(|rate| rate.1).collect::<Vec<_>>())
        .json("claimed", last.iter().map(|&hours| hours >= least).collect::<Vec<_>>())
        .notice_if(thin.is_some(), "too_few_hours", || {
            let (ground, hours) = thin.map_or(("", 0.0), |(ground, hours)| (*ground, *hours));
            format!("{hours} h on {ground} of at least {least} h: its rate is mostly assumed, nothing is claimed.")
        }))
}

fn grounds<'a>(given: &Given<'a>) -> Result<Vec<&'a str>, Refusal> {
    let names = inside::names(given, "grounds")?;
    inside::some("grounds", names.len(), "ground")?;
    inside::at_most("grounds", names.len(), MOST_GROUNDS)?;
    Ok(names)
}

fn hours(given: &Given<'_>, grounds: usize) -> Result<Vec<Vec<f64>>, Refusal> {
    const NAME: &str = "ground_hours_h";
    let rows: Vec<Vec<f64>> = inside::list(given, NAME)?
        .iter()
        .map(|row: &Value| {
            let hours = inside::numbers(NAME, row, &bounds::HOURS)?;
            inside::as_many(NAME, hours.len(), "grounds", grounds).map(|()| hours)
        })
        .collect::<Result<_, _>>()?;
    for pair in rows.windows(2) {
        if let Some((before, after)) = pair[0].iter().zip(&pair[1]).find(|(before, after)| after < before) {
            let text =
                format!("{NAME} falls from {before} to {after} h. Each row counts from fitting, in order of time.");
            return Err(Refusal::new(NAME, "falls", text));
        }
    }
    Ok(rows)
}
