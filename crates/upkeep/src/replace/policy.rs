//! The set solved once: cost per hour, the best action at any levels, and what every other one loses.

use super::game::{Game, Move, Solved};
use super::set::{ACTIONS, Action, Fate, Levels, PREFERRED, SetSheet, SetWear};

/// Money per unit of hourly cost under which two actions count as the same.
pub(super) const ALIKE: f64 = 1e-6;
/// Index of changing all three.
pub(super) const ALL: usize = 7;

/// The policy of least cost in the long run, for one strength of coupling.
#[derive(Debug, Clone)]
pub struct SetPolicy {
    pub(super) wear: SetWear,
    pub(super) plain: Solved,
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
        Self::near(sheet, None)
    }

    /// Solves a set for several strengths of coupling, each from the policy of the one before it: where nothing changes,
    /// nothing is sought again.
    #[must_use]
    pub fn solve_each(sheets: impl Iterator<Item = SetSheet>) -> Vec<Self> {
        let mut solved: Vec<Self> = Vec::new();
        for sheet in sheets {
            let near = solved.last().filter(|last| last.wear.sheet().levels == sheet.levels);
            solved.push(Self::near(sheet, near));
        }
        solved
    }

    fn near(sheet: SetSheet, from: Option<&Self>) -> Self {
        let wear = SetWear::new(sheet);
        let game = plain_game(&wear);
        let plain = match from {
            Some(near) => game.best(&near.plain),
            None => game.best(&game.evaluate(rule(&wear, all_at_limit))),
        };
        Self { plain, wear }
    }

    /// Cost per riding hour of the best policy.
    #[must_use]
    pub fn per_h(&self) -> f64 {
        self.plain.per_block / self.wear.sheet().block_h
    }

    /// Cost per riding hour of changing only what is at its limit.
    #[must_use]
    pub fn each_at_limit_per_h(&self) -> f64 {
        self.rule_per_h(each_at_limit)
    }

    /// Cost per riding hour of changing all three whenever one is at its limit.
    #[must_use]
    pub fn all_at_limit_per_h(&self) -> f64 {
        self.rule_per_h(all_at_limit)
    }

    fn rule_per_h(&self, at_limit: Rule) -> f64 {
        plain_game(&self.wear).evaluate(rule(&self.wear, at_limit)).per_block / self.wear.sheet().block_h
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
        (0..=top).find(|&level| self.advice([top, level, level]).best == ALL)
    }

    /// What to do at some levels, none above the highest.
    #[must_use]
    pub fn advice(&self, levels: Levels) -> Advice {
        let gaps = self.gaps(levels);
        let alike = ALIKE * self.per_h().max(1.0);
        let best = PREFERRED.into_iter().find(|&index| gaps[index] < alike).unwrap_or(ALL);
        Advice { best, lost: gaps.map(|gap| gap.is_finite().then_some(gap)) }
    }

    /// What each action costs more than the best one, infinite where it may not be ridden.
    pub(super) fn gaps(&self, levels: Levels) -> [f64; 8] {
        let state = self.wear.state_of(levels);
        let costs = ACTIONS.map(|action| {
            let post = self.wear.renewed(state, &action);
            pay(&self.wear, &action) + self.wear.hazard(post) + self.plain.expected[post]
        });
        let least = costs.iter().copied().fold(f64::INFINITY, f64::min);
        costs.map(|cost| cost - least)
    }
}

/// What is done at some levels, by its place in [`ACTIONS`], with the highest level.
type Rule = fn(Levels, usize) -> usize;

fn all_at_limit(levels: Levels, top: usize) -> usize {
    if levels.contains(&top) { ALL } else { 0 }
}

fn each_at_limit(levels: Levels, top: usize) -> usize {
    (0..3).map(|part| usize::from(levels[part] >= top) << part).sum()
}

fn rule(wear: &SetWear, at_limit: Rule) -> Vec<usize> {
    (0..wear.count()).map(|state| at_limit(wear.levels_of(state), wear.top())).collect()
}

/// The set without a shelf.
pub(super) fn plain_game(wear: &SetWear) -> Game<'_> {
    Game {
        wear,
        moves: plain_moves(wear),
        block: (0..wear.count()).map(|state| wear.hazard(state)).collect(),
        goes_on: 1.0,
        average: true,
    }
}

/// The moves of the set without a shelf, in the order of [`ACTIONS`].
fn plain_moves(wear: &SetWear) -> Vec<Move> {
    ACTIONS
        .iter()
        .map(|action| {
            let post = (0..wear.count()).map(|state| wear.renewed(state, action)).collect();
            Move { pay: pay(wear, action), post, leaves: None }
        })
        .collect()
}

/// What an action costs: new parts, and the labour once.
fn pay(wear: &SetWear, action: &Action) -> f64 {
    let sheet = wear.sheet();
    let parts: f64 =
        action.iter().zip(sheet.price).filter(|(fate, _)| **fate == Fate::New).map(|(_, price)| price).sum();
    parts + if action.contains(&Fate::New) { sheet.labour } else { 0.0 }
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

    #[test]
    fn sheets_solved_one_after_the_other_are_solved_as_each_alone() {
        let sheets = [
            SetSheet { coupling: 0.5, labour: 2000.0, ..SHEET },
            SetSheet { coupling: 2.0, labour: 2000.0, ..SHEET },
            SetSheet { levels: 5, coupling: 2.0, ..SHEET },
            SetSheet { levels: 5, coupling: 2.0, ..SHEET },
        ];
        let solved = SetPolicy::solve_each(sheets.into_iter());
        assert_eq!(solved.len(), 4);
        for (found, sheet) in solved.iter().zip(sheets) {
            let alone = SetPolicy::solve(sheet);
            assert!((found.per_h() / alone.per_h() - 1.0).abs() < 1e-9);
            for levels in [[0, 0, 0], [4, 2, 1], [3, 4, 0], [4, 4, 4]] {
                assert_eq!(found.advice(levels).best, alone.advice(levels).best, "{levels:?}");
            }
        }
    }
}
