//! Whether a library holds together: names are unique and point at something.
//!
//! `after`, `open_after`, `opens`, `finishes`, `covers` and `finds` may name what is not there: they speak of what
//! else could be in an order, and a small library is a cut-out of a larger one.

use std::collections::{HashMap, HashSet};

use super::fault::LibraryFault;
use super::model::{JobOp, Library, Literal, OnFail, Operation, When};

impl Library {
    /// Checks names and references.
    ///
    /// # Errors
    /// The first fault found.
    pub fn check(&self) -> Result<(), LibraryFault> {
        unique("state", self.states.iter().map(|state| state.id.as_str()))?;
        unique("job", self.jobs.iter().map(|job| job.id.as_str()))?;
        unique("choice", self.choices.iter().map(|choice| choice.key.as_str()))?;
        self.one_operation_per_id()?;
        let known = Known {
            states: self.states.iter().map(|state| state.id.as_str()).collect(),
            jobs: self.jobs.iter().map(|job| job.id.as_str()).collect(),
            common: self.common().map(|op| op.id.as_str()).collect(),
            answers: self.choices.iter().map(|choice| (choice.key.as_str(), choice.values.as_slice())).collect(),
        };
        self.check_states(&known)?;
        self.operations().try_for_each(|op| known.operation(op))?;
        self.check_uses(&known)?;
        self.check_choices(&known)
    }

    /// The same name may stand in several jobs if it is the same operation.
    fn one_operation_per_id(&self) -> Result<(), LibraryFault> {
        unique("operation", self.common().map(|op| op.id.as_str()))?;
        let mut seen: HashMap<&str, &Operation> = HashMap::new();
        for op in self.operations() {
            if seen.insert(&op.id, op).is_some_and(|first| first != op) {
                return Err(LibraryFault::SameId { kind: "operation", id: op.id.clone() });
            }
        }
        Ok(())
    }

    fn check_states(&self, known: &Known<'_>) -> Result<(), LibraryFault> {
        for state in &self.states {
            known.literals(&state.id, "needs", &state.needs)?;
            known.literals(&state.id, "close_needs", &state.close_needs)?;
            known.fails(&state.id, &state.on_fail)?;
        }
        Ok(())
    }

    fn check_uses(&self, known: &Known<'_>) -> Result<(), LibraryFault> {
        for job in &self.jobs {
            for op in &job.ops {
                if let JobOp::Use { id, when } = op {
                    if !known.common.contains(id.as_str()) {
                        return Err(dangling(&job.id, "use", id));
                    }
                    known.when(&job.id, when.as_ref())?;
                }
            }
        }
        Ok(())
    }

    fn check_choices(&self, known: &Known<'_>) -> Result<(), LibraryFault> {
        for variant in &self.variants {
            known.answer(&variant.key, "variants", &variant.key, &variant.value)?;
            if !known.states.contains(variant.state.as_str()) {
                return Err(dangling(&variant.key, "variants", &variant.state));
            }
        }
        for choice in &self.choices {
            if let Some(default) = &choice.default {
                known.answer(&choice.key, "default", &choice.key, default)?;
            }
        }
        Ok(())
    }
}

fn dangling(owner: &str, field: &'static str, target: &str) -> LibraryFault {
    LibraryFault::Dangling { owner: owner.to_owned(), field, target: target.to_owned() }
}

fn unique<'l>(kind: &'static str, ids: impl Iterator<Item = &'l str>) -> Result<(), LibraryFault> {
    let mut seen = HashSet::new();
    for id in ids {
        if !seen.insert(id) {
            return Err(LibraryFault::SameId { kind, id: id.to_owned() });
        }
    }
    Ok(())
}

struct Known<'l> {
    states: HashSet<&'l str>,
    jobs: HashSet<&'l str>,
    common: HashSet<&'l str>,
    answers: HashMap<&'l str, &'l [String]>,
}

impl Known<'_> {
    fn literals(&self, owner: &str, field: &'static str, literals: &[Literal]) -> Result<(), LibraryFault> {
        match literals.iter().filter_map(Literal::state).find(|state| !self.states.contains(state)) {
            Some(state) => Err(dangling(owner, field, state)),
            None => Ok(()),
        }
    }

    fn operation(&self, op: &Operation) -> Result<(), LibraryFault> {
        self.literals(&op.id, "needs", &op.needs)?;
        self.when(&op.id, op.when.as_ref())?;
        self.fails(&op.id, &op.on_fail)
    }

    fn fails(&self, owner: &str, fails: &[OnFail]) -> Result<(), LibraryFault> {
        match fails.iter().filter_map(|fail| fail.job.as_deref()).find(|job| !self.jobs.contains(job)) {
            Some(job) => Err(dangling(owner, "on_fail", job)),
            None => Ok(()),
        }
    }

    fn when(&self, owner: &str, when: Option<&When>) -> Result<(), LibraryFault> {
        when.map_or(Ok(()), |when| self.answer(owner, "when", &when.key, &when.value))
    }

    fn answer(&self, owner: &str, field: &'static str, key: &str, value: &str) -> Result<(), LibraryFault> {
        match self.answers.get(key) {
            Some(values) if values.iter().any(|known| known == value) => Ok(()),
            _ => Err(dangling(owner, field, &format!("{key}:{value}"))),
        }
    }
}
