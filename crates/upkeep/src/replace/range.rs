//! Levels known only as ranges: is it one answer all over, and which one risks least?

use super::policy::{ALIKE, ALL, SetPolicy};
use super::set::{ACTIONS, Fate, Levels, PREFERRED, Part};

/// Money under which two risks count as the same.
const ALIKE_RISK: f64 = 1e-3;

/// The best action at one corner of the ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Which policy of those given.
    pub policy: usize,
    /// Levels there.
    pub levels: Levels,
    /// Best action there, by its place in [`ACTIONS`].
    pub best: usize,
}

/// What holds over ranges of levels and several policies.
#[derive(Debug, Clone, PartialEq)]
pub struct OverRange {
    /// Every corner for every policy.
    pub corners: Vec<Corner>,
    /// The action that is best everywhere, if it is one.
    pub best: Option<usize>,
    /// Whether it is one at the corners.
    pub same_at_corners: bool,
    /// The action with the smallest largest loss.
    pub safest: usize,
    /// Largest loss of each action that changes what is changed anyway; `None` = not allowed somewhere.
    pub most_lost: Vec<(usize, Option<f64>)>,
}

/// Reads all levels within the ranges (low and high of chain, front, rear) off solved policies (at least one).
#[must_use]
pub fn over_range(policies: &[SetPolicy], ranges: &[(usize, usize); 3], must: &[Part]) -> OverRange {
    let allowed: Vec<usize> = PREFERRED
        .into_iter()
        .filter(|&index| must.iter().all(|part| ACTIONS[index][part.index()] != Fate::Keep))
        .collect();
    let mut worst = [0.0_f64; ACTIONS.len()];
    let (mut corners, mut found) = (Vec::new(), Vec::new());
    for (number, policy) in policies.iter().enumerate() {
        let alike = ALIKE * policy.per_h().max(1.0);
        for levels in cells(ranges) {
            let gaps = policy.gaps(levels);
            let least = allowed.iter().map(|&index| gaps[index]).fold(f64::INFINITY, f64::min);
            let best = allowed.iter().copied().find(|&index| gaps[index] - least < alike).unwrap_or(ALL);
            for &index in &allowed {
                worst[index] = worst[index].max(gaps[index] - least);
            }
            if !found.contains(&best) {
                found.push(best);
            }
            if levels.iter().zip(ranges).all(|(level, range)| *level == range.0 || *level == range.1) {
                corners.push(Corner { policy: number, levels, best });
            }
        }
    }
    let least = allowed.iter().map(|&index| worst[index]).fold(f64::INFINITY, f64::min);
    let mut most_lost: Vec<(usize, Option<f64>)> =
        allowed.iter().map(|&index| (index, worst[index].is_finite().then_some(worst[index]))).collect();
    most_lost.sort_by_key(|(index, _)| *index);
    OverRange {
        same_at_corners: corners.windows(2).all(|pair| pair[0].best == pair[1].best),
        corners,
        best: if found.len() == 1 { found.pop() } else { None },
        safest: allowed.iter().copied().find(|&index| worst[index] - least < ALIKE_RISK).unwrap_or(ALL),
        most_lost,
    }
}

fn cells(ranges: &[(usize, usize); 3]) -> impl Iterator<Item = Levels> {
    let [chain, front, rear] = ranges.map(|(low, high)| low..=high);
    chain.flat_map(move |c| {
        let rear = rear.clone();
        front.clone().flat_map(move |f| rear.clone().map(move |r| [c, f, r]))
    })
}
