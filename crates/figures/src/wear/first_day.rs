//! `wear.first_day`: hours left on a bike bought used, from one reading.

use measure::bounds::wear as bounds;
use upkeep::wear::{FirstDay, FirstReading, FirstVerdict, HoursKnown, NarrowEnough, first_day};

use super::inside;
use super::process::{INTERVAL, LIMIT, MULTIPLIER, RATE, RATE_SD, SCATTER, START, START_SD, assumed, process};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.first_day",
    says: "What one reading says about a chain whose hours are known only as a range or a guess.",
    given: &[
        Field::number("elongation_pct", &bounds::ELONGATION_READ).meaning("the one reading"),
        LIMIT,
        Field::number("hours_low_h", &bounds::HOURS_USED)
            .optional("or hours_h")
            .meaning("least hours that the chain has"),
        Field::number("hours_high_h", &bounds::HOURS_USED).optional("needed with hours_low_h"),
        Field::numbers("hours_h", &bounds::HOURS_USED).optional("or a range").meaning("several guesses of its hours"),
        Field::numbers("weight", &bounds::WEIGHT).optional("all alike").meaning("one for each of hours_h"),
        Field::number("u_pct", &bounds::UNCERTAINTY).optional("0.06"),
        START,
        START_SD,
        RATE,
        RATE_SD,
        SCATTER,
        MULTIPLIER,
        INTERVAL,
        Field::number("most_ratio", &bounds::MOST_RATIO)
            .optional("4")
            .meaning("high over low end that still counts as known"),
        Field::number("enough_h", &bounds::ENOUGH_HOURS).optional("5").meaning("width that always counts as known"),
    ],
    answer: &[
        ("verdict", "over, known or unknown"),
        ("left_low_h", "hours left, low end, h"),
        ("left_median_h", "hours left, even chance, h"),
        ("left_high_h", "hours left, high end, h; null: no bound"),
        ("bounded", "whether the high end exists"),
        ("chance_over", "chance of being over the limit now"),
        ("now_pct", "elongation now, %"),
        ("now_sd_pct", "its standard deviation, %"),
        ("rate_pct_per_h", "wear per hour, %/h"),
        ("rate_sd_pct_per_h", "its standard deviation, %/h"),
        ("hours_mean_h", "hours on the chain, h"),
        ("hours_sd_h", "their standard deviation, h"),
        ("if_low_median_h", "hours left, even chance, if it had the least hours, h"),
        ("if_high_median_h", "the same for the most hours, h"),
    ],
    formula: "mixture over the hours T, weighed by their prior times N(y; m0 + mu0 T, s0^2 + w0^2 T^2 + s^2 T + u^2), of wear.forecast",
    sources: &["wear-process", "wear-guesses"],
    ask,
};

/// Standard deviations by which a reading may miss all hours given.
const FITS_Z: f64 = 3.0;

/// Guesses of the hours that are weighed.
const MOST_GUESSES: usize = 200;

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let read = given.num("elongation_pct")?;
    let reading = FirstReading {
        hours: hours(given)?,
        elongation: (read, given.num_or("u_pct", assumed::U_PCT)),
        limit_pct: given.num("limit_pct")?,
        multiplier: given.num_or("multiplier", 1.0),
        interval: given.num_or("interval", assumed::INTERVAL),
        enough: NarrowEnough { ratio: given.num_or("most_ratio", 4.0), hours: given.num_or("enough_h", 5.0) },
    };
    let found = first_day(&process(given)?, &reading).ok_or_else(|| {
        let text = format!(
            "elongation_pct is {read}; no chain within these hours reads so. Check the reading, then the hours."
        );
        Refusal::new("elongation_pct", "impossible", text)
    })?;
    Ok(noticed(worded(&found), &found, read))
}

fn hours(given: &Given<'_>) -> Result<HoursKnown, Refusal> {
    let range = ["hours_low_h", "hours_high_h"].into_iter().find(|name| given.has(name));
    if !given.has("hours_h") {
        if given.has("weight") {
            let text = "weight is given without hours_h. Give the hours that it weighs, or leave it out.";
            return Err(Refusal::new("weight", "without_list", text));
        }
        let (low, high) = (given.num("hours_low_h")?, given.num("hours_high_h")?);
        if high < low {
            let text = format!("hours_high_h is {high}, below hours_low_h, which is {low}. Swap or correct them.");
            return Err(Refusal::new("hours_high_h", "below_low", text));
        }
        return Ok(HoursKnown::Between(low, high));
    }
    if let Some(other) = range {
        let text = format!("hours_h and {other} are both given. Give the list or the range.");
        return Err(Refusal::new("hours_h", "list_and_range", text));
    }
    let hours = given.numbers("hours_h");
    inside::some("hours_h", hours.len(), "guess")?;
    inside::at_most("hours_h", hours.len(), MOST_GUESSES)?;
    let weights = if given.has("weight") { given.numbers("weight") } else { vec![1.0; hours.len()] };
    inside::as_many("weight", weights.len(), "hours_h", hours.len())?;
    if weights.iter().all(|&weight| weight == 0.0) {
        return Err(Refusal::new("weight", "all_zero", "weight is 0 throughout. Give at least one above 0."));
    }
    Ok(HoursKnown::OneOf(hours.into_iter().zip(weights).collect()))
}

fn worded(found: &FirstDay) -> Answer {
    let [low, median, high] = found.left;
    Answer::new()
        .text(
            "verdict",
            match found.verdict {
                FirstVerdict::Over => "over",
                FirstVerdict::Known => "known",
                FirstVerdict::Unknown => "unknown",
            },
        )
        .num_or_null("left_low_h", low)
        .num_or_null("left_median_h", median)
        .num_or_null("left_high_h", high)
        .flag("bounded", high.is_some())
        .num("chance_over", found.chance_over)
        .num("now_pct", found.now.0)
        .num("now_sd_pct", found.now.1)
        .num("rate_pct_per_h", found.rate.0)
        .num("rate_sd_pct_per_h", found.rate.1)
        .num("hours_mean_h", found.hours.0)
        .num("hours_sd_h", found.hours.1)
        .num_or_null("if_low_median_h", found.median_at_ends[0])
        .num_or_null("if_high_median_h", found.median_at_ends[1])
}

fn noticed(answer: Answer, found: &FirstDay, read: f64) -> Answer {
    let [low, _, high] = found.left;
    let shown = |hours: Option<f64>| hours.map_or_else(|| "no bound".to_owned(), |hours| format!("{hours:.0} h"));
    answer
        .notice_if(found.verdict == FirstVerdict::Unknown, "interval_too_wide", || {
            format!(
                "{} to {} left is too wide to plan by. What helps: the seller's hours, or a second reading after some rides.",
                shown(low),
                shown(high)
            )
        })
        .notice_if(found.misfit > FITS_Z, "reading_does_not_fit_hours", || {
            format!("{read} % lies {:.1} standard deviations from what these hours let expect: check both.", found.misfit)
        })
        .notice_if(high.is_none(), "no_upper_bound", || {
            format!("After one reading of {read} % the limit may never be reached within 10000 h: no upper bound.")
        })
}
