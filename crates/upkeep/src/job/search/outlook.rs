//! What is still to come after a set of operations is done: which states are wanted open or shut, and what that must
//! cost at least.

use super::bits::Bits;
use super::precedence;
use super::problem::{Node, Problem, resting};
use crate::job::plan::Cost;

/// What comes before what, worked out once for a problem.
#[derive(Debug, Clone)]
pub(super) struct Foresight<const N: usize> {
    before: Vec<Bits<N>>,
    /// Operations, each after all that comes before it.
    sorted: Vec<usize>,
    /// States that the work forces open more than once.
    again: Vec<usize>,
}

/// What is still to come.
#[derive(Debug, Clone)]
pub(super) struct Outlook<const N: usize> {
    /// States that remaining work needs open.
    pub(super) wanted_open: Bits<N>,
    /// States that remaining work needs shut, before it needs them open, and what rests on these.
    pub(super) wanted_shut: Bits<N>,
    /// States that may not be opened any more.
    pub(super) sealed: Bits<N>,
    /// Findings not yet done.
    pub(super) due: Bits<N>,
    wait_min: u64,
    kits: u128,
    labels: u128,
    /// Least openings still to come of the states in `again`: when it is open now, when it is shut now.
    openings: Vec<[u64; 2]>,
}

impl<const N: usize> Foresight<N> {
    pub(super) fn of(problem: &Problem<N>) -> Self {
        let count = problem.ops.len();
        // Without any possible order the search has to prove it: nothing is foreseen.
        let before = precedence::before(problem).unwrap_or_else(|| vec![Bits::NONE; count]);
        let mut sorted: Vec<_> = (0..count).collect();
        sorted.sort_by_key(|op| before[*op].count());
        let mut foresight = Self { before, sorted, again: Vec::new() };
        foresight.again =
            (0..problem.states.len()).filter(|state| foresight.openings(problem, Bits::NONE, *state)[1] > 1).collect();
        foresight
    }

    /// The outlook after a set of operations is done.
    pub(super) fn after(&self, problem: &Problem<N>, done: Bits<N>) -> Outlook<N> {
        let left = problem.all_ops.minus(done);
        let wanted_open = left.iter().fold(Bits::NONE, |all, op| all.or(problem.ops[op].rests));
        let due = problem.finds.minus(done);
        let (mut kits, mut labels, mut wait_min) = (0, 0, 0);
        for op in left.iter() {
            let op = &problem.ops[op];
            kits |= flag(op.kit);
            labels |= flag(op.label);
        }
        for finding in due.iter() {
            let before = self.before[finding].and(left).minus(problem.finds);
            wait_min += before.iter().map(|op| problem.ops[op].minutes).sum::<u64>();
        }
        Outlook {
            wanted_open,
            wanted_shut: self.wanted_shut(problem, left),
            sealed: done.iter().fold(Bits::NONE, |all, op| all.or(problem.ops[op].finishes)),
            due,
            wait_min,
            kits,
            labels,
            openings: self.again.iter().map(|state| self.openings(problem, done, *state)).collect(),
        }
    }

    /// A state is shut for an operation's sake only once nothing that must come before that operation needs it open.
    fn wanted_shut(&self, problem: &Problem<N>, left: Bits<N>) -> Bits<N> {
        let mut wanted = Bits::NONE;
        for op in left.iter() {
            let shut = problem.ops[op].gate.shut.minus(wanted);
            if !shut.is_empty() {
                let earlier = self.before[op].and(left);
                let needed = earlier.iter().fold(Bits::NONE, |all, op| all.or(problem.ops[op].rests));
                wanted = wanted.or(shut.minus(needed));
            }
        }
        problem.on_top_of(wanted)
    }

    /// The least number of openings of a state still to come, when it is open now and when it is shut now: along each
    /// chain of predecessors it has to turn as often as the work asks.
    fn openings(&self, problem: &Problem<N>, done: Bits<N>, state: usize) -> [u64; 2] {
        [0, 1].map(|start: u64| {
            let mut turns = vec![start; problem.ops.len()];
            let mut most = start;
            for op in self.sorted.iter().copied().filter(|op| !done.has(*op)) {
                let earlier = self.before[op].minus(done).iter().map(|before| turns[before]).max();
                let turned = earlier.unwrap_or(start);
                let is_shut = turned % 2 == 1;
                let work = &problem.ops[op];
                let turns_it =
                    if is_shut { work.rests.has(state) } else { work.gate.shut.has(state) || work.finishes.has(state) };
                turns[op] = turned + u64::from(turns_it);
                most = most.max(turns[op]);
            }
            most / 2
        })
    }

    /// A cost that no plan from this node can stay below.
    pub(super) fn least(&self, problem: &Problem<N>, outlook: &Outlook<N>, node: &Node<N>) -> Cost {
        let mut access_min = 0;
        let mut kits = outlook.kits;
        let touched = node.open.or(outlook.wanted_open);
        for number in touched.iter() {
            let (state, is_open) = (&problem.states[number], node.open.has(number));
            let openings = match self.again.iter().position(|again| *again == number) {
                Some(place) => outlook.openings[place][usize::from(!is_open)],
                None => u64::from(!is_open),
            };
            access_min += openings * state.open_min + (openings + u64::from(is_open)) * state.close_min;
            kits |= flag(state.kit);
        }
        Cost {
            access_min,
            find_wait_min: outlook.wait_min,
            kit_changes: (kits & !flag(node.kit)).count_ones(),
            job_switches: (outlook.labels & !flag(node.label)).count_ones(),
        }
    }
}

/// One bit for a kit or job; the many-eth one is not counted, which keeps the bound a bound.
fn flag(number: u16) -> u128 {
    match number {
        0 => 0,
        _ => 1_u128.checked_shl(u32::from(number) - 1).unwrap_or(0),
    }
}

/// What the rules of opening and shutting want of other states, for all that is open or will be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rules<const N: usize> {
    /// States that a shutting wants open, with what they rest on.
    pub(super) open: Bits<N>,
    /// States that an opening or shutting wants shut, with what rests on them.
    pub(super) shut: Bits<N>,
}

impl<const N: usize> Rules<N> {
    /// The rules of what is open or will be, and of what these want open in turn.
    pub(super) fn of(problem: &Problem<N>, touched: Bits<N>) -> Self {
        let (mut open, mut shut) = (Bits::NONE, Bits::NONE);
        let (mut seen, mut todo) = (Bits::NONE, touched);
        while !todo.is_empty() {
            for state in todo.iter() {
                let state = &problem.states[state];
                open = open.or(resting(&problem.states, state.close.open));
                shut = shut.or(state.close.shut).or(state.gate.shut);
            }
            seen = seen.or(todo);
            todo = open.minus(seen);
        }
        Self { open, shut: problem.on_top_of(shut) }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::job::search::Criteria;
    use crate::job::{Job, JobOp, Library, Literal, Operation, Order, Progress, State, plan, shipped};

    const ORDERS: [&[&str]; 3] =
        [&["final-drive-set"], &["gearbox-oil", "clutch-plates"], &["rear-tyre", "brake-pads-rear"]];

    fn order(jobs: &[&'static str]) -> Order<'static> {
        Order::build(shipped().library(), jobs, &[("front-retention", "nut")]).expect("an order")
    }

    fn least(problem: &Problem<4>, node: &Node<4>) -> Cost {
        let foresight = Foresight::of(problem);
        foresight.least(problem, &foresight.after(problem, node.done), node)
    }

    #[test]
    fn every_kit_and_every_job_still_to_come_is_foreseen_once() {
        for jobs in ORDERS {
            let order = order(jobs);
            let (problem, start) = Problem::<4>::of(&order, &Progress::default(), Criteria::All);
            let kits = order.ops.iter().map(|op| op.source.kit.as_str());
            let kits = kits.chain(order.states.iter().map(|state| state.source.kit.as_str()));
            let kits: BTreeSet<&str> = kits.filter(|kit| !kit.is_empty()).collect();
            let labels: BTreeSet<&str> = order.ops.iter().filter_map(|op| op.label()).collect();
            let foreseen = least(&problem, &start);
            let counts = [foreseen.kit_changes, foreseen.job_switches].map(usize::try_from);
            assert_eq!(counts, [Ok(kits.len()), Ok(labels.len())], "{jobs:?}");
        }
    }

    #[test]
    fn from_no_step_of_a_plan_on_is_more_foreseen_than_the_rest_of_it_costs() {
        for jobs in ORDERS {
            let order = order(jobs);
            let (problem, mut node) = Problem::<4>::of(&order, &Progress::default(), Criteria::All);
            let plan = plan(&order).expect("can be done");
            let mut rest = plan.cost;
            for act in &plan.steps {
                let foreseen = least(&problem, &node);
                let each = [
                    (foreseen.access_min, rest.access_min),
                    (foreseen.find_wait_min, rest.find_wait_min),
                    (foreseen.kit_changes.into(), rest.kit_changes.into()),
                    (foreseen.job_switches.into(), rest.job_switches.into()),
                ];
                assert!(each.iter().all(|(foreseen, rest)| foreseen <= rest), "{jobs:?} {act:?}: {each:?}");
                let spent = problem.cost(&node, *act);
                rest = Cost {
                    access_min: rest.access_min - spent.access_min,
                    find_wait_min: rest.find_wait_min - spent.find_wait_min,
                    kit_changes: rest.kit_changes - spent.kit_changes,
                    job_switches: rest.job_switches - spent.job_switches,
                };
                node = problem.step(&node, *act);
            }
            assert_eq!((least(&problem, &node), rest), (Cost::ZERO, Cost::ZERO), "{jobs:?}");
        }
    }

    fn operation(id: &str, minutes: u32, needs: &[&str], after: &[&str]) -> Operation {
        Operation {
            id: id.to_owned(),
            needs: needs.iter().map(|need| Literal::of(need)).collect(),
            after: after.iter().map(|op| (*op).to_owned()).collect(),
            minutes,
            kit: String::new(),
            opens: Vec::new(),
            finishes: Vec::new(),
            when: None,
            rides: false,
            finds: false,
            on_fail: Vec::new(),
        }
    }

    /// Two states, one on the other, and each operation a job of its own.
    fn library(ops: &[Operation]) -> Library {
        let state = |id: &str, (open_min, close_min), needs: &[&str], kit: &str| State {
            id: id.to_owned(),
            open_min,
            close_min,
            needs: needs.iter().map(|need| Literal::of(need)).collect(),
            close_needs: Vec::new(),
            open_after: Vec::new(),
            kit: kit.to_owned(),
            parts: Vec::new(),
            on_fail: Vec::new(),
        };
        let job = |op: &Operation| Job {
            id: format!("j{}", op.id),
            covers: Vec::new(),
            ops: vec![JobOp::Own(op.clone())],
            parts: Vec::new(),
            consumables: Vec::new(),
        };
        Library {
            states: vec![state("base", (7, 11), &[], ""), state("top", (100, 300), &["base"], "jack")],
            jobs: ops.iter().map(job).collect(),
            ..Library::default()
        }
    }

    /// What is foreseen with some states open and some operations done.
    fn foreseen(library: &Library, open: &[&str], done: &[&str]) -> Cost {
        let jobs: Vec<&str> = library.jobs.iter().map(|job| job.id.as_str()).collect();
        let order = Order::build(library, &jobs, &[]).expect("an order");
        let place = |known: Option<usize>| known.expect("of the order");
        let state = |id: &&str| place(order.states.iter().position(|state| state.source.id == **id));
        let op = |id: &&str| place(order.ops.iter().position(|op| op.source.id == **id));
        let progress = Progress {
            open: open.iter().map(state).collect(),
            done: done.iter().map(op).collect(),
            ..Progress::default()
        };
        let (problem, node) = Problem::<4>::of(&order, &progress, Criteria::All);
        least(&problem, &node)
    }

    #[test]
    fn what_comes_before_a_finding_in_every_plan_makes_it_wait() {
        let finding = |id: &str, after: &[&str]| Operation { finds: true, ..operation(id, 9, &[], after) };
        let ops = [operation("a", 5, &[], &[]), operation("b", 3, &[], &["a"]), operation("c", 40, &[], &[])];
        let all = [&ops[..], &[finding("f", &["a"]), finding("g", &["b", "f"])]].concat();
        let library = library(&all);
        // Before f comes a; before g come a, b and f, which is a finding itself.
        assert_eq!(foreseen(&library, &[], &[]).find_wait_min, 5 + (5 + 3));
        assert_eq!(foreseen(&library, &[], &["a"]).find_wait_min, 3);
        assert_eq!(foreseen(&library, &[], &["a", "f"]).find_wait_min, 3);
        assert_eq!(foreseen(&library, &[], &["a", "b", "f", "g"]).find_wait_min, 0);
        assert_eq!(foreseen(&library, &[], &[]).job_switches, 5);
    }

    #[test]
    fn a_state_is_opened_and_shut_as_often_as_the_work_turns_it() {
        let chain = [
            operation("a", 1, &["top"], &[]),
            operation("b", 1, &["!top"], &["a"]),
            operation("c", 1, &["top"], &["b"]),
            operation("d", 1, &["!base"], &["c"]),
            operation("e", 1, &["base"], &["d"]),
        ];
        let library = library(&chain);
        let access = |open: &[&str], done: &[&str]| foreseen(&library, open, done).access_min;
        // The top twice; the base for both at once, and for the last again.
        assert_eq!(access(&[], &[]), 2 * (100 + 300) + 2 * (7 + 11));
        assert_eq!(access(&["base"], &[]), 2 * 400 + 11 + 18);
        assert_eq!(access(&["base", "top"], &[]), 300 + 400 + 11 + 18);
        assert_eq!(access(&["base", "top"], &["a"]), 300 + 400 + 11 + 18);
        assert_eq!(access(&["base"], &["a", "b"]), 400 + 11 + 18);
        assert_eq!(access(&["base", "top"], &["a", "b", "c"]), 300 + 11 + 18);
        assert_eq!(access(&[], &["a", "b", "c", "d"]), 18);
        assert_eq!(access(&["base"], &["a", "b", "c", "d", "e"]), 11);
        // The jack is picked up for the top, not for the base.
        let kits = |open: &[&str], done: &[&str]| foreseen(&library, open, done).kit_changes;
        assert_eq!(
            [kits(&[], &[]), kits(&["base", "top"], &["a", "b", "c"]), kits(&[], &["a", "b", "c", "d"])],
            [1, 1, 0]
        );
    }

    #[test]
    fn a_kit_or_job_has_a_bit_of_its_own_up_to_the_last_one() {
        assert_eq!([flag(0), flag(1), flag(2), flag(128), flag(129), flag(u16::MAX)], [0, 1, 2, 1 << 127, 0, 0]);
    }
}
