//! Whether the slack repeats with the rear wheel or with the chain: waves of both periods fitted to the surplus.

use std::f64::consts::TAU;

use measure::Teeth;

use super::places::{Cause, Periods};
use crate::chance::least_squares;

// The three bounds are the tool's own choice (`tell-apart`); nobody published any.

/// Fewest readings that are fitted: a wave passes close to almost any fewer.
const FEWEST: usize = 7;
/// Turns of the wheel that the readings must reach over, so that its wave is seen to repeat.
const TURNS: f64 = 1.5;
/// A chain this near to two turns of the wheel, in links, repeats with it: the two cannot be told apart.
const APART_LINKS: f64 = 8.0;
/// Squares below this are rounding, mm²: their logarithm would reward a model without end.
const LEAST_RSS_MM2: f64 = 1e-12;

/// What makes the surplus uneven, and the size of each wave in it, mm.
pub(super) struct Waves {
    pub(super) cause: Cause,
    pub(super) wheel: Option<f64>,
    pub(super) chain: Option<f64>,
    pub(super) scores: Vec<(Cause, f64)>,
}

impl Default for Waves {
    fn default() -> Self {
        Self { cause: Cause::Unknown, wheel: None, chain: None, scores: Vec::new() }
    }
}

/// Fits waves of the wheel, of the chain, of both and of neither to the surplus, and picks by AICc.
/// `None` where the places cannot tell the two periods apart.
///
/// # Formula
/// Least squares on 1, cos 2πx/P, sin 2πx/P; AICc = n ln(rss/n) + 2k + 2k(k+1)/(n−k−1), k = coefficients + 1;
/// models with n − k − 1 ≤ 0 are left out.
///
/// # Source
/// Hurvich and Tsai 1989 (`aicc`).
pub(super) fn waves(surplus: &[f64], periods: &Periods, rear: Teeth) -> Option<Waves> {
    let x = &periods.at_links;
    let (wheel, chain) = (rear.real(), periods.links.real());
    let span = x.last()? - x.first()?;
    if x.len() < FEWEST || span < TURNS * wheel || (chain - 2.0 * wheel).abs() < APART_LINKS {
        return None;
    }
    let tries: [(Cause, &[f64]); 4] =
        [(Cause::Neither, &[]), (Cause::Wheel, &[wheel]), (Cause::Chain, &[chain]), (Cause::Both, &[wheel, chain])];
    let fits: Vec<(Cause, f64, Vec<f64>)> = tries
        .into_iter()
        .filter_map(|(cause, of)| fit(surplus, x, of).map(|(score, amplitudes)| (cause, score, amplitudes)))
        .collect();
    let best = fits.iter().reduce(|best, next| if next.1 < best.1 { next } else { best })?.0;
    let amplitude = |alone: Cause, index: usize| {
        let of = |wanted: Cause| fits.iter().find(|(cause, ..)| *cause == wanted);
        let alone = of(alone)?.2.first().copied();
        if best == Cause::Both { of(Cause::Both).and_then(|fit| fit.2.get(index).copied()) } else { alone }
    };
    Some(Waves {
        cause: best,
        wheel: amplitude(Cause::Wheel, 0),
        chain: amplitude(Cause::Chain, 1),
        scores: fits.iter().map(|(cause, score, _)| (*cause, *score)).collect(),
    })
}

/// Score and amplitudes of one model; `None` if there are too few points for it.
fn fit(values: &[f64], x: &[f64], periods: &[f64]) -> Option<(f64, Vec<f64>)> {
    let n = values.len() as f64;
    let k = (2 * periods.len() + 2) as f64;
    if n - k - 1.0 <= 0.0 {
        return None;
    }
    let mut columns = vec![vec![1.0; values.len()]];
    for period in periods {
        columns.push(x.iter().map(|x| (TAU * x / period).cos()).collect());
        columns.push(x.iter().map(|x| (TAU * x / period).sin()).collect());
    }
    let b = least_squares(&columns, values);
    let rss: f64 = values
        .iter()
        .enumerate()
        .map(|(i, value)| (value - b.iter().zip(&columns).map(|(b, column)| b * column[i]).sum::<f64>()).powi(2))
        .sum();
    let score = n * (rss.max(LEAST_RSS_MM2) / n).ln() + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0);
    Some((score, b[1..].chunks_exact(2).map(|pair| pair[0].hypot(pair[1])).collect()))
}
