//! What stands against a step here and now, by the rules that every plan keeps.

use super::super::order::{Act, Need, Order};
use super::super::plan::Progress;

/// One thing that stands against a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Blocker {
    /// The state is open already, or shut already, or the operation done: the step cannot be made at all.
    Already,
    /// A state, by index, has to be open first.
    MustOpen(usize),
    /// A state has to be shut first.
    MustShut(usize),
    /// Everything has to be shut first.
    AllShut,
    /// An operation comes first.
    Before(usize),
    /// An operation that is done sealed what would be opened.
    Sealed(usize),
}

/// Work that comes first by the plan and would have to wait for a state to be turned back: a nut that is cracked with
/// the chain on, a seal that is changed while the sprocket is off.
pub(super) fn passed_over(order: &Order<'_>, rest: &[Act], act: Act) -> Vec<Blocker> {
    let earlier = rest.iter().take_while(|known| **known != act);
    let waits = |number: usize| {
        let needs = &order.ops[number].needs;
        match act {
            Act::Open(state) => needs.shut.contains(&state),
            Act::Close(state) => needs.open.contains(&state),
            Act::Do(_) => false,
        }
    };
    earlier
        .filter_map(|known| if let Act::Do(number) = known { Some(*number) } else { None })
        .filter(|number| waits(*number))
        .map(Blocker::Before)
        .collect()
}

/// What stands against a step; empty where it is in turn.
#[must_use]
pub(super) fn blockers(order: &Order<'_>, at: &Progress<'_>, act: Act) -> Vec<Blocker> {
    let mut found = match act {
        Act::Open(state) => opening(order, at, state),
        Act::Close(state) => shutting(order, at, state),
        Act::Do(op) => doing(order, at, op),
    };
    found.sort_unstable();
    found.dedup();
    found
}

fn opening(order: &Order<'_>, at: &Progress<'_>, number: usize) -> Vec<Blocker> {
    let Some(state) = order.states.get(number) else { return vec![Blocker::Already] };
    if at.open.contains(&number) {
        return vec![Blocker::Already];
    }
    let mut found = needs(&state.needs, at);
    let openers = (0..order.ops.len()).filter(|op| order.ops[*op].opens.contains(&number));
    found.extend(before(at, state.open_after.iter().copied().chain(openers)));
    let seals = at.done.iter().filter(|op| order.ops.get(**op).is_some_and(|op| op.finishes.contains(&number)));
    found.extend(seals.map(|op| Blocker::Sealed(*op)));
    found
}

fn shutting(order: &Order<'_>, at: &Progress<'_>, number: usize) -> Vec<Blocker> {
    let Some(state) = order.states.get(number) else { return vec![Blocker::Already] };
    if !at.open.contains(&number) {
        return vec![Blocker::Already];
    }
    let mut found = needs(&state.close_needs, at);
    let resting = at.open.iter().filter(|open| order.states[**open].needs.open.contains(&number));
    found.extend(resting.map(|open| Blocker::MustShut(*open)));
    found
}

fn doing(order: &Order<'_>, at: &Progress<'_>, number: usize) -> Vec<Blocker> {
    let Some(op) = order.ops.get(number) else { return vec![Blocker::Already] };
    if at.done.contains(&number) {
        return vec![Blocker::Already];
    }
    let mut found = needs(&op.needs, at);
    found.extend(op.finishes.iter().filter(|state| at.open.contains(state)).map(|state| Blocker::MustShut(*state)));
    found.extend(before(at, op.after.iter().copied()));
    if op.source.rides {
        let work = (0..order.ops.len()).filter(|other| !order.ops[*other].source.rides);
        found.extend(before(at, work));
    }
    found
}

fn needs(need: &Need, at: &Progress<'_>) -> Vec<Blocker> {
    let open = need.open.iter().filter(|state| !at.open.contains(state)).map(|state| Blocker::MustOpen(*state));
    let shut = need.shut.iter().filter(|state| at.open.contains(state)).map(|state| Blocker::MustShut(*state));
    let bare = (need.all_shut && !at.open.is_empty()).then_some(Blocker::AllShut);
    open.chain(shut).chain(bare).collect()
}

fn before(at: &Progress<'_>, ops: impl Iterator<Item = usize>) -> Vec<Blocker> {
    ops.filter(|op| !at.done.contains(op)).map(Blocker::Before).collect()
}
