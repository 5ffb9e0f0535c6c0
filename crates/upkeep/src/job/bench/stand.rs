//! Where an order stands: what is done, what is open, and the way to its end.

use super::super::fault::OrderFault;
use super::super::handbook::Handbook;
use super::super::order::{Act, Order};
use super::super::plan::{Plan, Progress, plan_from};
use super::rules::blockers;
use super::rules::passed_over;
use super::{Bench, Blocker, What};

/// Where an order stands.
#[derive(Debug, Clone)]
pub struct Stand<'h> {
    /// The merged order.
    pub order: Order<'h>,
    /// Steps done, in the order in which they were ticked.
    pub done: Vec<Act>,
    /// What follows from them.
    pub progress: Progress<'h>,
    /// The way to the end from here.
    pub rest: Plan,
}

impl Stand<'_> {
    /// What stands against a step here and now: the rules, and work that it would pass over. Empty where it is in turn.
    #[must_use]
    pub fn against(&self, act: Act) -> Vec<Blocker> {
        let mut found = blockers(&self.order, &self.progress, act);
        found.extend(passed_over(&self.order, &self.rest.steps, act));
        found.sort_unstable();
        found.dedup();
        found
    }

    /// What was done and what is to come as one plan.
    #[must_use]
    pub fn whole(&self) -> Plan {
        let mut whole = self.rest.clone();
        whole.steps.splice(0..0, self.done.iter().copied());
        whole
    }
}

impl Bench {
    /// Where the order stands, planned anew from here.
    ///
    /// # Errors
    /// The jobs make no order, or the end cannot be reached from here.
    pub fn stand<'h>(&self, handbook: &'h Handbook) -> Result<Stand<'h>, OrderFault> {
        let choices: Vec<(&str, &str)> =
            self.choices.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
        let order = Order::build(handbook.library(), &self.jobs_now(), &choices)?;
        let (mut progress, mut done) = (Progress::default(), Vec::new());
        // A step of a job that the library no longer lists says nothing about the rest.
        for act in self.ticks().iter().filter_map(|(_, step, _)| order.act(step)) {
            progress.take(&order, act);
            done.push(act);
        }
        let rest = plan_from(&order, &progress)?;
        Ok(Stand { order, done, progress, rest })
    }

    /// What has to be done again so that a job can come in: the finishers that sealed what it opens.
    ///
    /// # Errors
    /// The job cannot come in from here, whatever is done again.
    pub fn taking_in(&self, handbook: &Handbook, job: &str, reason: &str) -> Result<Vec<What>, OrderFault> {
        let mut what = vec![What::Added { job: job.to_owned(), reason: reason.to_owned() }];
        let first = match self.with(self.at, None, &what).stand(handbook) {
            Ok(_) => return Ok(what),
            Err(fault) => fault,
        };
        let alone: Vec<(&str, &str)> = self.choices.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
        let opened = Order::build(handbook.library(), &[job], &alone)?;
        let opens = |id: &str| opened.states.iter().any(|state| state.source.id == id);
        let mut again: Vec<String> = Vec::new();
        for (_, step, _) in self.ticks() {
            let Some(id) = step.strip_prefix("do:") else { continue };
            let seals = handbook.op(id).is_some_and(|op| op.finishes.iter().any(|state| opens(state)));
            if seals && !again.iter().any(|known| known == step) {
                again.push(step.to_owned());
            }
        }
        if again.is_empty() {
            return Err(first);
        }
        let why = format!("{job} opens it again");
        what.extend(again.into_iter().rev().map(|step| What::Unticked { step, reason: why.clone() }));
        self.with(self.at, None, &what).stand(handbook).map(|_| what)
    }
}
