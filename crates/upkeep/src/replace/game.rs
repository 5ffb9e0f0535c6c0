//! The policy of least cost: policy iteration with exact evaluation.
//!
//! Levels only rise while nothing is changed, so from each change one walk upwards meets every later one; what is not
//! known are only the expectations after each change. That small system is solved, the policy bettered where it pays,
//! and so on until nothing pays. However short the block, the work is the same.
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

impl Move {
    /// Whether it leaves a state as it is, and the game goes on.
    fn stays(&self, state: usize) -> bool {
        self.leaves.is_none() && self.post[state] == state
    }
}

/// A set of moves with what riding a block costs.
pub(super) struct Game<'a> {
    pub(super) wear: &'a SetWear,
    pub(super) moves: Vec<Move>,
    /// Cost of a block ridden from each state; infinite where a part is at its limit.
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

/// What one look ahead over all states comes to.
struct Sweep {
    policy: Vec<usize>,
    /// Expectation after a block ridden from each state (0 where nobody may ride).
    expected: Vec<f64>,
    /// Cost from all new on.
    new_value: f64,
    /// Whether any move was bettered.
    changed: bool,
}

/// The move that changes nothing: first in every list.
const STAY: usize = 0;
/// Rounds of betterment before the policy is taken as it is; a handful are needed.
const MOST_ROUNDS: usize = 200;
/// Sweeps that look for a near policy, and how many without a change end them.
const MOST_SWEEPS: usize = 40;
const STILL_SWEEPS: usize = 2;
/// Gain, as a share of the value, below which a move is not changed for another.
const WORTH: f64 = 1e-12;

impl Game<'_> {
    /// The best policy, from one that is allowed in every state; its values need only be near.
    pub(super) fn best(&self, first: &Solved) -> Solved {
        let mut solved = self.evaluate(self.scouted(first));
        for _ in 0..MOST_ROUNDS {
            let sweep = self.bettered(&solved.policy, &solved.expected, solved.per_block);
            if !sweep.changed {
                break;
            }
            solved = self.evaluate(sweep.policy);
        }
        solved
    }

    /// A policy near the best one, by looking ahead from values that are only roughly known: a sweep costs far less than
    /// an evaluation, and whatever it misses the rounds after it find.
    fn scouted(&self, first: &Solved) -> Vec<usize> {
        let (mut policy, mut expected, mut per_block) = (first.policy.clone(), first.expected.clone(), first.per_block);
        let mut still = 0;
        for _ in 0..MOST_SWEEPS {
            let sweep = self.bettered(&policy, &expected, per_block);
            (policy, expected) = (sweep.policy, sweep.expected);
            still = if sweep.changed { 0 } else { still + 1 };
            if still == STILL_SWEEPS {
                break;
            }
            if self.average {
                // All new is worth 0: what it came to instead is what the blocks up to the first change cost too much.
                let too_much = sweep.new_value;
                per_block += too_much / self.blocks_from_new(&policy);
                expected.iter_mut().for_each(|ahead| *ahead -= too_much);
            }
        }
        policy
    }

    /// Blocks ridden from all new until the first change.
    fn blocks_from_new(&self, policy: &[usize]) -> f64 {
        let mut blocks = vec![1.0; self.wear.count()];
        for state in (0..self.wear.count()).rev() {
            if self.moves[policy[state]].post[state] == state {
                let ahead: f64 = self.wear.moves(state).map(|(to, chance)| chance * blocks[to]).sum();
                blocks[state] = (1.0 + ahead) / self.leaving(state);
            }
        }
        blocks[0]
    }

    /// Cost of a move in a state, given what is expected; infinite where it may not be ridden.
    pub(super) fn cost(&self, solved: &Solved, state: usize, index: usize) -> f64 {
        self.cost_of(&self.moves[index], &solved.expected, state)
    }

    fn cost_of(&self, step: &Move, expected: &[f64], state: usize) -> f64 {
        let post = step.post[state];
        let ahead = step.leaves.as_ref().map_or_else(|| self.goes_on * expected[post], |after| after[post]);
        step.pay + self.block[post] + ahead
    }

    /// The best policy against what is expected after each change: riding on is weighed with what is best further up,
    /// not with what was done there before.
    fn bettered(&self, policy: &[usize], expected: &[f64], per_block: f64) -> Sweep {
        let mut policy = policy.to_vec();
        let mut value = vec![0.0; policy.len()];
        let mut after = vec![0.0; policy.len()];
        let mut changed = false;
        let change = self.best_change(expected);
        for state in (0..policy.len()).rev() {
            let ahead: f64 = if self.block[state].is_finite() {
                self.wear.moves(state).map(|(to, chance)| chance * value[to]).sum()
            } else {
                0.0
            };
            let leaving = self.leaving(state);
            let ridden_on = |pay: f64| (pay + self.block[state] - per_block + self.goes_on * ahead) / leaving;
            let step = &self.moves[policy[state]];
            let now =
                if step.stays(state) { ridden_on(step.pay) } else { self.cost_of(step, expected, state) - per_block };
            let (stay, (other, index)) = (ridden_on(self.moves[STAY].pay), change[state]);
            let (best, index) = if stay <= other - per_block { (stay, STAY) } else { (other - per_block, index) };
            value[state] = now;
            if best < now - WORTH * now.abs().max(1.0) {
                (value[state], policy[state], changed) = (best, index, true);
            }
            if self.block[state].is_finite() {
                after[state] = value[state] * (1.0 - self.wear.moving(state)) + ahead;
            }
        }
        Sweep { policy, new_value: value[0], expected: after, changed }
    }

    /// The cheapest move away from each state, with its place among the moves.
    fn best_change(&self, expected: &[f64]) -> Vec<(f64, usize)> {
        let ahead: Vec<f64> =
            self.block.iter().zip(expected).map(|(block, expected)| block + self.goes_on * expected).collect();
        let mut best = vec![(f64::INFINITY, STAY); expected.len()];
        for (index, step) in self.moves.iter().enumerate() {
            for (state, (best, &post)) in best.iter_mut().zip(&step.post).enumerate() {
                let ahead = match &step.leaves {
                    None if post == state => continue,
                    None => ahead[post],
                    Some(after) => self.block[post] + after[post],
                };
                if step.pay + ahead < best.0 {
                    *best = (step.pay + ahead, index);
                }
            }
        }
        best
    }

    /// Values of a policy.
    ///
    /// # Formula
    /// Unknown are only the cost per block g and the expectations E after each change. From each change the set is
    /// ridden upwards once, which tells what is paid, the blocks ridden and the next changes: E = paid − g·blocks +
    /// Σ chance·E'; value(all new) = 0 fixes the level. With them known, one sweep down gives every value.
    pub(super) fn evaluate(&self, policy: Vec<usize>) -> Solved {
        let targets = self.targets(&policy);
        let column = self.columns(&targets);
        let unknowns = self.close(&policy, &targets, &column);
        let value = self.values(&policy, &unknowns, &column);
        let expected = (0..self.wear.count()).map(|state| self.after_block(state, &value)).collect();
        Solved { per_block: unknowns[0], value, expected, policy }
    }

    /// What is expected after a block ridden from a state; 0 where nobody may ride.
    fn after_block(&self, state: usize, value: &[f64]) -> f64 {
        if self.wear.at_limit(state) {
            return 0.0;
        }
        let ahead = self.wear.moves(state).map(|(to, chance)| chance * value[to]).sum::<f64>();
        value[state] * (1.0 - self.wear.moving(state)) + ahead
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

    /// Where the expectation after a change to a state stands among the unknowns.
    fn columns(&self, targets: &[usize]) -> Vec<usize> {
        let mut column = vec![0; self.wear.count()];
        for (n, &target) in targets.iter().enumerate() {
            column[target] = n + 1;
        }
        column
    }

    /// The unknowns: cost per block, then the expectation at each target.
    fn close(&self, policy: &[usize], targets: &[usize], column: &[usize]) -> Vec<f64> {
        let size = targets.len() + 1;
        let mut arrive = vec![0.0; self.wear.count()];
        let mut system = Vec::with_capacity(size);
        // Value of all new is 0; or no cost per block is sought, and it is 0.
        let mut level = vec![0.0; size + 1];
        level[0] = 1.0;
        if self.average {
            arrive[0] = 1.0;
            level = self.ride(policy, column, 0, &mut arrive, size);
        }
        system.push(level);
        for &target in targets {
            arrive[target] = 1.0 - self.wear.moving(target);
            for (to, chance) in self.wear.moves(target) {
                arrive[to] = chance;
            }
            let mut line = self.ride(policy, column, target, &mut arrive, size);
            line[column[target]] += 1.0;
            system.push(line);
        }
        eliminate(system)
    }

    /// Rides on from where the set arrives, at `first` or above, until everything is changed: blocks ridden, chance of
    /// each change (with its sign turned), what is paid. Nobody is left underway.
    fn ride(&self, policy: &[usize], column: &[usize], first: usize, arrive: &mut [f64], size: usize) -> Vec<f64> {
        let mut line = vec![0.0; size + 1];
        for state in first..arrive.len() {
            let here = std::mem::take(&mut arrive[state]);
            if here == 0.0 {
                continue;
            }
            let step = &self.moves[policy[state]];
            let post = step.post[state];
            if let Some(after) = &step.leaves {
                line[size] += here * (step.pay + self.block[post] + after[post]);
            } else if post != state {
                line[0] += here;
                line[column[post]] -= here * self.goes_on;
                line[size] += here * (step.pay + self.block[post]);
            } else {
                let blocks = here / self.leaving(state);
                line[0] += blocks;
                line[size] += blocks * (step.pay + self.block[state]);
                for (to, chance) in self.wear.moves(state) {
                    arrive[to] += blocks * self.goes_on * chance;
                }
            }
        }
        line
    }

    /// Chance in a block that a state is left, upwards or out of the game.
    fn leaving(&self, state: usize) -> f64 {
        (1.0 - self.goes_on) + self.goes_on * self.wear.moving(state)
    }

    /// Every state's value once the unknowns are known, from the highest levels down.
    fn values(&self, policy: &[usize], unknowns: &[f64], column: &[usize]) -> Vec<f64> {
        let per_block = unknowns[0];
        let mut value = vec![0.0; self.wear.count()];
        for state in (0..self.wear.count()).rev() {
            let step = &self.moves[policy[state]];
            let post = step.post[state];
            let paid = step.pay + self.block[post];
            value[state] = if let Some(after) = &step.leaves {
                paid + after[post]
            } else if post != state {
                paid - per_block + self.goes_on * unknowns[column[post]]
            } else {
                let ahead: f64 = self.wear.moves(state).map(|(to, chance)| chance * value[to]).sum();
                (paid - per_block + self.goes_on * ahead) / self.leaving(state)
            };
        }
        value
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

#[cfg(test)]
mod tests {
    use super::super::policy::plain_game;
    use super::super::set::SetSheet;
    use super::*;

    fn sheet(levels: usize, block_h: f64, labour: f64) -> SetSheet {
        SetSheet {
            levels,
            block_h,
            life_h: [60.0, 80.0, 120.0],
            price: [9000.0, 2500.0, 6000.0],
            labour,
            trail: 20_000.0,
            trail_chance: 0.01,
            coupling: 1.0,
            wear_back: 0.5,
        }
    }

    /// All three whenever one is at its limit.
    fn all_at_limit(wear: &SetWear) -> Vec<usize> {
        (0..wear.count()).map(|state| if wear.at_limit(state) { 7 } else { 0 }).collect()
    }

    #[test]
    fn looking_ahead_finds_the_best_policy_before_any_other_is_worked_out() {
        for levels in [4, 7, 9] {
            for (block_h, labour) in [(2.0, 0.0), (2.0, 3000.0), (0.1, 3000.0), (5.0, 500.0)] {
                let wear = SetWear::new(sheet(levels, block_h, labour));
                let game = plain_game(&wear);
                let first = game.evaluate(all_at_limit(&wear));
                let scouted = game.evaluate(game.scouted(&first));
                let best = game.best(&first);
                assert!(best.per_block < first.per_block);
                assert!((scouted.per_block / best.per_block - 1.0).abs() < 1e-9, "{levels} {block_h} {labour}");
                assert!(!game.bettered(&scouted.policy, &scouted.expected, scouted.per_block).changed);
            }
        }
    }

    #[test]
    fn blocks_until_the_first_change_are_those_of_riding_on_until_then() {
        let wear = SetWear::new(sheet(4, 3.0, 1000.0));
        let game = plain_game(&wear);
        let policy = all_at_limit(&wear);
        // How likely the set is to be still underway after each block.
        let (mut here, mut blocks) = (vec![0.0; wear.count()], 0.0);
        here[0] = 1.0;
        for _ in 0..2000 {
            let mut next = vec![0.0; wear.count()];
            for state in (0..wear.count()).filter(|state| !wear.at_limit(*state)) {
                blocks += here[state];
                next[state] += here[state] * (1.0 - wear.moving(state));
                for (to, chance) in wear.moves(state) {
                    next[to] += here[state] * chance;
                }
            }
            here = next;
        }
        let found = game.blocks_from_new(&policy);
        // The block that ends at a change counts as one more.
        assert!((found - blocks - 1.0).abs() < 1e-9, "{found} {blocks}");
    }

    #[test]
    fn values_of_a_policy_satisfy_their_own_equation_in_every_state() {
        let wear = SetWear::new(sheet(5, 1.0, 2000.0));
        let game = plain_game(&wear);
        let solved = game.evaluate(all_at_limit(&wear));
        assert!(solved.value[0].abs() < 1e-9);
        for state in 0..wear.count() {
            let step = &game.moves[solved.policy[state]];
            let post = step.post[state];
            let ahead = wear.moves(post).map(|(to, chance)| chance * solved.value[to]).sum::<f64>();
            let stays = (1.0 - wear.moving(post)) * solved.value[post];
            let want = step.pay + game.block[post] - solved.per_block + ahead + stays;
            assert!((solved.value[state] - want).abs() < 1e-6, "{state}: {} {want}", solved.value[state]);
            assert!((solved.expected[post] - ahead - stays).abs() < 1e-6);
        }
    }

    #[test]
    fn a_system_is_solved_whatever_rows_lead() {
        let system = vec![vec![0.0, 2.0, 1.0, 7.0], vec![1.0, -1.0, 0.0, -1.0], vec![3.0, 0.0, -2.0, -3.0]];
        for turn in 0..3 {
            let mut turned = system.clone();
            turned.rotate_left(turn);
            let found = eliminate(turned);
            assert!(found.iter().zip([1.0, 2.0, 3.0]).all(|(x, want)| (x - want).abs() < 1e-12), "{found:?}");
        }
    }
}
