//! `wear.forecast`: hours left to the limit from a log of readings.

use upkeep::wear::{Log, Outlook, outlook};

use super::process::{
    ELONGATION, HOURS, INTERVAL, LIMIT, MULTIPLIER, RATE, RATE_SD, SCATTER, START, START_SD, U, U_COMMON, assumed, log,
    process,
};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIELDS: &[Field] =
    &[HOURS, ELONGATION, LIMIT, U, U_COMMON, START, START_SD, RATE, RATE_SD, SCATTER, MULTIPLIER, INTERVAL];

pub(super) const FIGURE: Figure = Figure {
    name: "wear.forecast",
    says: "Hours left to the wear limit from a log of readings, as an interval, with what the log itself can carry.",
    given: FIELDS,
    answer: &[
        ("now_pct", "elongation at the last reading, %"),
        ("now_sd_pct", "its standard deviation, %"),
        ("rate_pct_per_h", "wear per equivalent hour, %/h"),
        ("rate_sd_pct_per_h", "its standard deviation, %/h"),
        ("correlation", "between the two"),
        ("left_low_h", "hours left, low end, h; 0: over already"),
        ("left_median_h", "hours left, even chance, h"),
        ("left_high_h", "hours left, high end, h; null: no bound"),
        ("bounded", "whether the high end exists"),
        ("chance_over", "chance of being over the limit now"),
        ("basis", "log (three readings over 15 h) or prior"),
        ("last_z", "last reading against the earlier ones, in standard deviations; null without one"),
        ("robust_rate_pct_per_h", "median of slopes between readings, %/h (from 4 readings)"),
    ],
    formula: "x(t) = x0 + mu t + s B(t), readings Gaussian; hours left t: P(x(t) > limit) = q for the ends of the interval and 0.5, over the multiplier",
    sources: &["wear-process", "wear-guesses"],
    ask,
};

/// Standard deviations from which a reading is odd.
const ODD_Z: f64 = 3.0;
/// Standard deviations that two readings running must both be above for the wear to be getting faster.
const FASTER_Z: f64 = 2.0;
/// Elongation under which an odd low reading looks like a new chain.
const LIKE_NEW_PCT: f64 = 0.3;

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (process, log, limit) = (process(given)?, log(given)?, given.num("limit_pct")?);
    let seen = outlook(&process, &log);
    let (wear, multiplier) = (seen.wear, given.num_or("multiplier", 1.0));
    let tail = (1.0 - given.num_or("interval", assumed::INTERVAL)) / 2.0;
    let left = |chance: f64| wear.hours_to(limit, chance).map(|hours| hours / multiplier);
    let high = left(1.0 - tail);
    let answer = Answer::new()
        .num("now_pct", wear.now)
        .num("now_sd_pct", wear.now_var.sqrt())
        .num("rate_pct_per_h", wear.rate)
        .num("rate_sd_pct_per_h", wear.rate_var.sqrt())
        .num("correlation", wear.cov / (wear.now_var * wear.rate_var).sqrt())
        .num_or_null("left_low_h", left(tail))
        .num_or_null("left_median_h", left(0.5))
        .num_or_null("left_high_h", high)
        .flag("bounded", high.is_some())
        .num("chance_over", wear.chance_over(limit, 0.0))
        .text("basis", basis(&log))
        .num_or_null("last_z", seen.surprises.last().copied())
        .num_if("robust_rate_pct_per_h", log.robust_rate());
    Ok(noticed(from_prior(answer, &log), &log, &seen, high.is_none(), 1.0 - tail))
}

/// Whether the log speaks for itself, in the contract's word.
pub(super) fn basis(log: &Log) -> &'static str {
    if log.speaks() { "log" } else { "prior" }
}

/// Says so where the figure rests on what was assumed.
pub(super) fn from_prior(answer: Answer, log: &Log) -> Answer {
    let span = log.hours.last().zip(log.hours.first()).map_or(0.0, |(last, first)| last - first);
    let span = (span * 10.0).round() / 10.0;
    answer.notice_if(!log.speaks(), "from_prior", || {
        format!(
            "{} readings over {span} h; from 3 over 15 h the log speaks. This rests on assumed wear.",
            log.hours.len()
        )
    })
}

fn noticed(answer: Answer, log: &Log, seen: &Outlook, unbounded: bool, chance: f64) -> Answer {
    let count = seen.surprises.len();
    let last = seen.surprises.last().copied().unwrap_or(0.0);
    let before = if count >= 2 { seen.surprises[count - 2] } else { 0.0 };
    let read = log.elongation_pct.last().copied().unwrap_or(f64::INFINITY);
    answer
        .notice_if(unbounded, "no_upper_bound", || {
            format!("The limit is not reached with a chance of {chance} within 10000 h: no upper bound from this log.")
        })
        .notice_if(last.abs() > ODD_Z, "odd_reading", || {
            format!("The last reading, {read} %, lies {last:.1} standard deviations from what the earlier ones let expect.")
        })
        .notice_if(last < -ODD_Z && read < LIKE_NEW_PCT, "chain_replaced", || {
            format!("{read} % looks like a new chain. If it was replaced, start a new log.")
        })
        .notice_if(last > FASTER_Z && before > FASTER_Z, "wearing_faster", || {
            format!("The last two readings lie {before:.1} and {last:.1} standard deviations high: it wears faster than before.")
        })
}
