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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::shipped;

    fn ticked(jobs: &[&str], steps: usize) -> Bench {
        let at = "2026-09-24T17:00".parse().expect("a time");
        let bench = Bench {
            id: 1,
            at,
            jobs: jobs.iter().map(|job| (*job).to_owned()).collect(),
            choices: vec![("front-retention".to_owned(), "nut".to_owned())],
            setup: [14, 48, 118],
            lines: Vec::new(),
        };
        let stand = bench.stand(shipped()).expect("an order");
        let tick = |act: &Act| What::Ticked { step: stand.order.token(*act), reason: None, answers: Vec::new() };
        let ticks: Vec<What> = stand.rest.steps.iter().take(steps).map(tick).collect();
        bench.with(at, None, &ticks)
    }

    #[test]
    fn a_job_that_comes_in_late_takes_back_exactly_the_finishers_that_sealed_what_it_opens() {
        let book = shipped();
        let (mut plain, mut again) = (0, 0);
        for (first, added) in [
            ("rear-tyre", "brake-pads-rear"),
            ("brake-pads-rear", "rear-wheel-bearings"),
            ("final-drive-set", "countershaft-seal"),
            ("chain-cut-join", "rear-tyre"),
            ("coolant", "gearbox-oil"),
            ("gearbox-oil", "clutch-plates"),
            ("clutch-plates", "gearbox-oil"),
        ] {
            let bench = ticked(&[first], usize::MAX);
            let opened = Order::build(book.library(), &[added], &[("front-retention", "nut")]).expect("an order");
            let seals = |id: &str| {
                let op = book.op(id).expect("an operation");
                op.finishes.iter().any(|state| opened.states.iter().any(|known| known.source.id == *state))
            };
            let ticks = bench.ticks();
            let sealed: Vec<&str> =
                ticks.iter().filter_map(|(_, step, _)| step.strip_prefix("do:")).filter(|id| seals(id)).collect();
            let come = What::Added { job: added.to_owned(), reason: "found".to_owned() };
            let outright = bench.with(bench.at, None, std::slice::from_ref(&come)).stand(book).is_ok();
            let Ok(what) = bench.taking_in(book, added, "found") else {
                assert!(!outright, "{first} {added}");
                continue;
            };
            assert_eq!(what[0], come);
            let back: Vec<String> = what[1..]
                .iter()
                .map(|line| match line {
                    What::Unticked { step, reason } if reason.contains(added) => step.clone(),
                    other => unreachable!("{other:?}"),
                })
                .collect();
            let want: Vec<String> = sealed.iter().rev().map(|id| format!("do:{id}")).collect();
            assert_eq!(back, if outright { Vec::new() } else { want }, "{first} {added}");
            assert!(bench.with(bench.at, None, &what).stand(book).is_ok());
            plain += usize::from(outright);
            again += usize::from(!outright);
        }
        assert!(plain > 0 && again > 0, "{plain} outright, {again} with something done again");
    }

    #[test]
    fn the_whole_is_what_was_done_and_what_is_to_come() {
        let (all, some) = (ticked(&["rear-tyre"], 0), ticked(&["rear-tyre"], 4));
        let (all, some) = (all.stand(shipped()).expect("an order"), some.stand(shipped()).expect("an order"));
        assert_eq!((some.done.len(), some.rest.steps.len() + 4), (4, all.rest.steps.len()));
        assert_eq!(some.done, all.rest.steps[..4]);
        assert_eq!(some.whole().steps, [&some.done[..], &some.rest.steps[..]].concat());
        let next = some.rest.steps[0];
        assert_eq!(some.against(next), []);
        assert_eq!(some.against(some.done[0]), [Blocker::Already]);
        assert!(some.rest.steps[1..].iter().any(|act| !some.against(*act).is_empty()));
    }
}
