//! A bike bought used: hours on the chain known only as a range or a guess, one reading, hours left.

use drive::solve::crossing;

use super::forecast::{FARTHEST_H, Log, Process, Wear, outlook};
use crate::chance::{LEGENDRE_64, normal};

/// What is known of the hours on the chain.
#[derive(Debug, Clone, PartialEq)]
pub enum HoursKnown {
    /// Somewhere between two ends, all alike.
    Between(f64, f64),
    /// One of several, with weights (not all 0).
    OneOf(Vec<(f64, f64)>),
}

impl HoursKnown {
    fn ends(&self) -> (f64, f64) {
        match self {
            Self::Between(low, high) => (*low, *high),
            Self::OneOf(hours) => hours.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (hours, _)| {
                (low.min(*hours), high.max(*hours))
            }),
        }
    }

    /// Hours and their weights, 64 Gauss nodes over a range; what counts is how they stand to each other.
    fn nodes(&self) -> Vec<(f64, f64)> {
        match self {
            Self::Between(low, high) if low == high => vec![(*low, 1.0)],
            Self::Between(low, high) => {
                LEGENDRE_64.iter().map(|node| (low + (high - low) * (node.at + 1.0) / 2.0, node.weight)).collect()
            }
            Self::OneOf(hours) => hours.clone(),
        }
    }
}

/// How narrow hours left must be to count as known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NarrowEnough {
    /// High end over low end at most.
    pub ratio: f64,
    /// Or a width of so many hours at most.
    pub hours: f64,
}

/// The one reading and how it is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstReading {
    /// Hours on the chain, as far as known.
    pub hours: HoursKnown,
    /// Elongation read and its standard uncertainty, per cent.
    pub elongation: (f64, f64),
    /// The limit, per cent.
    pub limit_pct: f64,
    /// Multiplier of the coming ground.
    pub multiplier: f64,
    /// Probability between low and high.
    pub interval: f64,
    /// When the answer counts as known.
    pub enough: NarrowEnough,
}

/// Whether hours left are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstVerdict {
    /// Over the limit already.
    Over,
    /// Narrow enough.
    Known,
    /// Too wide to plan by.
    Unknown,
}

/// What one reading says about a bike bought used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstDay {
    /// Whether hours left are known.
    pub verdict: FirstVerdict,
    /// Hours left: low, median, high; `None` = no bound.
    pub left: [Option<f64>; 3],
    /// Chance of being over the limit now.
    pub chance_over: f64,
    /// Elongation now: mean and standard deviation, per cent.
    pub now: (f64, f64),
    /// Rate: mean and standard deviation, per cent per hour.
    pub rate: (f64, f64),
    /// Hours on the chain after the reading: mean and standard deviation.
    pub hours: (f64, f64),
    /// Hours left, even chance, if the chain had the least and the most hours.
    pub median_at_ends: [Option<f64>; 2],
    /// Standard deviations by which the reading misses the hours that fit it best.
    pub misfit: f64,
}

/// Judges the first reading; `None` if no hours at all could have given it.
///
/// # Formula
/// Weight of T hours = its prior × N(y; m₀ + μ₀T, s₀² + w₀²T² + s²T + u²); hours left from the mixture.
///
/// # Source
/// Derived here (`wear-process`).
#[must_use]
pub fn first_day(process: &Process, reading: &FirstReading) -> Option<FirstDay> {
    let prior = reading.hours.nodes();
    let likely: Vec<f64> = prior.iter().map(|&(hours, share)| share * likelihood(process, reading, hours)).collect();
    let whole: f64 = likely.iter().sum();
    if whole <= 0.0 {
        return None;
    }
    let mixture: Vec<Part> = prior
        .iter()
        .zip(&likely)
        .map(|(&(hours, _), weight)| Part { share: weight / whole, hours, wear: seen_at(process, reading, hours) })
        .collect();
    let over = |hours: f64| {
        mixture.iter().map(|part| part.share * part.wear.chance_over(reading.limit_pct, hours)).sum::<f64>()
    };
    let chance_over = over(0.0);
    let reach = |chance: f64| {
        let hours = if chance_over >= chance { Some(0.0) } else { first_reaching(over, chance) };
        hours.map(|hours| hours / reading.multiplier)
    };
    let tail = (1.0 - reading.interval) / 2.0;
    let left = [reach(tail), reach(0.5), reach(1.0 - tail)];
    let (low, high) = reading.hours.ends();
    let median_at = |hours: f64| {
        seen_at(process, reading, hours).hours_to(reading.limit_pct, 0.5).map(|left| left / reading.multiplier)
    };
    Some(FirstDay {
        verdict: verdict(left, reading.enough),
        left,
        chance_over,
        now: moments(&mixture, |part| (part.wear.now, part.wear.now_var)),
        rate: moments(&mixture, |part| (part.wear.rate, part.wear.rate_var)),
        hours: moments(&mixture, |part| (part.hours, 0.0)),
        median_at_ends: [median_at(low), median_at(high)],
        misfit: prior.iter().map(|&(hours, _)| misfit(process, reading, hours)).fold(f64::INFINITY, f64::min),
    })
}

struct Part {
    share: f64,
    hours: f64,
    wear: Wear,
}

/// Hours at which the mixture is looked at: close together where bikes live.
fn looks() -> impl Iterator<Item = f64> {
    let near = (1..=2000).map(|step| f64::from(step) * 0.25);
    near.chain((251..).map(|step| f64::from(step) * 2.0).take_while(|&hours| hours <= FARTHEST_H))
}

/// The first of [`looks`] before which `over`, which does not fall again, has reached a chance, narrowed to the point.
fn first_reaching(over: impl Fn(f64) -> f64, chance: f64) -> Option<f64> {
    let mut low = 0.0;
    for high in looks() {
        if over(high) >= chance {
            return Some(crossing(|hours| over(hours) - chance, low, high));
        }
        low = high;
    }
    None
}

fn verdict([low, _, high]: [Option<f64>; 3], enough: NarrowEnough) -> FirstVerdict {
    match (low, high) {
        (_, Some(0.0)) => FirstVerdict::Over,
        (Some(low), Some(high)) if high - low <= enough.hours || (low > 0.0 && high <= enough.ratio * low) => {
            FirstVerdict::Known
        }
        _ => FirstVerdict::Unknown,
    }
}

fn seen_at(process: &Process, reading: &FirstReading, hours: f64) -> Wear {
    let (elongation, u) = reading.elongation;
    let log = Log { hours: vec![hours], elongation_pct: vec![elongation], u_pct: vec![u], u_common_pct: 0.0 };
    outlook(process, &log).wear
}

fn expected(process: &Process, reading: &FirstReading, hours: f64) -> (f64, f64) {
    let new = Wear {
        now: process.start.0,
        rate: process.rate.0,
        now_var: process.start.1.powi(2),
        cov: 0.0,
        rate_var: process.rate.1.powi(2),
        scatter: process.scatter,
    };
    (new.mean_after(hours), (new.var_after(hours) + reading.elongation.1.powi(2)).sqrt())
}

fn misfit(process: &Process, reading: &FirstReading, hours: f64) -> f64 {
    let (mean, sd) = expected(process, reading, hours);
    (reading.elongation.0 - mean).abs() / sd
}

fn likelihood(process: &Process, reading: &FirstReading, hours: f64) -> f64 {
    let (mean, sd) = expected(process, reading, hours);
    normal::density((reading.elongation.0 - mean) / sd) / sd
}

/// Mean and standard deviation over the mixture, the parts' own variances included.
fn moments(mixture: &[Part], of: impl Fn(&Part) -> (f64, f64)) -> (f64, f64) {
    let mean: f64 = mixture.iter().map(|part| part.share * of(part).0).sum();
    let variance: f64 = mixture
        .iter()
        .map(|part| {
            let (value, own) = of(part);
            part.share * (own + (value - mean).powi(2))
        })
        .sum();
    (mean, variance.sqrt())
}
