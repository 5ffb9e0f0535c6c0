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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Job, JobOp, Library, Literal, Operation, State};

    fn operation(id: &str, needs: &[&str]) -> Operation {
        Operation {
            id: id.to_owned(),
            needs: needs.iter().map(|need| Literal::of(need)).collect(),
            after: Vec::new(),
            minutes: 1,
            kit: String::new(),
            opens: Vec::new(),
            finishes: Vec::new(),
            when: None,
            rides: false,
            finds: false,
            on_fail: Vec::new(),
        }
    }

    fn state(id: &str, needs: &[&str], close_needs: &[&str]) -> State {
        State {
            id: id.to_owned(),
            open_min: 1,
            close_min: 1,
            needs: needs.iter().map(|need| Literal::of(need)).collect(),
            close_needs: close_needs.iter().map(|need| Literal::of(need)).collect(),
            open_after: Vec::new(),
            kit: String::new(),
            parts: Vec::new(),
            on_fail: Vec::new(),
        }
    }

    fn library() -> Library {
        let job = |op: Operation| Job {
            id: format!("j-{}", op.id),
            covers: Vec::new(),
            ops: vec![JobOp::Own(op)],
            parts: Vec::new(),
            consumables: Vec::new(),
        };
        let ride = Operation { rides: true, ..operation("ride", &[]) };
        let work = operation("work", &["top", "!aside"]);
        let late = Operation { after: vec!["bare".to_owned(), "work".to_owned()], ..operation("late", &[]) };
        Library {
            states: vec![state("base", &[], &[]), state("top", &["base"], &["aside"]), state("aside", &[], &[])],
            finishers: vec![Operation { finishes: vec!["base".to_owned()], ..operation("seal", &[]) }],
            shared: vec![Operation { opens: vec!["top".to_owned()], ..operation("opener", &[]) }],
            jobs: [work, operation("bare", &["!*"]), ride, late].map(job).to_vec(),
            ..Library::default()
        }
    }

    const ASIDE: usize = 0;
    const BASE: usize = 1;
    const TOP: usize = 2;
    const BARE: usize = 0;
    const LATE: usize = 1;
    const OPENER: usize = 2;
    const RIDE: usize = 3;
    const SEAL: usize = 4;
    const WORK: usize = 5;

    fn order(library: &Library) -> Order<'_> {
        let order = Order::build(library, &["j-work", "j-bare", "j-ride", "j-late"], &[]).expect("an order");
        let names: Vec<&str> = order.ops.iter().map(|op| op.source.id.as_str()).collect();
        assert_eq!(names, ["bare", "late", "opener", "ride", "seal", "work"]);
        let names: Vec<&str> = order.states.iter().map(|state| state.source.id.as_str()).collect();
        assert_eq!(names, ["aside", "base", "top"]);
        order
    }

    #[test]
    fn each_rule_that_a_step_breaks_is_named_and_nothing_else() {
        use Blocker::{AllShut, Already, Before, MustOpen, MustShut, Sealed};
        let library = library();
        let order = order(&library);
        let against = |open: &[usize], done: &[usize], act: Act| {
            blockers(&order, &Progress { open: open.to_vec(), done: done.to_vec(), ..Progress::default() }, act)
        };
        let all_work = [BARE, LATE, OPENER, SEAL, WORK];
        for (open, done, act, want) in [
            (&[][..], &[][..], Act::Open(BASE), &[][..]),
            (&[], &[], Act::Open(TOP), &[MustOpen(BASE), Before(OPENER)]),
            (&[BASE], &[], Act::Open(TOP), &[Before(OPENER)]),
            (&[], &[OPENER], Act::Open(TOP), &[MustOpen(BASE)]),
            (&[BASE], &[OPENER], Act::Open(TOP), &[]),
            (&[BASE], &[], Act::Open(BASE), &[Already]),
            (&[], &[SEAL], Act::Open(BASE), &[Sealed(SEAL)]),
            (&[BASE], &[OPENER, SEAL], Act::Open(TOP), &[]),
            (&[], &[], Act::Close(BASE), &[Already]),
            (&[BASE], &[], Act::Close(BASE), &[]),
            (&[BASE, TOP], &[], Act::Close(BASE), &[MustShut(TOP)]),
            (&[BASE, TOP], &[], Act::Close(TOP), &[MustOpen(ASIDE)]),
            (&[BASE, TOP, ASIDE], &[], Act::Close(TOP), &[]),
            (&[], &[], Act::Do(WORK), &[MustOpen(TOP)]),
            (&[BASE, TOP], &[], Act::Do(WORK), &[]),
            (&[BASE, TOP, ASIDE], &[], Act::Do(WORK), &[MustShut(ASIDE)]),
            (&[BASE, TOP], &[WORK], Act::Do(WORK), &[Already]),
            (&[], &[], Act::Do(BARE), &[]),
            (&[ASIDE], &[], Act::Do(BARE), &[AllShut]),
            (&[], &[], Act::Do(SEAL), &[]),
            (&[ASIDE, BASE], &[], Act::Do(SEAL), &[MustShut(BASE)]),
            (&[], &[BARE], Act::Do(LATE), &[Before(WORK)]),
            (&[], &[BARE, WORK], Act::Do(LATE), &[]),
            (&[], &all_work[..], Act::Do(RIDE), &[]),
            (&[], &all_work[..4], Act::Do(RIDE), &[Before(WORK)]),
            (&[], &[], Act::Do(RIDE), &[Before(BARE), Before(LATE), Before(OPENER), Before(SEAL), Before(WORK)]),
            (&[], &[], Act::Open(3), &[Already]),
            (&[], &[], Act::Close(3), &[Already]),
            (&[], &[], Act::Do(6), &[Already]),
        ] {
            assert_eq!(against(open, done, act), want, "{open:?} {done:?} {act:?}");
        }
    }

    #[test]
    fn work_is_passed_over_by_the_turn_of_a_state_that_it_needs_as_it_is() {
        let library = library();
        let order = order(&library);
        let rest = [Act::Do(BARE), Act::Open(BASE), Act::Open(TOP), Act::Do(WORK), Act::Close(TOP), Act::Open(ASIDE)];
        assert_eq!(passed_over(&order, &rest, Act::Close(TOP)), [Blocker::Before(WORK)]);
        assert_eq!(passed_over(&order, &rest, Act::Open(ASIDE)), [Blocker::Before(WORK)]);
        for act in [Act::Open(BASE), Act::Open(TOP), Act::Do(WORK), Act::Do(BARE), Act::Do(SEAL), Act::Close(BASE)] {
            assert_eq!(passed_over(&order, &rest, act), [], "{act:?}");
        }
        let sooner = [Act::Close(TOP), Act::Open(ASIDE), Act::Do(WORK)];
        assert_eq!(passed_over(&order, &sooner, Act::Close(TOP)), []);
        assert_eq!(passed_over(&order, &sooner, Act::Open(ASIDE)), []);
    }
}
