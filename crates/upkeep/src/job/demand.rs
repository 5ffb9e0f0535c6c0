//! What an order needs from the shelf: parts of its jobs and of the states that they open, consumables, and what a
//! failed stop point could bring. Prices do not live here.

use std::collections::{BTreeMap, BTreeSet};

use super::fault::{LibraryFault, OrderFault};
use super::model::{JobOp, Library, OnFail, Part};
use super::order::Order;

/// How much is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kit {
    /// What the work cannot do without.
    Minimal,
    /// All that the jobs name.
    Full,
}

/// A part that the order needs; the same role from several jobs is one physical part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line<'l> {
    /// What it is.
    pub role: &'l str,
    /// How many: the most that one job or state asks for.
    pub qty: u32,
    /// Whether every job can do without.
    pub optional: bool,
    /// The jobs, in the order given.
    pub jobs: Vec<&'l str>,
}

/// A consumable, once for all jobs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Consumable<'l> {
    /// What it is.
    pub role: &'l str,
    /// The jobs, in the order given.
    pub jobs: Vec<&'l str>,
}

/// A part that a failed stop point would bring.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MightNeed<'l> {
    /// What it is.
    pub role: &'l str,
    /// How many: the most that the library asks for anywhere.
    pub qty: u32,
    /// The stop point.
    pub hold: &'l str,
    /// The job that it comes with, if it comes with one.
    pub job: Option<&'l str>,
}

/// All that an order needs or might need; each list by role.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Demand<'l> {
    /// Parts.
    pub lines: Vec<Line<'l>>,
    /// Consumables.
    pub consumables: Vec<Consumable<'l>>,
    /// Parts of failed stop points, then by stop point.
    pub might_need: Vec<MightNeed<'l>>,
    /// Stop points of the order that could bring a job or part.
    pub holds: BTreeSet<&'l str>,
}

/// The demand of an order of `jobs`.
///
/// # Errors
/// The jobs make no order, or a failed stop point names a part that the library nowhere counts.
pub fn demand<'l>(
    library: &'l Library,
    jobs: &[&str],
    choices: &[(&str, &str)],
    kit: Kit,
) -> Result<Demand<'l>, OrderFault> {
    let order = Order::build(library, jobs, choices)?;
    let lines = lines(library, &order, choices, kit)?;
    let mut consumables: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for job in order.jobs.iter().filter_map(|id| library.job(id)) {
        for role in &job.consumables {
            let jobs = consumables.entry(role).or_default();
            if jobs.last() != Some(&job.id.as_str()) {
                jobs.push(&job.id);
            }
        }
    }
    let fails = fails(library, &order);
    let might_need = might_need(library, &order, &lines, &fails)?;
    Ok(Demand {
        lines: lines.into_values().collect(),
        consumables: consumables.into_iter().map(|(role, jobs)| Consumable { role, jobs }).collect(),
        might_need,
        holds: fails.iter().map(|fail| fail.hold.as_str()).collect(),
    })
}

fn lines<'l>(
    library: &'l Library,
    order: &Order<'l>,
    choices: &[(&str, &str)],
    kit: Kit,
) -> Result<BTreeMap<&'l str, Line<'l>>, OrderFault> {
    let mut lines: BTreeMap<&str, Line<'_>> = BTreeMap::new();
    for job in order.jobs.iter().filter_map(|id| library.job(id)) {
        // The parts of a state belong to every job that opens it on its own account.
        let alone = Order::build(library, &[&job.id], choices)?;
        let opened = alone.states.iter().flat_map(|state| &state.source.parts);
        for part in job.parts.iter().chain(opened).filter(|part| kit == Kit::Full || !part.optional) {
            let fresh = || Line { role: &part.role, qty: 0, optional: true, jobs: Vec::new() };
            let line = lines.entry(&part.role).or_insert_with(fresh);
            line.qty = line.qty.max(part.qty);
            line.optional &= part.optional;
            if line.jobs.last() != Some(&job.id.as_str()) {
                line.jobs.push(&job.id);
            }
        }
    }
    Ok(lines)
}

/// What the stop points of the order can bring.
fn fails<'l>(library: &'l Library, order: &Order<'l>) -> Vec<&'l OnFail> {
    let in_order = |id: &str| order.ops.iter().any(|op| op.source.id == id);
    let listed = order.jobs.iter().filter_map(|id| library.job(id)).flat_map(|job| &job.ops);
    let own = listed.filter_map(|op| match op {
        JobOp::Own(op) => Some(op),
        JobOp::Use { .. } => None,
    });
    let ops = library.finishers.iter().chain(&library.shared).chain(own).filter(|op| in_order(&op.id));
    let states = order.states.iter().flat_map(|state| &state.source.on_fail);
    ops.flat_map(|op| &op.on_fail).chain(states).collect()
}

fn might_need<'l>(
    library: &'l Library,
    order: &Order<'l>,
    lines: &BTreeMap<&'l str, Line<'l>>,
    fails: &[&'l OnFail],
) -> Result<Vec<MightNeed<'l>>, OrderFault> {
    let mut might = Vec::new();
    for fail in fails {
        let mut roles: BTreeMap<&str, Option<&str>> = fail.parts.iter().map(|role| (role.as_str(), None)).collect();
        let brought =
            fail.job.as_deref().filter(|job| !library.covers(&order.jobs, job)).and_then(|job| library.job(job));
        if let Some(job) = brought {
            let parts = job.parts.iter().filter(|part| !part.optional);
            roles.extend(parts.map(|part| (part.role.as_str(), Some(job.id.as_str()))));
        }
        for (role, job) in roles.into_iter().filter(|(role, _)| !lines.contains_key(role)) {
            let counted = all_parts(library).filter(|part| part.role == role).map(|part| part.qty).max();
            let qty = counted.ok_or_else(|| LibraryFault::Dangling {
                owner: fail.hold.clone(),
                field: "on_fail",
                target: role.to_owned(),
            })?;
            might.push(MightNeed { role, qty, hold: &fail.hold, job });
        }
    }
    might.sort_by_key(|might| (might.role, might.hold));
    Ok(might)
}

fn all_parts(library: &Library) -> impl Iterator<Item = &Part> {
    let jobs = library.jobs.iter().flat_map(|job| &job.parts);
    jobs.chain(library.states.iter().flat_map(|state| &state.parts))
}
