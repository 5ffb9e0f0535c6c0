//! Names in the job files must lead somewhere, also those that the planner would let fall.

use super::Found;
use crate::job::handbook::entry::{FailEntry, OpEntry, StateEntry};
use crate::job::handbook::read::Handbook;

/// Names that lead nowhere.
pub(super) fn references(book: &Handbook) -> Vec<Found> {
    let mut found = Vec::new();
    for state in &book.access().state {
        found.extend(of_state(book, state));
    }
    for op in book.ops() {
        found.extend(of_op(book, op));
    }
    let job = |id: &str| book.job(id).is_some();
    for file in book.jobs() {
        found.extend(lost(&file.job.id, "covers", &file.job.covers, job));
        found.extend(lost(&file.job.id, "consider_with", &file.job.consider_with, job));
    }
    for (_, hold) in book.holds() {
        let FailEntry { parts, redo, .. } = hold.on_fail.clone().unwrap_or_default();
        found.extend(lost(&hold.id, "on_fail parts", &parts, |role| is_role(book, role)));
        found.extend(lost(&hold.id, "on_fail redo", &redo, |id| book.op(id).is_some()));
        found.extend(lost(&hold.id, "why", hold.why.as_slice(), |id| book.caution(id).is_some()));
    }
    for caution in book.cautions() {
        found.extend(lost(&caution.id, "when", caution.when.as_slice(), |word| is_answer(book, word)));
    }
    found
}

fn lost(owner: &str, field: &str, names: &[String], known: impl Fn(&str) -> bool) -> Vec<Found> {
    names.iter().filter(|name| !known(name)).map(|name| Found::dangling(owner, field, name)).collect()
}

fn of_state(book: &Handbook, state: &StateEntry) -> Vec<Found> {
    let mut found = lost(&state.id, "open_after", &state.open_after, |id| book.op(id).is_some());
    found.extend(lost(&state.id, "cautions", &state.cautions, |id| book.caution(id).is_some()));
    found.extend(lost(&state.id, "tags", &state.tags, |tag| is_tag(book, tag)));
    found.extend(lost(&state.id, "kit", std::slice::from_ref(&state.kit), |id| is_kit(book, id)));
    found
}

fn of_op(book: &Handbook, op: &OpEntry) -> Vec<Found> {
    let mut found = lost(&op.id, "after", &op.after, |id| book.op(id).is_some());
    found.extend(lost(&op.id, "opens", &op.opens, |id| book.state(id).is_some()));
    found.extend(lost(&op.id, "finishes", &op.finishes, |id| book.state(id).is_some()));
    found.extend(lost(&op.id, "cautions", &op.cautions, |id| book.caution(id).is_some()));
    found.extend(lost(&op.id, "tags", &op.tags, |tag| is_tag(book, tag)));
    found.extend(lost(&op.id, "kit", std::slice::from_ref(&op.kit), |id| is_kit(book, id)));
    found.extend(lost(&op.id, "finds", &op.finds, |name| book.job(name).is_some() || is_role(book, name)));
    found.extend(lost(&op.id, "stage", op.stage.as_slice(), |stage| stage == "ride"));
    found
}

fn is_kit(book: &Handbook, id: &str) -> bool {
    id.is_empty() || book.kit(id).is_some()
}

fn is_tag(book: &Handbook, tag: &str) -> bool {
    book.cautions().iter().any(|caution| caution.applies.iter().any(|applies| applies == tag))
}

fn is_role(book: &Handbook, role: &str) -> bool {
    book.part(role).is_some()
}

fn is_answer(book: &Handbook, word: &str) -> bool {
    let (key, value) = word.split_once(':').unwrap_or((word, ""));
    let choice = book.access().choice.iter().find(|choice| choice.key == key);
    choice.is_some_and(|choice| choice.values.iter().any(|known| known == value))
}

/// A figure's id means the same figure in every job, and every figure asked for is described.
pub(super) fn figures(book: &Handbook) -> Vec<Found> {
    let mut found = Vec::new();
    for figure in book.figures() {
        let same = book.figure(&figure.id).is_some_and(|first| {
            first.kind == figure.kind && first.unit == figure.unit && first.fallback == figure.fallback
        });
        if !same {
            found.push(Found::new(&figure.id, "id", format!("figure \"{}\" is not the same everywhere", figure.id)));
        }
    }
    let known = |id: &str| book.figure(id).is_some();
    for op in book.ops() {
        found.extend(lost(&op.id, "figures", &op.figures, known));
    }
    for (_, hold) in book.holds() {
        found.extend(lost(&hold.id, "accept_figure", hold.accept_figure.as_slice(), known));
    }
    found
}
