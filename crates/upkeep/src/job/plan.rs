//! The plan of an order: its steps and what they cost.

use std::iter::Sum;
use std::ops::Add;

use super::fault::OrderFault;
use super::order::{Act, Order};
use super::search::{self, Criteria, End, Stuck};

/// What a plan costs beside the work itself, compared in this order. Safety is never a cost: it is in the rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Cost {
    /// Minutes of opening and shutting.
    pub access_min: u64,
    /// Minutes that findings wait: each operation that finds nothing, times the findings still due.
    pub find_wait_min: u64,
    /// Steps whose tools differ from the last ones; the first pick-up counts.
    pub kit_changes: u32,
    /// Operations of another single job than the last one.
    pub job_switches: u32,
}

impl Cost {
    /// Nothing.
    pub const ZERO: Self = Self { access_min: 0, find_wait_min: 0, kit_changes: 0, job_switches: 0 };
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            access_min: self.access_min + other.access_min,
            find_wait_min: self.find_wait_min + other.find_wait_min,
            kit_changes: self.kit_changes + other.kit_changes,
            job_switches: self.job_switches + other.job_switches,
        }
    }
}

impl Sum for Cost {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

/// How far an order has come.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Progress<'l> {
    /// States open, by index into the order.
    pub open: Vec<usize>,
    /// Operations done.
    pub done: Vec<usize>,
    /// The tools last picked up; empty for none yet.
    pub kit: &'l str,
    /// The job last worked on; empty for none yet.
    pub job: &'l str,
}

impl<'l> Progress<'l> {
    /// Takes a step and says what it costs. Whether the step is allowed is not asked.
    pub fn take(&mut self, order: &Order<'l>, act: Act) -> Cost {
        let mut cost = Cost::ZERO;
        let kit = order.kit(act);
        if !kit.is_empty() && kit != self.kit {
            self.kit = kit;
            cost.kit_changes = 1;
        }
        match act {
            Act::Open(state) => {
                self.open.push(state);
                cost.access_min = order.states.get(state).map_or(0, |state| u64::from(state.source.open_min));
            }
            Act::Close(state) => {
                self.open.retain(|open| *open != state);
                cost.access_min = order.states.get(state).map_or(0, |state| u64::from(state.source.close_min));
            }
            Act::Do(number) => {
                self.done.push(number);
                let Some(op) = order.ops.get(number) else { return cost };
                if !op.source.finds {
                    let findings = order.ops.iter().enumerate().filter(|(_, op)| op.source.finds);
                    let due = findings.filter(|(finding, _)| !self.done.contains(finding)).count();
                    cost.find_wait_min = u64::from(op.source.minutes) * u64::try_from(due).unwrap_or(u64::MAX);
                }
                if let Some(job) = op.label().filter(|job| *job != self.job) {
                    self.job = job;
                    cost.job_switches = 1;
                }
            }
        }
        cost
    }
}

/// The steps of an order in sequence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// What is done after what.
    pub steps: Vec<Act>,
    /// What it costs beside the work.
    pub cost: Cost,
    /// Whether no valid plan costs less.
    pub proven: bool,
    /// Nodes that the search met for it: how much work it was; zero where no exact search came to its end.
    pub nodes: usize,
}

impl Plan {
    fn of<'l>(order: &Order<'l>, at: &Progress<'l>, (steps, nodes): Found, proven: bool) -> Self {
        let mut progress = at.clone();
        let cost = steps.iter().map(|act| progress.take(order, *act)).sum();
        Self { steps, cost, proven, nodes }
    }

    /// States that are opened more than once, by index, each named once.
    #[must_use]
    pub fn opened_again(&self) -> Vec<usize> {
        let opened = |act: &Act| if let Act::Open(state) = act { Some(*state) } else { None };
        let mut opened: Vec<_> = self.steps.iter().filter_map(opened).collect();
        opened.sort_unstable();
        let mut again: Vec<_> = opened.windows(2).filter(|two| two[0] == two[1]).map(|two| two[0]).collect();
        again.dedup();
        again
    }
}

/// The cheapest plan of an order, from all shut and nothing done.
///
/// # Holds when
/// Exact up to a fixed count of search nodes; past it the switches between jobs are no longer kept least, and past it
/// again the plan is a good one, not proven cheapest ([`Plan::proven`]). The same order gives the same plan.
///
/// # Source
/// work-order.
///
/// # Errors
/// No valid plan exists, or none was found.
pub fn plan(order: &Order<'_>) -> Result<Plan, OrderFault> {
    plan_from(order, &Progress::default())
}

/// The cheapest way to the end from where an order stands, for a work order taken up again.
///
/// # Errors
/// No valid plan exists from here, or none was found.
pub fn plan_from<'l>(order: &Order<'l>, at: &Progress<'l>) -> Result<Plan, OrderFault> {
    match exactly(order, at, Criteria::All)? {
        Some(found) => return Ok(Plan::of(order, at, found, true)),
        // Access alone is searched far faster: an order that cannot be done at all is then still told from a large one.
        None => exactly(order, at, Criteria::Access)?,
    };
    let found = exactly(order, at, Criteria::NoJobs)?.or_else(|| search::good(order, at).map(|steps| (steps, 0)));
    found.map(|found| Plan::of(order, at, found, false)).ok_or(OrderFault::TooLarge)
}

/// The least minutes of access that any plan of the order needs.
///
/// # Errors
/// No valid plan exists, or none was found.
pub fn least_access(order: &Order<'_>) -> Result<u64, OrderFault> {
    let at = Progress::default();
    match exactly(order, &at, Criteria::Access)? {
        Some(found) => Ok(Plan::of(order, &at, found, true).cost.access_min),
        None => plan(order).map(|plan| plan.cost.access_min),
    }
}

/// Steps, and the nodes that were met on the way to them.
type Found = (Vec<Act>, usize);

/// The cheapest steps by some criteria; `None` past the limit of nodes.
fn exactly<'l>(order: &Order<'l>, at: &Progress<'l>, criteria: Criteria) -> Result<Option<Found>, OrderFault> {
    match search::exact(order, at, criteria) {
        Some(End::Found(steps, nodes)) => Ok(Some((steps, nodes))),
        Some(End::Limit) => Ok(None),
        Some(End::None(stuck)) => Err(OrderFault::Infeasible { blocked: blocked(order, &stuck) }),
        None => Err(OrderFault::TooLarge),
    }
}

/// What was never reached and which needs did not hold where the search came furthest.
fn blocked(order: &Order<'_>, stuck: &Stuck) -> Vec<(String, Vec<String>)> {
    let all = 0..order.ops.len();
    let never: Vec<_> = all.clone().filter(|op| !stuck.reached.contains(op)).collect();
    let left: Vec<_> = if never.is_empty() { all.filter(|op| !stuck.done.contains(op)).collect() } else { never };
    let state = |index: &usize| order.states[*index].source.id.clone();
    if left.is_empty() {
        return stuck.open.iter().map(|open| (state(open), vec!["cannot be shut again".to_owned()])).collect();
    }
    left.into_iter()
        .map(|number| {
            let op = &order.ops[number];
            let needs = op.needs.open.iter().map(|open| format!("{} open", state(open)));
            let shut = op.needs.shut.iter().map(|shut| format!("{} shut", state(shut)));
            let bare = op.needs.all_shut.then(|| "everything shut".to_owned());
            let after = op.after.iter().filter(|before| !stuck.done.contains(before));
            let after = after.map(|before| format!("{} done", order.ops[*before].source.id));
            (op.source.id.clone(), needs.chain(shut).chain(bare).chain(after).collect())
        })
        .collect()
}
