//! The policy of least cost: policy iteration with exact evaluation.
//!
//! Levels only rise while nothing is changed, so a policy is evaluated from the top down in one sweep; what is not
//! known on the way are only the expectations after each change. That small system is solved, the policy bettered
//! where it pays, and so on until nothing pays. However short the block, the work is the same.
//!
//! Every policy reaches the all-new state: with one part stepping alone the others rest, so each part in turn runs
//! into a change while the rest are new. Hence one recurrent class, and the system always has its solution.

use super::set::SetWear;

/// One action for every state.
#[derive(Debug, Clone)]
pub(super) struct Move {
    /// What it costs.
    pub(super) pay: f64,
    /// The state that it leaves to ride from, for each state.
    pub(super) post: Vec<usize>,
    /// Where it leaves this game for another: what is expected there after a block ridden from each state.
    pub(super) leaves: Option<Vec<f64>>,
}

/// A set of moves with what riding a block costs.
pub(super) struct Game<'a> {
    pub(super) wear: &'a SetWear,
    pub(super) moves: Vec<Move>,
    /// Cost of a block ridden from each state.
    pub(super) block: Vec<f64>,
    /// Chance that the game goes on after a block; the rest is inside `block`.
    pub(super) goes_on: f64,
    /// Whether the cost per block of the whole is sought (and nothing ends the game), or values alone.
    pub(super) average: bool,
}

/// A solved policy.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solved {
    /// Cost per block in the long run (0 where values alone were sought).
    pub(super) per_block: f64,
    /// Cost from each state on, against all new.
    pub(super) value: Vec<f64>,
    /// Expectation of it after a block ridden from each state (0 where nobody may ride).
    pub(super) expected: Vec<f64>,
    /// Move taken in each state.
    pub(super) policy: Vec<usize>,
}

/// Rounds of betterment before the policy is taken as it is; a handful are needed.
const MOST_ROUNDS: usize = 200;
/// Gain, as a share of the values, below which a move is not changed for another.
const WORTH: f64 = 1e-12;

impl Game<'_> {
    /// The best policy, from a first one that is allowed in every state.
    pub(super) fn best(&self, first: Vec<usize>) -> Solved {
        let mut solved = self.evaluate(first);
        for _ in 0..MOST_ROUNDS {
            let Some(policy) = self.bettered(&solved) else { break };
            solved = self.evaluate(policy);
        }
        solved
    }

    /// Cost of a move in a state, given what is expected; infinite where it may not be ridden.
    pub(super) fn cost(&self, solved: &Solved, state: usize, index: usize) -> f64 {
        let step = &self.moves[index];
        let post = step.post[state];
        if self.wear.at_limit(post) {
            return f64::INFINITY;
        }
        let ahead = step.leaves.as_ref().map_or_else(|| self.goes_on * solved.expected[post], |after| after[post]);
        step.pay + self.block[post] + ahead
    }

    fn bettered(&self, solved: &Solved) -> Option<Vec<usize>> {
        let scale = solved.value.iter().fold(1.0_f64, |most, value| most.max(value.abs()));
        let mut policy = solved.policy.clone();
        let mut changed = false;
        for (state, chosen) in policy.iter_mut().enumerate() {
            let mut least = self.cost(solved, state, *chosen) - WORTH * scale;
            for index in 0..self.moves.len() {
                let cost = self.cost(solved, state, index);
                if cost < least {
                    (least, *chosen, changed) = (cost, index, true);
                }
            }
        }
        changed.then_some(policy)
    }

    /// Values of a policy.
    ///
    /// # Formula
    /// Each state's value is written as a + b·g + Σ c·E over the unknown cost per block g and the expectations E after
    /// each change; E = Σ chance·value closes the system, value(all new) = 0 fixes the level.
    pub(super) fn evaluate(&self, policy: Vec<usize>) -> Solved {
        let count = self.wear.count();
        let targets = self.targets(&policy);
        let width = targets.len() + 2;
        let rows = self.sweep(&policy, &targets, width);
        let unknowns = self.close(&rows, &targets, width);
        let value: Vec<f64> = (0..count)
            .map(|state| {
                let row = &rows[state * width..(state + 1) * width];
                row[0] + row[1..].iter().zip(&unknowns).map(|(a, b)| a * b).sum::<f64>()
            })
            .collect();
        let expected = (0..count)
            .map(|state| {
                if self.wear.at_limit(state) {
                    return 0.0;
                }
                let (moves, moving) = self.wear.moves(state);
                value[state] * (1.0 - moving) + moves.iter().map(|(to, chance)| chance * value[*to]).sum::<f64>()
            })
            .collect();
        Solved { per_block: unknowns[0], value, expected, policy }
    }

    /// States left by a change that the game goes on from.
    fn targets(&self, policy: &[usize]) -> Vec<usize> {
        let mut targets: Vec<usize> = policy
            .iter()
            .enumerate()
            .filter(|&(state, &index)| self.moves[index].leaves.is_none() && self.moves[index].post[state] != state)
            .map(|(state, &index)| self.moves[index].post[state])
            .collect();
        targets.sort_unstable();
        targets.dedup();
        targets
    }

    /// Each state's value as a row [a, b, c…], from the highest levels down.
    fn sweep(&self, policy: &[usize], targets: &[usize], width: usize) -> Vec<f64> {
        let mut rows = vec![0.0; self.wear.count() * width];
        for state in (0..self.wear.count()).rev() {
            let step = &self.moves[policy[state]];
            let post = step.post[state];
            let (head, above) = rows.split_at_mut((state + 1) * width);
            let row = &mut head[state * width..];
            row[0] = step.pay + self.block[post];
            if let Some(after) = &step.leaves {
                row[0] += after[post];
                continue;
            }
            row[1] = -1.0;
            if let (true, Ok(column)) = (post != state, targets.binary_search(&post)) {
                row[2 + column] = self.goes_on;
                continue;
            }
            let (moves, moving) = self.wear.moves(state);
            for (to, chance) in moves {
                let from = (to - state - 1) * width;
                for (mine, theirs) in row.iter_mut().zip(&above[from..from + width]) {
                    *mine += self.goes_on * chance * theirs;
                }
            }
            let leaving = (1.0 - self.goes_on) + self.goes_on * moving;
            row.iter_mut().for_each(|entry| *entry /= leaving);
        }
        rows
    }

    /// The unknowns: cost per block, then the expectation at each target.
    fn close(&self, rows: &[f64], targets: &[usize], width: usize) -> Vec<f64> {
        let size = width - 1;
        let mut system: Vec<Vec<f64>> = Vec::with_capacity(size);
        // Value of all new is 0; or no cost per block is sought, and it is 0.
        let first = &rows[..width];
        let mut level = vec![0.0; size + 1];
        if self.average {
            level[..size].copy_from_slice(&first[1..]);
            level[size] = -first[0];
        } else {
            level[0] = 1.0;
        }
        system.push(level);
        for (column, &target) in targets.iter().enumerate() {
            let (moves, moving) = self.wear.moves(target);
            let mut line = vec![0.0; size + 1];
            let stay = std::iter::once((target, 1.0 - moving));
            for (to, chance) in moves.into_iter().chain(stay) {
                let row = &rows[to * width..(to + 1) * width];
                for (entry, coefficient) in line.iter_mut().zip(&row[1..]) {
                    *entry -= chance * coefficient;
                }
                line[size] += chance * row[0];
            }
            line[1 + column] += 1.0;
            system.push(line);
        }
        eliminate(system)
    }
}

/// Solves a square system whose last column is the right-hand side, pivoting by rows.
fn eliminate(mut system: Vec<Vec<f64>>) -> Vec<f64> {
    let size = system.len();
    for column in 0..size {
        let pivot = (column..size)
            .max_by(|&a, &b| system[a][column].abs().total_cmp(&system[b][column].abs()))
            .unwrap_or(column);
        system.swap(column, pivot);
        let (done, rest) = system.split_at_mut(column + 1);
        let lead = &done[column];
        for row in rest {
            let factor = row[column] / lead[column];
            if factor != 0.0 {
                for (entry, above) in row[column..].iter_mut().zip(&lead[column..]) {
                    *entry -= factor * above;
                }
            }
        }
    }
    let mut out = vec![0.0; size];
    for column in (0..size).rev() {
        let row = &system[column];
        let known: f64 = row[column + 1..size].iter().zip(&out[column + 1..]).map(|(a, b)| a * b).sum();
        out[column] = (row[size] - known) / row[column];
    }
    out
}
