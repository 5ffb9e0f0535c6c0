//! Which pair on bike B feels like bike A: by speed per rpm, or by thrust over speed.
//!
//! Symbols: `x_g` the final ratio on B that gives A's speed per rpm in gear g; `e_g = ln((R/F)/x_g)`;
//! mismatch `exp(√(Σ w e²/Σ w)) − 1`; `k = E_B/E_A` the ratio of the thrust envelopes at one speed.

use super::pair::{Pair, PairSet};
use super::ratio::Gearbox;
use super::speed::speed_kmh;
use super::thrust::Puller;

/// Less than this is no thrust: what rounding leaves of a curve that ends at 0.
const NO_THRUST_N: f64 = 1e-6;
/// How many even speeds compare two envelopes.
const SPEEDS: u32 = 101;

/// A bike's box and wheel: what turns engine speed into ground speed.
#[derive(Debug, Clone, Copy)]
pub struct DriveLine<'a> {
    /// Primary drive and gears.
    pub gearbox: &'a Gearbox,
    /// Rollout in metres.
    pub rollout_m: f64,
}

/// A candidate pair on B against A.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchedPair {
    /// The pair on B.
    pub pair: Pair,
    /// B's speed per rpm against A's, gear by gear, percent.
    pub speed_pct: Vec<f64>,
    /// Weighted mismatch of speeds, percent.
    pub speed_mismatch_pct: f64,
    /// Root mean square and mean difference of thrust, percent, where thrust was asked for.
    pub thrust: Option<ThrustMatch>,
}

/// How two thrust envelopes differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThrustMatch {
    /// `√mean((k−1)²) · 100`.
    pub mismatch_pct: f64,
    /// `(mean(k) − 1) · 100`.
    pub mean_pct: f64,
}

/// The outcome of a match: what B would need in each gear, and every candidate from best to worst.
#[derive(Debug, Clone, PartialEq)]
pub struct Matched {
    /// The final ratio on B that gives A's speed per rpm, gear by gear.
    pub ratio_per_gear: Vec<f64>,
    /// The weighted geometric mean of them: the least-squares answer in log ratio.
    pub ideal_ratio: f64,
    /// The candidates, best first; equal to 1e-9: fewer teeth in all, then the smaller front.
    pub pairs: Vec<MatchedPair>,
}

/// Ranks the pairs of a set on B by speed per rpm.
///
/// # Holds when
/// `weights` has one entry for each gear of the shorter box, none negative, not all 0; further gears are left out.
#[must_use]
pub fn match_speed(a: (DriveLine<'_>, Pair), b: DriveLine<'_>, weights: &[f64], set: &PairSet) -> Matched {
    let mut matched = rated(a, b, weights, set);
    rank(&mut matched.pairs, |pair| pair.speed_mismatch_pct);
    matched
}

fn rated(a: (DriveLine<'_>, Pair), b: DriveLine<'_>, weights: &[f64], set: &PairSet) -> Matched {
    let (a, pair) = a;
    let wanted: Vec<f64> = a
        .gearbox
        .totals(pair)
        .iter()
        .zip(b.gearbox.inner())
        .take(weights.len())
        .map(|(total, inner)| total / a.rollout_m * b.rollout_m / inner)
        .collect();
    let logs: Vec<f64> = wanted.iter().map(|ratio| ratio.ln()).collect();
    let all: f64 = weights.iter().sum();
    let ideal = (weights.iter().zip(&logs).map(|(weight, log)| weight * log).sum::<f64>() / all).exp();
    let pairs = set
        .pairs()
        .map(|pair| {
            let ratio = pair.ratio().value();
            let log = ratio.ln();
            let squares: f64 = weights.iter().zip(&logs).map(|(weight, want)| weight * (log - want).powi(2)).sum();
            MatchedPair {
                pair,
                speed_pct: wanted.iter().map(|want| (want / ratio - 1.0) * 100.0).collect(),
                speed_mismatch_pct: 100.0 * ((squares / all).sqrt().exp() - 1.0),
                thrust: None,
            }
        })
        .collect();
    Matched { ratio_per_gear: wanted, ideal_ratio: ideal, pairs }
}

/// Ranks by a percentage to nine places; equal ones: fewer teeth in all, then the smaller front.
fn rank(pairs: &mut [MatchedPair], by: impl Fn(&MatchedPair) -> f64) {
    let place = |pair: &MatchedPair| (by(pair) * 1e9).round_ties_even();
    pairs.sort_by(|a, b| {
        place(a).total_cmp(&place(b)).then(a.pair.teeth().cmp(&b.pair.teeth())).then(a.pair.front.cmp(&b.pair.front))
    });
}

/// The speeds between which two bikes are compared by thrust.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedRange {
    /// From, in km/h.
    pub from_kmh: f64,
    /// To, in km/h.
    pub to_kmh: f64,
}

/// Why two bikes cannot be compared by thrust.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MatchFault {
    /// The range ends beyond A's top gear, or not above its start.
    Range {
        /// Where it would start.
        range: SpeedRange,
        /// Where A's top gear ends, in km/h.
        top_kmh: f64,
    },
    /// A has no thrust at this speed inside the range.
    NoThrust {
        /// The speed in km/h.
        at_kmh: f64,
    },
}

/// A bike with its pulling side, for a match by thrust.
pub type Pulling<'a> = (&'a Gearbox, Puller<'a>);

/// Ranks the pairs of a set on B by thrust over 101 even speeds.
///
/// `range` left open: from the first point of A's curve in first gear to A's end in top. `mass_ratio` is A's mass
/// over B's where both are known, else 1.
///
/// # Errors
/// A range that A's top gear does not reach, or a speed in it at which A has no thrust.
pub fn match_thrust<'a>(
    a: (Pulling<'a>, Pair),
    b: Pulling<'a>,
    weights: &[f64],
    set: &PairSet,
    range: (Option<f64>, Option<f64>),
    mass_ratio: f64,
) -> Result<(Matched, SpeedRange), MatchFault> {
    let ((box_a, pull_a), pair_a) = a;
    let totals = box_a.totals(pair_a);
    let range = speed_range(&pull_a, &totals, range)?;
    let speeds: Vec<f64> = (0..SPEEDS)
        .map(|k| (range.from_kmh + (range.to_kmh - range.from_kmh) * f64::from(k) / f64::from(SPEEDS - 1)) / 3.6)
        .collect();
    let of_a: Vec<f64> = speeds.iter().map(|speed| pull_a.envelope_n(&totals, *speed)).collect();
    if let Some(at) = of_a.iter().position(|thrust| *thrust <= NO_THRUST_N) {
        return Err(MatchFault::NoThrust { at_kmh: speeds[at] * 3.6 });
    }
    let line = |(gearbox, pull): Pulling<'a>| DriveLine { gearbox, rollout_m: pull.rollout_m };
    let mut matched = rated((line(a.0), pair_a), line(b), weights, set);
    for candidate in &mut matched.pairs {
        let totals = b.0.totals(candidate.pair);
        let (mut sum, mut squares) = (0.0, 0.0);
        for (speed, of_a) in speeds.iter().zip(&of_a) {
            let k = b.1.envelope_n(&totals, *speed) * mass_ratio / of_a;
            sum += k;
            squares += (k - 1.0).powi(2);
        }
        let n = f64::from(SPEEDS);
        candidate.thrust =
            Some(ThrustMatch { mismatch_pct: 100.0 * (squares / n).sqrt(), mean_pct: 100.0 * (sum / n - 1.0) });
    }
    rank(&mut matched.pairs, |pair| pair.thrust.map_or(f64::INFINITY, |thrust| thrust.mismatch_pct));
    Ok((matched, range))
}

fn speed_range(
    pull: &Puller<'_>,
    totals: &[f64],
    (from, to): (Option<f64>, Option<f64>),
) -> Result<SpeedRange, MatchFault> {
    let at = |rpm: f64, total: Option<&f64>| total.map_or(0.0, |total| speed_kmh(rpm, *total, pull.rollout_m, 0.0));
    let top_kmh = at(pull.max_rpm.min(pull.curve.last_rpm()), totals.last());
    let from_kmh = from.unwrap_or_else(|| at(pull.curve.first_rpm(), totals.first()));
    let range = SpeedRange { from_kmh, to_kmh: to.unwrap_or(top_kmh) };
    if range.to_kmh > top_kmh * (1.0 + 1e-12) || range.to_kmh <= range.from_kmh {
        return Err(MatchFault::Range { range, top_kmh });
    }
    Ok(range)
}
