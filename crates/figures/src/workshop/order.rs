//! `job.order`: the cheapest valid sequence of several jobs.

use serde_json::Value;
use upkeep::job::{Order, Plan, least_access, plan};

use super::asked::{Asked, CHOICES, JOBS, LIBRARY, refused};
use crate::{Answer, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "job.order",
    says: "The sequence of work that does several jobs with the least opening and shutting.",
    given: &[JOBS, CHOICES, LIBRARY],
    answer: &[
        ("access_min", "minutes of opening and shutting"),
        ("find_wait_min", "minutes that findings wait: each other operation, times the findings still due"),
        ("kit_changes", "changes of tools, the first pick-up counts"),
        ("job_switches", "changes from one job to another"),
        ("work_min", "minutes of the work itself"),
        ("saved_min", "minutes saved against one order for each job; null where a job cannot be done alone"),
        ("plan", "open:STATE, do:OPERATION, close:STATE"),
        ("proven", "whether no valid plan costs less"),
    ],
    formula: "exact search; access, waiting, tools and jobs compared in this order",
    sources: &["work-order", "job-library"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let asked = Asked::of(given)?;
    let order = asked.order(&asked.jobs)?;
    let plan = plan(&order).map_err(|fault| refused(&fault))?;
    let saved = saved(&asked, &order, &plan);
    let steps: Vec<_> = plan.steps.iter().map(|act| order.token(*act)).collect();
    let again: Vec<_> = plan.opened_again().into_iter().map(|state| order.states[state].source.id.as_str()).collect();
    Ok(Answer::new()
        .json("access_min", plan.cost.access_min)
        .json("find_wait_min", plan.cost.find_wait_min)
        .json("kit_changes", plan.cost.kit_changes)
        .json("job_switches", plan.cost.job_switches)
        .json("work_min", order.work_min())
        .json("saved_min", saved.map_or(Value::Null, Value::from))
        .json("plan", steps)
        .flag("proven", plan.proven)
        .notice_if(!plan.proven, "not_proven", || {
            format!("{} operations are too many to prove: a good order, not proven shortest.", order.ops.len())
        })
        .notice_if(!again.is_empty(), "opened_again", || {
            format!("The work asks for it: opened more than once: {}.", again.join(", "))
        }))
}

/// Access and work minutes of one order for each job, less those of the common one.
fn saved(asked: &Asked<'_>, order: &Order<'_>, plan: &Plan) -> Option<i64> {
    let together = i64::try_from(plan.cost.access_min + order.work_min()).ok()?;
    if asked.jobs.len() < 2 {
        return Some(0);
    }
    let alone = |job: &&str| {
        let order = asked.order(&[job]).ok()?;
        i64::try_from(least_access(&order).ok()? + order.work_min()).ok()
    };
    let apart = asked.jobs.iter().map(alone).sum::<Option<i64>>()?;
    Some(apart - together)
}
