//! A tick's form to what was typed: fields by the names that the advice gives them.

use advice::bench::take::{Trouble, TypedHold, TypedStep};

use crate::frame::field::Fault as FieldFault;

/// What was typed for a step; kept to be shown again.
pub(super) fn step(fields: &[(String, String)]) -> TypedStep {
    let mut typed = TypedStep::default();
    for (name, text) in fields {
        let hold = |typed: &mut TypedStep, id: &str, put: &dyn Fn(&mut TypedHold)| {
            if let Some((_, known)) = typed.holds.iter_mut().find(|(known, _)| known == id) {
                put(known);
            } else {
                let mut new = TypedHold::default();
                put(&mut new);
                typed.holds.push((id.to_owned(), new));
            }
        };
        match name.split_once('-') {
            Some(("read", caution)) => typed.read.push(caution.to_owned()),
            Some(("value", id)) => hold(&mut typed, id, &|hold| hold.value.clone_from(text)),
            Some(("passes", id)) => hold(&mut typed, id, &|hold| hold.passes.clone_from(text)),
            Some(("reason", id)) => hold(&mut typed, id, &|hold| hold.reason.clone_from(text)),
            Some(("waive", id)) => hold(&mut typed, id, &|hold| hold.waived = true),
            _ => match name.as_str() {
                "step" => typed.step.clone_from(text),
                "reason" => typed.reason.clone_from(text),
                "cure_h" => typed.cure_h.clone_from(text),
                _ => {}
            },
        }
    }
    typed
}

/// What was typed for one stop point.
pub(super) fn hold<'t>(typed: &'t TypedStep, id: &str) -> Option<&'t TypedHold> {
    typed.holds.iter().find(|(known, _)| known == id).map(|(_, hold)| hold)
}

/// What is wrong with a form, by field.
#[derive(Clone, Copy)]
pub(super) struct Told<'t>(pub(super) &'t [Trouble]);

impl<'t> Told<'t> {
    /// The sentence at a field; empty if nothing is wrong there.
    pub(super) fn at(self, field: &str) -> &'t str {
        self.0.iter().find(|one| one.field == field).map_or("", |one| one.text.as_str())
    }

    /// Every sentence with its field, for the list above the form.
    pub(super) fn list(self) -> Vec<FieldFault<'t>> {
        self.0.iter().map(|one| FieldFault { field: &one.field, text: &one.text }).collect()
    }
}
