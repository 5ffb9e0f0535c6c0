//! Used parts on the shelf, each of which can be fitted once, now or later, unless it is lost before.

use super::game::{Game, Move, Solved};
use super::set::{ACTIONS, Action, Fate, Levels, SetWear};

/// A used part on the shelf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShelfItem {
    /// Its wear level.
    pub level: usize,
    /// What fitting it still costs beside the labour.
    pub price: f64,
}

/// At most one used chain, front and rear, and how long they stay worth having.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shelf {
    /// Chain, front and rear.
    pub items: [Option<ShelfItem>; 3],
    /// Hours in which they are lost on the mean (sold, rusted, another ratio).
    pub lasts_h: f64,
}

/// The set with the shelf's parts as further choices.
pub(super) struct WithShelf<'a> {
    wear: &'a SetWear,
    bare: &'a Solved,
    shelf: Shelf,
    /// Chance that the shelf is still there after a block.
    keeps: f64,
    actions: Vec<Action>,
    /// Solved by which parts are still there (chain 1, front 2, rear 4), the full shelf last.
    by_mask: Vec<(usize, Solved)>,
}

impl<'a> WithShelf<'a> {
    /// Solves the set for every part of the shelf that may still be there.
    ///
    /// # Formula
    /// V_A(s) = min over keep, new, shelf of cost + loss + P(ω V_left + (1−ω) V_0) − g Δ, ω = exp(−Δ/lasts)
    pub(super) fn solve(wear: &'a SetWear, bare: &'a Solved, shelf: Shelf) -> Self {
        let full: usize = mask_of(|part| shelf.items[part].is_some());
        let keeps = (-wear.sheet().block_h / shelf.lasts_h).exp();
        let mut out = Self { wear, bare, shelf, keeps, actions: actions(&shelf), by_mask: Vec::new() };
        let policy = bare.policy.iter().map(|&index| out.index_of(&ACTIONS[index])).collect();
        let first = Solved { policy, per_block: 0.0, ..bare.clone() };
        let mut masks: Vec<usize> = (1..8).filter(|mask| mask & full == *mask).collect();
        masks.sort_by_key(|mask| mask.count_ones());
        for mask in masks {
            let solved = out.game(mask).best(&first);
            out.by_mask.push((mask, solved));
        }
        out
    }

    fn index_of(&self, action: &Action) -> usize {
        self.actions.iter().position(|known| known == action).unwrap_or(0)
    }

    fn solved(&self, mask: usize) -> &Solved {
        self.by_mask.iter().find(|(known, _)| *known == mask).map_or(self.bare, |(_, solved)| solved)
    }

    fn full(&self) -> (usize, &Solved) {
        self.by_mask.last().map_or((0, self.bare), |(mask, solved)| (*mask, solved))
    }

    /// Cost from a state on with all of the shelf, against all new without one.
    pub(super) fn value(&self, state: usize) -> f64 {
        self.full().1.value[state]
    }

    /// What is expected after a block ridden from a state with all of the shelf still there.
    pub(super) fn expected(&self, state: usize) -> f64 {
        self.full().1.expected[state]
    }

    /// Chance that the shelf is still there after a block.
    pub(super) const fn keeps(&self) -> f64 {
        self.keeps
    }

    /// Every action at some levels with its cost, infinite where it may not be ridden.
    pub(super) fn costs(&self, levels: Levels) -> Vec<(Action, f64)> {
        let (mask, solved) = self.full();
        let (game, state) = (self.game(mask), self.wear.state_of(levels));
        let cost = |(index, action): (usize, &Action)| (*action, game.cost(solved, state, index));
        self.actions.iter().enumerate().map(cost).collect()
    }

    /// The state that an action leaves.
    pub(super) fn after(&self, levels: Levels, action: &Action) -> usize {
        let mut left = levels;
        for (part, fate) in action.iter().enumerate() {
            match (fate, self.shelf.items[part]) {
                (Fate::New, _) => left[part] = 0,
                (Fate::Shelf, Some(item)) => left[part] = item.level,
                _ => {}
            }
        }
        self.wear.state_of(left)
    }

    fn pay(&self, action: &Action) -> f64 {
        let sheet = self.wear.sheet();
        let part_cost = |(part, fate): (usize, &Fate)| match fate {
            Fate::Keep => 0.0,
            Fate::New => sheet.price[part],
            Fate::Shelf => self.shelf.items[part].map_or(0.0, |item| item.price),
        };
        let labour = if action.iter().any(|&fate| fate != Fate::Keep) { sheet.labour } else { 0.0 };
        labour + action.iter().enumerate().map(part_cost).sum::<f64>()
    }

    /// The game while the parts of `mask` lie on the shelf; using one leaves it for a smaller shelf.
    fn game(&self, mask: usize) -> Game<'a> {
        let wear = self.wear;
        let moves = self.actions.iter().map(|action| {
            let uses = mask_of(|part| action[part] == Fate::Shelf);
            let post = (0..wear.count()).map(|state| self.after(wear.levels_of(state), action)).collect();
            // A part that is not there cannot be fitted at any price.
            let pay = if uses & mask == uses { self.pay(action) } else { f64::INFINITY };
            let left = self.solved(mask & !uses);
            let leaves = (uses != 0).then(|| left.expected.iter().map(|after| self.keeps * after).collect());
            Move { pay, post, leaves }
        });
        let lost = (1.0 - self.keeps, self.bare.per_block);
        let block = |state: usize| wear.hazard(state) + lost.0 * self.bare.expected[state] - lost.1;
        Game {
            wear,
            moves: moves.collect(),
            block: (0..wear.count()).map(block).collect(),
            goes_on: self.keeps,
            average: false,
        }
    }
}

fn mask_of(holds: impl Fn(usize) -> bool) -> usize {
    (0..3).map(|part| usize::from(holds(part)) << part).sum()
}

/// Every fate of every part that the shelf allows, in the order keep, new, shelf, the chain slowest.
fn actions(shelf: &Shelf) -> Vec<Action> {
    let fates = |part: usize| {
        let there = shelf.items[part].is_some();
        [Fate::Keep, Fate::New, Fate::Shelf].into_iter().filter(move |&fate| fate != Fate::Shelf || there)
    };
    fates(0).flat_map(|chain| fates(1).flat_map(move |front| fates(2).map(move |rear| [chain, front, rear]))).collect()
}
