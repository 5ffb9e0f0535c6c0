//! The set solved once: cost per hour, the best action at any levels, and what every other one loses.

use super::game::{Game, Move, Solved};
use super::set::{ACTIONS, Fate, Levels, PREFERRED, SetSheet, SetWear};

/// Money per unit of hourly cost under which two actions count as the same.
pub(super) const ALIKE: f64 = 1e-6;
/// Index of changing all three.
const ALL: usize = 7;

/// The policy of least cost in the long run, for one strength of coupling.
#[derive(Debug, Clone)]
pub struct SetPolicy {
    pub(super) wear: SetWear,
    pub(super) plain: Solved,
    gaps: Vec<[f64; 8]>,
    best: Vec<usize>,
    each_at_limit: f64,
    all_at_limit: f64,
}

/// What to do at some levels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advice {
    /// Best action, by its place in [`ACTIONS`]: of equals the one with the fewest parts.
    pub best: usize,
    /// Long-run money lost by each action in that order; `None` = a part at its limit may not be ridden.
    pub lost: [Option<f64>; 8],
}

impl SetPolicy {
    /// Solves a set.
    ///
    /// # Formula
    /// Least long-run average of (cost of action + loss on the trail) per block; lost(a) = Q(s, a) − min Q(s, ·).
    ///
    /// # Source
    /// Derived here (`set-process`); four second methods in the check rows.
    #[must_use]
    pub fn solve(sheet: SetSheet) -> Self {
        let wear = SetWear::new(sheet);
        let game = Game {
            wear: &wear,
            moves: plain_moves(&wear),
            block: (0..wear.count()).map(|state| wear.hazard(state)).collect(),
            goes_on: 1.0,
            average: true,
        };
        let rule = |at_limit: fn(Levels, usize) -> usize| -> Vec<usize> {
            (0..wear.count()).map(|state| at_limit(wear.levels_of(state), wear.top())).collect()
        };
        let all = rule(|levels, top| if levels.contains(&top) { ALL } else { 0 });
        let each = rule(|levels, top| (0..3).map(|part| usize::from(levels[part] >= top) << part).sum());
        let (all_at_limit, each_at_limit) = (game.evaluate(all.clone()).per_block, game.evaluate(each).per_block);
        let plain = game.best(all);
        let alike = ALIKE * (plain.per_block / sheet.block_h).max(1.0);
        let gaps: Vec<[f64; 8]> = (0..wear.count()).map(|state| gaps(&game, &plain, state)).collect();
        let best =
            gaps.iter().map(|gaps| PREFERRED.into_iter().find(|&index| gaps[index] < alike).unwrap_or(ALL)).collect();
        let per_h = |per_block: f64| per_block / sheet.block_h;
        Self { gaps, best, each_at_limit: per_h(each_at_limit), all_at_limit: per_h(all_at_limit), plain, wear }
    }

    /// Cost per riding hour of the best policy.
    #[must_use]
    pub fn per_h(&self) -> f64 {
        self.plain.per_block / self.wear.sheet().block_h
    }

    /// Cost per riding hour of changing only what is at its limit.
    #[must_use]
    pub const fn each_at_limit_per_h(&self) -> f64 {
        self.each_at_limit
    }

    /// Cost per riding hour of changing all three whenever one is at its limit.
    #[must_use]
    pub const fn all_at_limit_per_h(&self) -> f64 {
        self.all_at_limit
    }

    /// Whether the block was so long that a step chance met its cap.
    #[must_use]
    pub const fn block_too_long(&self) -> bool {
        self.wear.capped()
    }

    /// Least equal level of both sprockets from which changing all three is best with a chain at its limit.
    #[must_use]
    pub fn all_three_from(&self) -> Option<usize> {
        let top = self.wear.top();
        (0..=top).find(|&level| self.best[self.wear.state_of([top, level, level])] == ALL)
    }

    /// What to do at some levels, none above the highest.
    #[must_use]
    pub fn advice(&self, levels: Levels) -> Advice {
        let state = self.wear.state_of(levels);
        Advice { best: self.best[state], lost: self.gaps[state].map(|gap| gap.is_finite().then_some(gap)) }
    }

    pub(super) fn gaps(&self, levels: Levels) -> &[f64; 8] {
        &self.gaps[self.wear.state_of(levels)]
    }
}

fn gaps(game: &Game<'_>, solved: &Solved, state: usize) -> [f64; 8] {
    let costs: [f64; 8] = std::array::from_fn(|index| game.cost(solved, state, index));
    let least = costs.iter().copied().fold(f64::INFINITY, f64::min);
    costs.map(|cost| cost - least)
}

/// The moves of the set without a shelf, in the order of [`ACTIONS`].
fn plain_moves(wear: &SetWear) -> Vec<Move> {
    let sheet = wear.sheet();
    ACTIONS
        .iter()
        .map(|action| {
            let parts: f64 =
                action.iter().zip(sheet.price).filter(|(fate, _)| **fate == Fate::New).map(|(_, price)| price).sum();
            let labour = if action.contains(&Fate::New) { sheet.labour } else { 0.0 };
            let post = (0..wear.count()).map(|state| wear.renewed(state, action)).collect();
            Move { pay: parts + labour, post, leaves: None }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: SetSheet = SetSheet {
        levels: 8,
        block_h: 2.0,
        life_h: [60.0, 80.0, 120.0],
        price: [9000.0, 2500.0, 6000.0],
        labour: 0.0,
        trail: 0.0,
        trail_chance: 0.0,
        coupling: 0.0,
        wear_back: 0.0,
    };

    #[test]
    fn without_labour_or_coupling_each_part_pays_its_own_hours() {
        let want = 9000.0 / 60.0 + 2500.0 / 80.0 + 6000.0 / 120.0;
        for block_h in [2.0, 0.1, 1e-6] {
            let policy = SetPolicy::solve(SetSheet { block_h, ..SHEET });
            assert!((policy.per_h() / want - 1.0).abs() < 1e-7, "{block_h}: {}", policy.per_h());
        }
    }

    #[test]
    fn no_rule_costs_less_than_the_best_policy() {
        for levels in [4, 7, 12] {
            let policy = SetPolicy::solve(SetSheet {
                levels,
                labour: 3000.0,
                trail: 400.0,
                coupling: 1.0,
                wear_back: 1.0,
                trail_chance: 1.0,
                ..SHEET
            });
            assert!(policy.per_h() <= policy.all_at_limit_per_h() && policy.per_h() <= policy.each_at_limit_per_h());
        }
    }
}
