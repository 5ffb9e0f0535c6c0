//! How far a ranking depends on what is not well known: 8 runs, half of all combinations of four doubts.

use drive::gearing::Pair;
use rayon::prelude::*;

use super::compare::{Comparison, Question, Ranked, compare};
use super::rank::AS_GOOD;

/// How far each doubt goes: mass, rolling resistance, drag area, wheel slip.
const DOUBTS: [f64; 4] = [0.05, 0.30, 0.15, 0.50];

/// One run of the study.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Which way mass, rolling resistance, drag area and slip were moved: −1 or 1.
    pub signs: [i8; 4],
    /// The best pair of the run.
    pub best: Pair,
    /// Its cost per kilometre in the run.
    pub cost_per_km: f64,
    /// Whether its nominal cost lies within 3 % of the nominal best.
    pub in_band: bool,
    /// Every candidate in the run, best first: what rides are put together from.
    pub rated: Vec<Rated>,
}

/// What decides about a candidate in one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rated {
    /// The pair.
    pub pair: Pair,
    /// Cost per kilometre.
    pub cost_per_km: f64,
    /// Share of the time beyond the limiter, percent.
    pub over_pct: f64,
    /// Headroom over the fastest of the ride, percent.
    pub headroom_pct: f64,
}

impl Rated {
    const fn of(one: &Ranked) -> Self {
        let Ranked { pair, cost_per_km, over_pct, headroom_pct, .. } = *one;
        Self { pair, cost_per_km, over_pct, headroom_pct }
    }
}

/// Replays the ride 8 times with the doubts moved (every sign pattern whose product is positive).
///
/// # Formula
/// mass ±5 %, rolling resistance ±30 %, drag area ±15 %, slip ±50 %.
#[must_use]
pub fn study(question: &Question<'_>, nominal: &Comparison) -> Vec<Run> {
    let costs = |pair: Pair| nominal.ranked.iter().find(|one| one.pair == pair).map(|one| one.cost_per_km);
    let Some(best_cost) = nominal.ranked.first().map(|best| best.cost_per_km) else { return Vec::new() };
    // The runs know nothing of each other: a day of one unbroken leg keeps every core busy this way.
    patterns()
        .collect::<Vec<_>>()
        .into_par_iter()
        .filter_map(|signs| {
            let ranked = compare(&moved(question, signs))?.ranked;
            let best = ranked.first()?;
            Some(Run {
                rated: ranked.iter().map(Rated::of).collect(),
                signs,
                best: best.pair,
                cost_per_km: best.cost_per_km,
                in_band: costs(best.pair).is_some_and(|cost| cost <= AS_GOOD * best_cost),
            })
        })
        .collect()
}

/// The sign patterns, minus before plus, the first doubt slowest.
fn patterns() -> impl Iterator<Item = [i8; 4]> {
    (0..16_u8)
        .map(|bits| [3, 2, 1, 0].map(|bit| if bits >> bit & 1 == 1 { 1 } else { -1 }))
        .filter(|signs: &[i8; 4]| signs.iter().product::<i8>() > 0)
}

fn moved<'a>(question: &Question<'a>, signs: [i8; 4]) -> Question<'a> {
    let factor = |at: usize| 1.0 + DOUBTS[at] * f64::from(signs[at]);
    let mut moved = *question;
    moved.body.load.mass_kg *= factor(0);
    moved.ground.crr *= factor(1);
    moved.body.load.cda_m2 *= factor(2);
    moved.riding.slip *= factor(3);
    moved
}
