//! Entries to the planning part of the library: texts fall away, stop points keep only what a "no" brings.

use super::entry::{AccessFile, Hold, JobLine, OpEntry, PartEntry, StateEntry};
use super::job_file::JobFile;
use crate::job::{Choice, Job, JobOp, Library, Literal, OnFail, Operation, Part, State, Variant, When};

pub(super) fn library(access: &AccessFile, jobs: &[JobFile]) -> Library {
    let variant = |entry: &super::VariantEntry| Variant {
        key: entry.key.clone(),
        value: entry.value.clone(),
        state: entry.state.clone(),
        needs: literals(&entry.needs),
    };
    let choice = |entry: &super::ChoiceEntry| Choice {
        key: entry.key.clone(),
        values: entry.values.clone(),
        default: entry.default.clone(),
    };
    Library {
        states: access.state.iter().map(state).collect(),
        finishers: access.finisher.iter().map(operation).collect(),
        shared: access.shared_op.iter().map(operation).collect(),
        variants: access.variant.iter().map(variant).collect(),
        choices: access.choice.iter().map(choice).collect(),
        jobs: jobs.iter().map(job).collect(),
    }
}

fn literals(words: &[String]) -> Vec<Literal> {
    words.iter().map(|word| Literal::of(word)).collect()
}

/// `key:value`; a word without colon names a choice that does not exist, which the lint tells.
pub(in crate::job) fn when(word: Option<&String>) -> Option<When> {
    word.map(|word| {
        let (key, value) = word.split_once(':').unwrap_or((word, ""));
        When { key: key.to_owned(), value: value.to_owned() }
    })
}

fn part(entry: &PartEntry) -> Part {
    Part { role: entry.role.clone(), qty: entry.qty, optional: entry.optional }
}

fn fails<'e>(holds: impl IntoIterator<Item = &'e Hold>) -> Vec<OnFail> {
    let brings = |hold: &Hold| {
        let fail = hold.on_fail.as_ref().filter(|fail| fail.job.is_some() || !fail.parts.is_empty())?;
        Some(OnFail { hold: hold.id.clone(), job: fail.job.clone(), parts: fail.parts.clone() })
    };
    holds.into_iter().filter_map(brings).collect()
}

fn state(entry: &StateEntry) -> State {
    State {
        id: entry.id.clone(),
        open_min: entry.open_min,
        close_min: entry.close_min,
        needs: literals(&entry.needs),
        close_needs: literals(&entry.close_needs),
        open_after: entry.open_after.clone(),
        kit: entry.kit.clone(),
        parts: entry.part.iter().map(part).collect(),
        on_fail: fails(&entry.close_holds),
    }
}

fn operation(entry: &OpEntry) -> Operation {
    Operation {
        id: entry.id.clone(),
        needs: literals(&entry.needs),
        after: entry.after.clone(),
        minutes: entry.min,
        kit: entry.kit.clone(),
        opens: entry.opens.clone(),
        finishes: entry.finishes.clone(),
        when: when(entry.when.as_ref()),
        rides: entry.stage.as_deref() == Some("ride"),
        finds: !entry.finds.is_empty(),
        on_fail: fails(&entry.hold),
    }
}

fn job(file: &JobFile) -> Job {
    let line = |line: &JobLine| match line {
        JobLine::Use(entry) => JobOp::Use { id: entry.id.clone(), when: when(entry.when.as_ref()) },
        JobLine::Own(entry) => JobOp::Own(operation(entry)),
    };
    Job {
        id: file.job.id.clone(),
        covers: file.job.covers.clone(),
        ops: file.op.iter().map(line).collect(),
        parts: file.part.iter().map(part).collect(),
        consumables: file.consumable.iter().map(|entry| entry.role.clone()).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::shipped;
    use super::*;

    #[test]
    fn a_stop_point_stays_where_a_no_brings_a_job_or_parts_and_only_there() {
        let (book, library) = (shipped(), shipped().library());
        let brings =
            |hold: &Hold| hold.on_fail.as_ref().is_some_and(|fail| fail.job.is_some() || !fail.parts.is_empty());
        let kept: Vec<&OnFail> = library
            .states
            .iter()
            .flat_map(|state| &state.on_fail)
            .chain(library.operations().flat_map(|op| &op.on_fail))
            .collect();
        let want: Vec<&Hold> = book.holds().map(|(_, hold)| hold).filter(|hold| brings(hold)).collect();
        assert_eq!(kept.len(), want.len());
        for hold in &want {
            let fail = hold.on_fail.as_ref().expect("it brings something");
            let same = |kept: &&&OnFail| kept.hold == hold.id && kept.job == fail.job && kept.parts == fail.parts;
            assert!(kept.iter().any(|kept| same(&kept)), "{}", hold.id);
        }
        assert!(want.iter().any(|hold| hold.on_fail.as_ref().is_some_and(|fail| fail.job.is_none())));
        assert!(want.iter().any(|hold| hold.on_fail.as_ref().is_some_and(|fail| fail.parts.is_empty())));
        assert!(book.holds().any(|(_, hold)| hold.on_fail.is_some() && !brings(hold)));
    }

    #[test]
    fn what_a_plan_needs_of_an_entry_is_taken_over_word_for_word() {
        let (book, library) = (shipped(), shipped().library());
        for (entry, state) in book.access().state.iter().zip(&library.states) {
            assert_eq!(
                (&entry.id, entry.open_min, entry.close_min, &entry.kit),
                (&state.id, state.open_min, state.close_min, &state.kit)
            );
            assert_eq!(
                (entry.needs.len(), entry.close_needs.len(), &entry.open_after),
                (state.needs.len(), state.close_needs.len(), &state.open_after)
            );
            let parts = entry.part.iter().zip(&state.parts);
            assert!(
                entry.part.len() == state.parts.len()
                    && parts.into_iter().all(|(one, other)| one.role == other.role
                        && one.qty == other.qty
                        && one.optional == other.optional)
            );
        }
        assert!(library.operations().zip(book.ops()).all(|(op, entry)| {
            (&op.id, &op.after, op.minutes, &op.kit, &op.opens, &op.finishes)
                == (&entry.id, &entry.after, entry.min, &entry.kit, &entry.opens, &entry.finishes)
                && op.rides == (entry.stage.as_deref() == Some("ride"))
                && op.finds != entry.finds.is_empty()
                && op.when == when(entry.when.as_ref())
        }));
        assert!(library.operations().any(|op| op.rides) && library.operations().any(|op| op.finds));
        let word = |word: &str| when(Some(&word.to_owned())).map(|when| (when.key, when.value));
        assert_eq!(word("pins:grind"), Some(("pins".to_owned(), "grind".to_owned())));
        assert_eq!((word("pins"), when(None)), (Some(("pins".to_owned(), String::new())), None));
    }
}
