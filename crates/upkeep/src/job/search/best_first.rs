//! The exact search: always goes on from the node whose cost so far plus bound is least (A*).

use std::cmp::Reverse;
use std::collections::hash_map::Entry;
use std::collections::{BinaryHeap, HashMap};

use super::bits::Bits;
use super::moves::worthwhile;
use super::outlook::{Foresight, Outlook};
use super::problem::{Node, Problem};
use crate::job::order::Act;
use crate::job::plan::Cost;

/// How a search ended.
pub(crate) enum End {
    /// The cheapest steps, and how many nodes were met on the way to them.
    Found(Vec<Act>, usize),
    /// No plan exists; the operations that some node had done, and the furthest node: what was open and done there.
    None(Stuck),
    /// The limit of nodes came first.
    Limit,
}

/// How far a search came that found nothing.
pub(crate) struct Stuck {
    /// Operations that could be done on some way.
    pub(crate) reached: Vec<usize>,
    /// What was open where most was done.
    pub(crate) open: Vec<usize>,
    /// What was done there.
    pub(crate) done: Vec<usize>,
}

struct Visit<const N: usize> {
    node: Node<N>,
    cost: Cost,
    from: Option<(usize, Act)>,
}

/// Nodes met so far, each with its cheapest way.
pub(super) struct Visits<const N: usize> {
    all: Vec<Visit<N>>,
    places: HashMap<Node<N>, usize>,
}

impl<const N: usize> Visits<N> {
    pub(super) fn from(start: Node<N>) -> Self {
        let first = Visit { node: start, cost: Cost::ZERO, from: None };
        Self { all: vec![first], places: HashMap::from([(start, 0)]) }
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    pub(super) fn at(&self, place: usize) -> (Node<N>, Cost) {
        (self.all[place].node, self.all[place].cost)
    }

    /// Notes a way to a node if it is new or cheaper than the one known; its place then.
    pub(super) fn meet(&mut self, node: Node<N>, cost: Cost, from: (usize, Act)) -> Option<usize> {
        match self.places.entry(node) {
            Entry::Vacant(entry) => {
                entry.insert(self.all.len());
                self.all.push(Visit { node, cost, from: Some(from) });
                Some(self.all.len() - 1)
            }
            Entry::Occupied(entry) => {
                let visit = &mut self.all[*entry.get()];
                (cost < visit.cost).then(|| {
                    visit.cost = cost;
                    visit.from = Some(from);
                    *entry.get()
                })
            }
        }
    }

    /// The steps that led to a place.
    pub(super) fn way_to(&self, mut place: usize) -> Vec<Act> {
        let mut steps = Vec::new();
        while let Some((before, act)) = self.all[place].from {
            steps.push(act);
            place = before;
        }
        steps.reverse();
        steps
    }

    fn stuck(&self) -> Stuck {
        let reached = self.all.iter().fold(Bits::<N>::NONE, |all, visit| all.or(visit.node.done));
        let far = self.all.iter().max_by_key(|visit| (visit.node.done.count(), Reverse(visit.node.open.count())));
        let far = far.map_or((Bits::NONE, Bits::NONE), |visit| (visit.node.open, visit.node.done));
        Stuck { reached: reached.iter().collect(), open: far.0.iter().collect(), done: far.1.iter().collect() }
    }
}

/// Outlooks by the set of operations done.
pub(super) struct Outlooks<'p, const N: usize> {
    problem: &'p Problem<N>,
    pub(super) foresight: Foresight<N>,
    known: HashMap<Bits<N>, Outlook<N>>,
}

impl<'p, const N: usize> Outlooks<'p, N> {
    pub(super) fn of(problem: &'p Problem<N>) -> Self {
        Self { problem, foresight: Foresight::of(problem), known: HashMap::new() }
    }

    pub(super) fn after(&mut self, done: Bits<N>) -> &Outlook<N> {
        self.known.entry(done).or_insert_with(|| self.foresight.after(self.problem, done))
    }

    pub(super) fn least(&mut self, node: &Node<N>) -> Cost {
        let outlook = self.known.entry(node.done).or_insert_with(|| self.foresight.after(self.problem, node.done));
        self.foresight.least(self.problem, outlook, node)
    }
}

/// Searches for the cheapest way from `start` to the end, among at most `limit` nodes.
pub(crate) fn best_first<const N: usize>(problem: &Problem<N>, start: Node<N>, limit: usize) -> End {
    let mut outlooks = Outlooks::of(problem);
    let mut visits = Visits::from(start);
    let mut queue = BinaryHeap::from([Reverse((outlooks.least(&start), Cost::ZERO, 0))]);
    let mut steps = Vec::new();
    while let Some(Reverse((_, known_as, place))) = queue.pop() {
        let (node, cost) = visits.at(place);
        if cost < known_as {
            continue;
        }
        if problem.is_finished(&node) {
            return End::Found(visits.way_to(place), visits.len());
        }
        worthwhile(problem, outlooks.after(node.done), &node, &mut steps);
        for act in steps.iter().copied() {
            let (next, total) = (problem.step(&node, act), cost + problem.cost(&node, act));
            if let Some(place) = visits.meet(next, total, (place, act)) {
                queue.push(Reverse((total + outlooks.least(&next), total, place)));
            }
        }
        if visits.len() > limit {
            return End::Limit;
        }
    }
    End::None(visits.stuck())
}
