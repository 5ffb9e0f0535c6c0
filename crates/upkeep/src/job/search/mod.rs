//! The search for the cheapest plan of an order, over (open states, done operations, last tools, last job).
//!
//! ```text
//! Order ─► Problem (sets) ─► best_first (exact, up to a limit of nodes) ─► steps
//!                       └──► beam (past the limit)
//! ```
//! The limit is a count, never a clock: the same order gives the same plan on every machine.

mod beam;
mod best_first;
mod bits;
mod moves;
mod outlook;
mod precedence;
mod problem;

pub(super) use best_first::{End, Stuck};

use super::order::{Act, Order};
use super::plan::Progress;
use problem::Problem;

/// Nodes that an exact search may meet while an order fits into one word of operations; with larger nodes fewer, so
/// that memory stays the same. The bench holds it: no order of the shipped library takes longer than two seconds.
const LIMIT: usize = 250_000;
/// Nodes that the beam keeps for each step; wider if that ends blind.
const WIDTHS: [usize; 3] = [512, 4096, 32_768];

/// Which parts of the cost a search looks at; the others stay out of its nodes and make it faster.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Criteria {
    /// Access, waiting, tools and jobs.
    All,
    /// Access, waiting and tools.
    NoJobs,
    /// Access alone.
    Access,
}

impl Criteria {
    const fn jobs(self) -> bool {
        matches!(self, Self::All)
    }
    const fn waits_and_kits(self) -> bool {
        !matches!(self, Self::Access)
    }
}

/// The exact search; `None` if the order does not fit at all.
pub(super) fn exact<'l>(order: &Order<'l>, at: &Progress<'l>, criteria: Criteria) -> Option<End> {
    fn run<'l, const N: usize>(order: &Order<'l>, at: &Progress<'l>, criteria: Criteria) -> Option<End> {
        Problem::<N>::fits(order).then(|| {
            let (problem, start) = Problem::<N>::of(order, at, criteria);
            best_first::best_first(&problem, start, LIMIT / N)
        })
    }
    let small = run::<1>(order, at, criteria);
    let middle = || run::<4>(order, at, criteria);
    small.or_else(middle).or_else(|| run::<16>(order, at, criteria))
}

/// The search for a good plan; `None` if the order does not fit or every way kept ends blind.
pub(super) fn good<'l>(order: &Order<'l>, at: &Progress<'l>) -> Option<Vec<Act>> {
    fn run<'l, const N: usize>(order: &Order<'l>, at: &Progress<'l>) -> Option<Vec<Act>> {
        if !Problem::<N>::fits(order) {
            return None;
        }
        let (problem, start) = Problem::<N>::of(order, at, Criteria::All);
        WIDTHS.into_iter().find_map(|width| beam::beam(&problem, start, width))
    }
    run::<1>(order, at).or_else(|| run::<4>(order, at)).or_else(|| run::<16>(order, at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{plan, shipped};

    #[test]
    fn a_good_plan_does_all_the_work_and_is_never_cheaper_than_the_exact_one() {
        for jobs in [&["final-drive-set"][..], &["gearbox-oil", "clutch-plates"], &["rear-tyre", "brake-pads-rear"]] {
            let order = Order::build(shipped().library(), jobs, &[("front-retention", "nut")]).expect("an order");
            let steps = good(&order, &Progress::default()).expect("a way to the end");
            let mut progress = Progress::default();
            let cost = steps.iter().map(|act| progress.take(&order, *act)).sum();
            let exact = plan(&order).expect("can be done");
            assert!(exact.cost <= cost && exact.cost.access_min == cost.access_min, "{jobs:?}");
            assert!(progress.open.is_empty() && progress.done.len() == order.ops.len());
        }
    }

    #[test]
    fn what_cannot_be_done_has_no_good_plan_either() {
        use crate::job::{Job, JobOp, Library, Literal, Operation};
        let op = Operation {
            id: "o".to_owned(),
            needs: vec![Literal::AllShut],
            after: Vec::new(),
            minutes: 1,
            kit: String::new(),
            opens: Vec::new(),
            finishes: Vec::new(),
            when: None,
            rides: false,
            finds: false,
            on_fail: Vec::new(),
        };
        let job = Job {
            id: "j".to_owned(),
            covers: Vec::new(),
            ops: vec![JobOp::Own(op)],
            parts: Vec::new(),
            consumables: Vec::new(),
        };
        let library = Library { jobs: vec![job], ..Library::default() };
        let mut order = Order::build(&library, &["j"], &[]).expect("an order");
        assert!(good(&order, &Progress::default()).is_some());
        order.ops[0].after = vec![0];
        assert!(good(&order, &Progress::default()).is_none());
    }

    #[test]
    fn where_every_way_is_kept_the_good_plan_is_the_cheapest_one() {
        for file in shipped().jobs() {
            let order =
                Order::build(shipped().library(), &[&file.job.id], &[("front-retention", "nut")]).expect("an order");
            let exact = plan(&order).expect("can be done");
            if exact.nodes > 400 {
                continue;
            }
            let steps = good(&order, &Progress::default()).expect("a way to the end");
            let mut progress = Progress::default();
            let cost: crate::job::Cost = steps.iter().map(|act| progress.take(&order, *act)).sum();
            assert_eq!(cost, exact.cost, "{}", file.job.id);
        }
    }

    #[test]
    fn a_longer_plan_that_is_cheaper_is_still_found_after_a_shorter_one() {
        use crate::job::{Job, JobOp, Library, Literal, Operation, State};
        let op = |id: &str, kit: &str, needs: &str, after: &[&str]| Operation {
            id: id.to_owned(),
            needs: vec![Literal::of(needs)],
            after: after.iter().map(|op| (*op).to_owned()).collect(),
            minutes: 1,
            kit: kit.to_owned(),
            opens: Vec::new(),
            finishes: Vec::new(),
            when: None,
            rides: false,
            finds: false,
            on_fail: Vec::new(),
        };
        let state = State {
            id: "s".to_owned(),
            open_min: 0,
            close_min: 0,
            needs: Vec::new(),
            close_needs: Vec::new(),
            open_after: Vec::new(),
            kit: String::new(),
            parts: Vec::new(),
            on_fail: Vec::new(),
        };
        // With the lid turned once the tools change three times; turned twice, which costs nothing, once for each kit.
        let ops =
            [op("a", "x", "s", &[]), op("b", "x", "!s", &["a"]), op("c", "y", "s", &[]), op("d", "y", "!s", &["c"])];
        let job = |op: Operation| Job {
            id: format!("j{}", op.id),
            covers: Vec::new(),
            ops: vec![JobOp::Own(op)],
            parts: Vec::new(),
            consumables: Vec::new(),
        };
        let library = Library { states: vec![state], jobs: ops.map(job).to_vec(), ..Library::default() };
        let order = Order::build(&library, &["ja", "jb", "jc", "jd"], &[]).expect("an order");
        let steps = good(&order, &Progress::default()).expect("a way to the end");
        let mut progress = Progress::default();
        let cost: crate::job::Cost = steps.iter().map(|act| progress.take(&order, *act)).sum();
        assert_eq!((steps.len(), cost.kit_changes), (8, 2));
        assert_eq!(plan(&order).expect("can be done").cost, cost);
    }
}
