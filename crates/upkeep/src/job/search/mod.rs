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
/// that memory stays the same. A million nodes are about ten jobs of the shipped library, and a second or two.
const LIMIT: usize = 1_000_000;
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
    const fn labels(self) -> bool {
        matches!(self, Self::All)
    }
    const fn kits(self) -> bool {
        !matches!(self, Self::Access)
    }
    const fn waits(self) -> bool {
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
