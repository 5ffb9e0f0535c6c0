//! Plans ride by ride: all ages that can be reached, each at its least cost.

use super::bound::Bound;
use super::{ALIKE, Bench, Found, MOST_JOBS, NARROW, WIDE};

/// Ages of all jobs, one to a byte.
pub(super) type Ages = [u8; MOST_JOBS];

/// Plans that each other one of a layer is held against.
const JUDGES: usize = 400;

/// A plan so far.
#[derive(Clone, Copy)]
struct Node {
    ages: Ages,
    cost: f64,
    /// Jobs done at the first time.
    first: usize,
}

pub(super) struct Layers<'a> {
    bench: &'a Bench,
    /// Cost of doing each set of jobs together.
    together: Vec<f64>,
    bound: Bound,
}

impl<'a> Layers<'a> {
    pub(super) fn new(bench: &'a Bench) -> Self {
        let together = (0..1_usize << bench.jobs.len()).map(|set| bench.together(set)).collect();
        Self { bench, together, bound: Bound::new(bench) }
    }

    /// Least cost and the jobs of the first time, looking only at plans up to `ceiling`, and in each layer only at the
    /// most promising ones, fewer once so much `effort` is spent; and the least that any plan left out could have cost.
    pub(super) fn least(&self, ceiling: f64, effort: usize) -> (Option<Found>, f64) {
        let slack = ALIKE * 10.0 * ceiling.abs().max(1.0);
        let mut ages = [0; MOST_JOBS];
        for (age, job) in ages.iter_mut().zip(&self.bench.jobs) {
            *age = job.age_capped();
        }
        let mut layer = vec![Node { ages, cost: 0.0, first: 0 }];
        let (mut dropped, mut spent) = (f64::INFINITY, 0);
        for time in 0..self.bench.horizon {
            let left = self.bench.horizon - time - 1;
            let mut next = Vec::with_capacity(layer.len() * 2);
            for node in &layer {
                self.follow(node, time == 0, &mut |node| {
                    spent += 1;
                    if node.cost + self.bound.rest(&node.ages, left) <= ceiling + slack {
                        next.push(node);
                    }
                });
            }
            layer = self.promising(merged(next), left);
            let width = if spent < effort { WIDE } else { NARROW };
            if let Some(node) = layer.get(width) {
                dropped = dropped.min(node.cost + self.bound.rest(&node.ages, left));
                layer.truncate(width);
            }
        }
        (self.cheapest(&layer), dropped)
    }

    fn cheapest(&self, ends: &[Node]) -> Option<Found> {
        let end = |node: &Node| node.cost - self.credit(&node.ages);
        let cost = ends.iter().map(end).min_by(f64::total_cmp)?;
        let alike = ends.iter().filter(|node| end(node) <= cost + ALIKE);
        let first = alike.map(|node| node.first).min_by_key(|&set| preference(set))?;
        Some(Found { cost, first })
    }

    /// Everything that may be done at some ages: nothing while nothing is due, else what is due with any others.
    fn follow(&self, node: &Node, at_first: bool, reach: &mut impl FnMut(Node)) {
        let jobs = &self.bench.jobs;
        let due: usize = (0..jobs.len()).map(|job| usize::from(node.ages[job] >= jobs[job].interval) << job).sum();
        let free = if due == 0 { 0 } else { ((1 << jobs.len()) - 1) & !due };
        let mut extra = free;
        loop {
            let set = due | extra;
            let mut ages = node.ages;
            for (index, job) in jobs.iter().enumerate() {
                ages[index] = if set >> index & 1 == 1 { 1 } else { node.ages[index] + 1 }.min(job.interval);
            }
            let first = if at_first { set } else { node.first };
            reach(Node { ages, cost: node.cost + self.together[set], first });
            if extra == 0 {
                return;
            }
            extra = (extra - 1) & free;
        }
    }

    /// The layer by promise, without plans that another one beats whatever comes: it is cheaper even after doing at
    /// once every job in which it is older.
    fn promising(&self, layer: Vec<Node>, left: u32) -> Vec<Node> {
        let promise = |node: Node| (node.cost + self.bound.rest(&node.ages, left), node);
        let mut order: Vec<(f64, Node)> = layer.into_iter().map(promise).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut kept: Vec<Node> = Vec::with_capacity(order.len());
        for (_, node) in order {
            let beaten = |judge: &Node| {
                let older = older_jobs(&judge.ages, &node.ages);
                judge.cost + self.together[older] < node.cost - 10.0 * ALIKE
            };
            if left == 0 || !kept.iter().take(JUDGES).any(beaten) {
                kept.push(node);
            }
        }
        kept
    }

    fn credit(&self, ages: &Ages) -> f64 {
        self.bench.jobs.iter().zip(ages).map(|(job, age)| job.credit(u32::from(*age))).sum()
    }
}

/// Jobs in which the first is older than the second.
fn older_jobs(first: &Ages, second: &Ages) -> usize {
    (0..MOST_JOBS).map(|job| usize::from(first[job] > second[job]) << job).sum()
}

/// Order among equal plans: fewest jobs now, then the earlier ones of the list.
const fn preference(set: usize) -> (u32, usize) {
    (set.count_ones(), set)
}

/// One node for each ages: the cheapest, with the preferred first set of those that cost the same.
fn merged(mut nodes: Vec<Node>) -> Vec<Node> {
    nodes.sort_unstable_by(|a, b| {
        let key = |node: &Node| u64::from_le_bytes(node.ages);
        key(a).cmp(&key(b)).then(a.cost.total_cmp(&b.cost)).then(preference(a.first).cmp(&preference(b.first)))
    });
    nodes.dedup_by(|later, kept| {
        let same = later.ages == kept.ages;
        if same && later.cost <= kept.cost + ALIKE && preference(later.first) < preference(kept.first) {
            kept.first = later.first;
        }
        same
    });
    nodes
}
