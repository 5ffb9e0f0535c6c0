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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Choice, Job, State, Variant};

    fn operation(id: &str) -> Operation {
        Operation {
            id: id.to_owned(),
            needs: vec![Literal::of("s"), Literal::of("!t"), Literal::AllShut],
            after: vec!["nowhere".to_owned()],
            minutes: 1,
            kit: String::new(),
            opens: vec!["nowhere".to_owned()],
            finishes: vec!["nowhere".to_owned()],
            when: Some(When { key: "c".to_owned(), value: "two".to_owned() }),
            rides: false,
            finds: true,
            on_fail: vec![fail("j"), OnFail { hold: "h".to_owned(), job: None, parts: Vec::new() }],
        }
    }

    fn fail(job: &str) -> OnFail {
        OnFail { hold: "h".to_owned(), job: Some(job.to_owned()), parts: vec!["nowhere".to_owned()] }
    }

    fn state(id: &str) -> State {
        State {
            id: id.to_owned(),
            open_min: 1,
            close_min: 1,
            needs: vec![Literal::of("!s"), Literal::AllShut],
            close_needs: vec![Literal::of("t")],
            open_after: vec!["nowhere".to_owned()],
            kit: String::new(),
            parts: Vec::new(),
            on_fail: vec![fail("k")],
        }
    }

    fn job(id: &str, own: &str) -> Job {
        let when = Some(When { key: "c".to_owned(), value: "one".to_owned() });
        let ops = vec![JobOp::Own(operation(own)), JobOp::Use { id: "shared".to_owned(), when }];
        Job {
            id: id.to_owned(),
            covers: vec!["nowhere".to_owned()],
            ops: [ops, vec![JobOp::Use { id: "finisher".to_owned(), when: None }]].concat(),
            parts: Vec::new(),
            consumables: Vec::new(),
        }
    }

    fn library() -> Library {
        Library {
            states: vec![state("s"), state("t")],
            finishers: vec![operation("finisher")],
            shared: vec![operation("shared")],
            variants: vec![Variant {
                key: "c".to_owned(),
                value: "one".to_owned(),
                state: "t".to_owned(),
                needs: Vec::new(),
            }],
            choices: vec![Choice {
                key: "c".to_owned(),
                values: vec!["one".to_owned(), "two".to_owned()],
                default: Some("two".to_owned()),
            }],
            // The same operation may stand in two jobs.
            jobs: vec![job("j", "own"), job("k", "own")],
        }
    }

    fn with(change: impl Fn(&mut Library)) -> Result<(), LibraryFault> {
        let mut library = library();
        change(&mut library);
        library.check()
    }

    fn own(library: &mut Library) -> &mut Operation {
        library.jobs.truncate(1);
        library.jobs.push(Job { ops: Vec::new(), ..job("k", "own") });
        match &mut library.jobs[0].ops[0] {
            JobOp::Own(op) => op,
            JobOp::Use { .. } => unreachable!("it is its own"),
        }
    }

    #[test]
    fn a_library_whose_names_lead_somewhere_holds_wherever_they_may_lead_nowhere() {
        assert_eq!(library().check(), Ok(()));
        assert_eq!(Library::default().check(), Ok(()));
        assert_eq!(with(|library| library.choices[0].default = None), Ok(()));
    }

    #[test]
    fn two_of_one_name_are_told_by_their_kind() {
        let same = |kind, id: &str| Err(LibraryFault::SameId { kind, id: id.to_owned() });
        assert_eq!(with(|library| library.states.push(state("s"))), same("state", "s"));
        assert_eq!(with(|library| library.jobs.push(job("k", "own"))), same("job", "k"));
        assert_eq!(with(|library| library.choices.push(library.choices[0].clone())), same("choice", "c"));
        assert_eq!(with(|library| library.shared.push(operation("shared"))), same("operation", "shared"));
        assert_eq!(with(|library| library.finishers.push(operation("shared"))), same("operation", "shared"));
        assert_eq!(with(|library| library.jobs.push(job("l", "shared"))), Ok(()), "word for word the same");
        let other = |library: &mut Library, id: &str| {
            let mut other = job("l", id);
            other.ops[0] = JobOp::Own(Operation { minutes: 2, ..operation(id) });
            library.jobs.push(other);
        };
        assert_eq!(with(|library| other(library, "own")), same("operation", "own"));
        assert_eq!(with(|library| other(library, "shared")), same("operation", "shared"));
        assert_eq!(with(|library| other(library, "its own")), Ok(()));
    }

    #[test]
    fn a_name_that_leads_nowhere_is_told_with_who_says_it_and_where() {
        let lost = |owner: &str, field, target: &str| {
            Err(LibraryFault::Dangling { owner: owner.to_owned(), field, target: target.to_owned() })
        };
        let nowhere = || Literal::of("!x");
        let when = |word: &str| {
            let (key, value) = word.split_once(':').unwrap();
            Some(When { key: key.to_owned(), value: value.to_owned() })
        };
        assert_eq!(with(|library| library.states[1].needs.push(nowhere())), lost("t", "needs", "x"));
        assert_eq!(with(|library| library.states[0].close_needs.push(nowhere())), lost("s", "close_needs", "x"));
        assert_eq!(with(|library| library.states[1].on_fail.push(fail("x"))), lost("t", "on_fail", "x"));
        for (field, change) in [
            ("needs", (&|op: &mut Operation| op.needs.push(Literal::of("x"))) as &dyn Fn(&mut Operation)),
            ("on_fail", &|op: &mut Operation| op.on_fail.push(fail("x"))),
        ] {
            assert_eq!(with(|library| change(own(library))), lost("own", field, "x"));
            assert_eq!(with(|library| change(&mut library.shared[0])), lost("shared", field, "x"));
            assert_eq!(with(|library| change(&mut library.finishers[0])), lost("finisher", field, "x"));
        }
        for word in ["c:three", "d:one"] {
            assert_eq!(with(|library| own(library).when = when(word)), lost("own", "when", word));
            let used = |library: &mut Library| {
                library.jobs[1].ops[1] = JobOp::Use { id: "shared".to_owned(), when: when(word) };
            };
            assert_eq!(with(used), lost("k", "when", word));
            let varied = |library: &mut Library| {
                let When { key, value } = when(word).unwrap();
                library.variants[0] = Variant { key, value, ..library.variants[0].clone() };
            };
            assert_eq!(with(varied), lost(&word[..1], "variants", word));
        }
        let used = |library: &mut Library| library.jobs[1].ops.push(JobOp::Use { id: "own".to_owned(), when: None });
        assert_eq!(with(used), lost("k", "use", "own"));
        assert_eq!(with(|library| library.variants[0].state = "x".to_owned()), lost("c", "variants", "x"));
        assert_eq!(with(|library| library.choices[0].default = Some("x".to_owned())), lost("c", "default", "c:x"));
    }
}
