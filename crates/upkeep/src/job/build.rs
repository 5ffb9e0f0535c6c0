//! Merges jobs into an [`Order`]: what each choice leaves in, what opening implies, who waits for whom.
//!
//! The states of an order are all that its operations need open, what those rest on, and what their shutting needs open. An opener or finisher is
//! added when one of its states is among them; its own needs are then followed too, until nothing is added.

use std::collections::{BTreeMap, BTreeSet};

use super::chosen::Chosen;
use super::fault::{LibraryFault, OrderFault};
use super::model::{JobOp, Library, Literal, Operation, State, When};
use super::order::{Need, Order, OrderOp, OrderState};

/// An operation on its way into the order.
struct Draft<'l> {
    source: &'l Operation,
    before: BTreeSet<&'l str>,
    jobs: Vec<&'l str>,
}

impl<'l> Order<'l> {
    /// The order of some jobs under some answers. The library must have passed its check.
    ///
    /// # Errors
    /// An unknown job, one named twice, an unknown or missing choice, or operations that wait for each other in a ring.
    pub fn build(library: &'l Library, jobs: &[&str], choices: &[(&str, &str)]) -> Result<Self, OrderFault> {
        let known = |id: &&str| library.job(id).ok_or_else(|| OrderFault::UnknownJob((*id).to_owned()));
        let selected: Vec<_> = jobs.iter().map(known).collect::<Result<_, _>>()?;
        let mut once = BTreeSet::new();
        if let Some(twice) = jobs.iter().find(|id| !once.insert(**id)) {
            return Err(OrderFault::Twice((*twice).to_owned()));
        }
        let chosen = Chosen::of(library, choices)?;
        let mut merge =
            Merge { library, chosen, asked: BTreeSet::new(), states: BTreeMap::new(), drafts: BTreeMap::new() };
        for job in &selected {
            merge.list(&job.id, &job.ops)?;
        }
        merge.imply()?;
        let order = merge.order(selected.iter().map(|job| job.id.as_str()).collect());
        order.check_cycle()?;
        Ok(order)
    }
}

struct Merge<'l> {
    library: &'l Library,
    chosen: Chosen<'l>,
    /// Choices that something depended on.
    asked: BTreeSet<&'l str>,
    /// States of the order with what they rest on.
    states: BTreeMap<&'l str, (&'l State, &'l [Literal])>,
    drafts: BTreeMap<&'l str, Draft<'l>>,
}

impl<'l> Merge<'l> {
    fn list(&mut self, job: &'l str, ops: &'l [JobOp]) -> Result<(), OrderFault> {
        let mut previous: Option<&'l str> = None;
        for op in ops {
            let (source, when) = match op {
                JobOp::Own(op) => (op, None),
                JobOp::Use { id, when } => (self.common(job, id)?, when.as_ref()),
            };
            if !self.wants(when)? || !self.wants(source.when.as_ref())? {
                continue;
            }
            let draft = self.add(source);
            draft.jobs.push(job);
            draft.before.extend(previous);
            previous = Some(&source.id);
        }
        Ok(())
    }

    fn wants(&mut self, when: Option<&'l When>) -> Result<bool, OrderFault> {
        self.asked.extend(when.map(|when| when.key.as_str()));
        self.chosen.wants(when)
    }

    fn common(&self, job: &str, id: &str) -> Result<&'l Operation, LibraryFault> {
        self.library.common().find(|op| op.id == id).ok_or_else(|| LibraryFault::Dangling {
            owner: job.to_owned(),
            field: "use",
            target: id.to_owned(),
        })
    }

    fn add(&mut self, source: &'l Operation) -> &mut Draft<'l> {
        self.drafts.entry(&source.id).or_insert_with(|| Draft {
            source,
            before: source.after.iter().map(String::as_str).collect(),
            jobs: Vec::new(),
        })
    }

    /// Follows needs to states and states to openers and finishers until nothing is added.
    fn imply(&mut self) -> Result<(), OrderFault> {
        loop {
            let sources: Vec<_> = self.drafts.values().map(|draft| draft.source).collect();
            for op in sources {
                for state in op.needs.iter().filter_map(Literal::open) {
                    self.follow(&op.id, state)?;
                }
            }
            let before = self.drafts.len();
            let library = self.library;
            for op in library.common().filter(|op| op.is_implied()) {
                let touched = op.opens.iter().chain(&op.finishes).any(|state| self.states.contains_key(state.as_str()));
                if touched && !self.drafts.contains_key(op.id.as_str()) && self.wants(op.when.as_ref())? {
                    self.add(op);
                }
            }
            if self.drafts.len() == before {
                return Ok(());
            }
        }
    }

    /// Takes in a state and all that it rests on.
    fn follow(&mut self, owner: &str, state: &str) -> Result<(), LibraryFault> {
        let mut todo = vec![(owner.to_owned(), state.to_owned())];
        while let Some((owner, state)) = todo.pop() {
            if self.states.contains_key(state.as_str()) {
                continue;
            }
            let Some(source) = self.library.state(&state) else {
                return Err(LibraryFault::Dangling { owner, field: "needs", target: state });
            };
            let needs = self.needs_of(source);
            self.states.insert(&source.id, (source, needs));
            let wanted = needs.iter().chain(&source.close_needs).filter_map(Literal::open);
            todo.extend(wanted.map(|wanted| (source.id.clone(), wanted.to_owned())));
        }
        Ok(())
    }

    /// What a state rests on: its own needs, or those of the last variant that fits.
    fn needs_of(&mut self, state: &'l State) -> &'l [Literal] {
        let mut needs = state.needs.as_slice();
        let library = self.library;
        for variant in library.variants.iter().filter(|variant| variant.state == state.id) {
            self.asked.insert(&variant.key);
            if self.chosen.answer(&variant.key) == Some(&variant.value) {
                needs = &variant.needs;
            }
        }
        needs
    }

    fn order(self, jobs: Vec<&'l str>) -> Order<'l> {
        let states: Vec<_> = self.states.keys().copied().collect();
        let ops: Vec<_> = self.drafts.keys().copied().collect();
        let index = Index { states: &states, ops: &ops };
        let work: Vec<_> = (0..ops.len())
            .zip(self.drafts.values())
            .filter(|(_, draft)| !draft.source.rides)
            .map(|(number, _)| number)
            .collect();
        let merged = self.drafts.values().map(|draft| {
            let mut after = index.ops(draft.before.iter().copied());
            if draft.source.rides {
                after.extend(&work);
                after.sort_unstable();
                after.dedup();
            }
            OrderOp {
                source: draft.source,
                needs: index.need(&draft.source.needs),
                after,
                opens: index.states(draft.source.opens.iter().map(String::as_str)),
                finishes: index.states(draft.source.finishes.iter().map(String::as_str)),
                jobs: draft.jobs.clone(),
            }
        });
        let merged: Vec<_> = merged.collect();
        let opened = self.states.values().enumerate().map(|(number, (source, needs))| {
            let mut open_after = index.ops(source.open_after.iter().map(String::as_str));
            open_after.extend((0..merged.len()).filter(|op| merged[*op].opens.contains(&number)));
            open_after.sort_unstable();
            open_after.dedup();
            let close_needs = index.need(&source.close_needs);
            OrderState { source, needs: index.need(needs), close_needs, open_after }
        });
        Order { jobs, turns_on: self.asked.iter().copied().collect(), states: opened.collect(), ops: merged }
    }
}

/// Names to places in the order; names that are not in it fall away.
struct Index<'a> {
    states: &'a [&'a str],
    ops: &'a [&'a str],
}

impl Index<'_> {
    fn places<'n>(names: &[&str], wanted: impl Iterator<Item = &'n str>) -> Vec<usize> {
        let found: BTreeSet<_> = wanted.filter_map(|name| names.binary_search(&name).ok()).collect();
        found.into_iter().collect()
    }

    fn ops<'n>(&self, wanted: impl Iterator<Item = &'n str>) -> Vec<usize> {
        Self::places(self.ops, wanted)
    }

    fn states<'n>(&self, wanted: impl Iterator<Item = &'n str>) -> Vec<usize> {
        Self::places(self.states, wanted)
    }

    /// A state that the order never opens is always shut.
    fn need(&self, literals: &[Literal]) -> Need {
        let shut = literals.iter().filter_map(|literal| match literal {
            Literal::Shut(state) => Some(state.as_str()),
            Literal::Open(_) | Literal::AllShut => None,
        });
        Need {
            open: self.states(literals.iter().filter_map(Literal::open)),
            shut: self.states(shut),
            all_shut: literals.contains(&Literal::AllShut),
        }
    }
}
