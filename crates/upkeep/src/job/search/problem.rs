//! An order as sets: what each step needs, forbids and costs.

use super::Criteria;
use super::bits::Bits;
use crate::job::order::{Act, Need, Order};
use crate::job::plan::Cost;

/// A condition as sets of states.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gate<const N: usize> {
    pub(super) open: Bits<N>,
    pub(super) shut: Bits<N>,
}

impl<const N: usize> Gate<N> {
    fn of(need: &Need, all: Bits<N>) -> Self {
        let shut = if need.all_shut { all } else { Bits::of(need.shut.iter().copied()) };
        Self { open: Bits::of(need.open.iter().copied()), shut }
    }

    pub(super) fn lets(&self, open: Bits<N>) -> bool {
        open.holds(self.open) && !open.meets(self.shut)
    }
}

/// An operation as sets.
#[derive(Debug, Clone)]
pub(super) struct Op<const N: usize> {
    pub(super) gate: Gate<N>,
    /// All states that are open when it is done.
    pub(super) rests: Bits<N>,
    pub(super) after: Bits<N>,
    pub(super) finishes: Bits<N>,
    pub(super) minutes: u64,
    pub(super) kit: u16,
    pub(super) label: u16,
    pub(super) finds: bool,
}

/// A state as sets.
#[derive(Debug, Clone)]
pub(super) struct State<const N: usize> {
    pub(super) gate: Gate<N>,
    pub(super) close: Gate<N>,
    /// Itself and all that it rests on, however far.
    pub(super) rests: Bits<N>,
    /// What rests on it directly.
    pub(super) carries: Bits<N>,
    /// Operations before its opening.
    pub(super) after: Bits<N>,
    pub(super) open_min: u64,
    pub(super) close_min: u64,
    pub(super) kit: u16,
}

/// Where a plan stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Node<const N: usize> {
    pub(super) open: Bits<N>,
    pub(super) done: Bits<N>,
    /// The tools last picked up; 0 for none yet.
    pub(super) kit: u16,
    /// The job last worked on; 0 for none yet.
    pub(super) label: u16,
}

/// An order to be searched.
#[derive(Debug, Clone)]
pub(crate) struct Problem<const N: usize> {
    pub(super) ops: Vec<Op<N>>,
    pub(super) states: Vec<State<N>>,
    /// Operations that can bring something into the order.
    pub(super) finds: Bits<N>,
    pub(super) all_ops: Bits<N>,
}

/// Numbers for words, from 1; the empty word is 0.
#[derive(Debug, Default)]
struct Numbers<'l>(Vec<&'l str>);

impl<'l> Numbers<'l> {
    fn of(&mut self, word: &'l str) -> u16 {
        if word.is_empty() {
            return 0;
        }
        let place = self.0.iter().position(|known| *known == word).unwrap_or_else(|| {
            self.0.push(word);
            self.0.len() - 1
        });
        u16::try_from(place + 1).unwrap_or(u16::MAX)
    }
}

impl<const N: usize> Problem<N> {
    /// Whether an order fits into sets of this size.
    pub(crate) fn fits(order: &Order<'_>) -> bool {
        order.ops.len() <= Bits::<N>::ROOM && order.states.len() <= Bits::<N>::ROOM
    }

    /// The order as sets, and where a plan stands that has come to `at`; costs outside the criteria are left at nothing.
    pub(crate) fn of<'l>(order: &Order<'l>, at: &crate::job::Progress<'l>, criteria: Criteria) -> (Self, Node<N>) {
        let (mut kits, mut labels) = (Numbers::default(), Numbers::default());
        let mut kit = |word: &'l str| if criteria.waits_and_kits() { kits.of(word) } else { 0 };
        let mut label = |word: Option<&'l str>| if criteria.jobs() { labels.of(word.unwrap_or_default()) } else { 0 };
        let states = Self::states(order, &mut kit);
        let ops: Vec<_> = order
            .ops
            .iter()
            .map(|op| {
                let gate = Gate::of(&op.needs, all(order));
                Op {
                    gate,
                    rests: resting(&states, gate.open),
                    after: Bits::of(op.after.iter().copied()),
                    finishes: Bits::of(op.finishes.iter().copied()),
                    minutes: if criteria.waits_and_kits() { u64::from(op.source.minutes) } else { 0 },
                    kit: kit(&op.source.kit),
                    label: label(op.label()),
                    finds: criteria.waits_and_kits() && op.source.finds,
                }
            })
            .collect();
        let node = Node {
            open: Bits::of(at.open.iter().copied()),
            done: Bits::of(at.done.iter().copied()),
            kit: kit(at.kit),
            label: label(Some(at.job)),
        };
        let finds = Bits::of((0..ops.len()).filter(|op| ops[*op].finds));
        let all_ops = Bits::of(0..ops.len());
        (Self { ops, states, finds, all_ops }, node)
    }

    fn states<'l>(order: &Order<'l>, kit: &mut impl FnMut(&'l str) -> u16) -> Vec<State<N>> {
        let gates: Vec<_> = order.states.iter().map(|state| Gate::of(&state.needs, all(order))).collect();
        order
            .states
            .iter()
            .enumerate()
            .map(|(number, state)| State {
                gate: gates[number],
                close: Gate::of(&state.close_needs, all(order)),
                rests: reach(&gates, number),
                carries: Bits::of((0..gates.len()).filter(|other| gates[*other].open.has(number))),
                after: Bits::of(state.open_after.iter().copied()),
                open_min: u64::from(state.source.open_min),
                close_min: u64::from(state.source.close_min),
                kit: kit(&state.source.kit),
            })
            .collect()
    }

    /// Some states and all that rests on them.
    pub(super) fn on_top_of(&self, states: Bits<N>) -> Bits<N> {
        if states.is_empty() {
            return states;
        }
        Bits::of((0..self.states.len()).filter(|state| self.states[*state].rests.meets(states)))
    }

    /// Whether a plan may end here.
    pub(super) fn is_finished(&self, node: &Node<N>) -> bool {
        node.open.is_empty() && node.done == self.all_ops
    }

    /// What a step costs when it is taken from a node.
    pub(super) fn cost(&self, node: &Node<N>, act: Act) -> Cost {
        let (access_min, kit) = match act {
            Act::Open(state) => (self.states[state].open_min, self.states[state].kit),
            Act::Close(state) => (self.states[state].close_min, self.states[state].kit),
            Act::Do(op) => (0, self.ops[op].kit),
        };
        let kit_changes = u32::from(kit != 0 && kit != node.kit);
        let Act::Do(op) = act else {
            return Cost { access_min, find_wait_min: 0, kit_changes, job_switches: 0 };
        };
        let op = &self.ops[op];
        let due = if op.finds { 0 } else { u64::from(self.finds.minus(node.done).count()) };
        let job_switches = u32::from(op.label != 0 && op.label != node.label);
        Cost { access_min, find_wait_min: op.minutes * due, kit_changes, job_switches }
    }

    /// Where a plan stands after a step.
    pub(super) fn step(&self, node: &Node<N>, act: Act) -> Node<N> {
        let picked = |kit: u16| if kit == 0 { node.kit } else { kit };
        match act {
            Act::Open(state) => Node { open: node.open.with(state), kit: picked(self.states[state].kit), ..*node },
            Act::Close(state) => Node { open: node.open.without(state), kit: picked(self.states[state].kit), ..*node },
            Act::Do(op) => Node {
                done: node.done.with(op),
                kit: picked(self.ops[op].kit),
                label: if self.ops[op].label == 0 { node.label } else { self.ops[op].label },
                ..*node
            },
        }
    }
}

fn all<const N: usize>(order: &Order<'_>) -> Bits<N> {
    Bits::of(0..order.states.len())
}

/// A state and all that it rests on, however far; a ring of needs ends where it began.
fn reach<const N: usize>(gates: &[Gate<N>], from: usize) -> Bits<N> {
    let (mut seen, mut todo) = (Bits::NONE.with(from), vec![from]);
    while let Some(state) = todo.pop() {
        for below in gates[state].open.minus(seen).iter() {
            seen.insert(below);
            todo.push(below);
        }
    }
    seen
}

pub(super) fn resting<const N: usize>(states: &[State<N>], on: Bits<N>) -> Bits<N> {
    on.iter().fold(Bits::NONE, |all, state| all.or(states[state].rests))
}
