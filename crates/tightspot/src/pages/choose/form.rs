//! The fields of these pages: what was typed stays, each fault stands at its field and above the form.

use axum::response::Response;
use maud::{Markup, html};

use crate::asked::{Door, Faulty};
use crate::frame::field::{Fault, Field, fault_summary, field, select};
use crate::frame::{Head, details};
use crate::pages::bike::sentence;
use crate::serve::Visit;

/// What was typed, and what is wrong with it.
pub(super) struct Typed {
    texts: Vec<(String, String)>,
    faults: Vec<Faulty>,
}

impl Typed {
    pub(super) fn of(texts: Vec<(String, String)>) -> Self {
        Self { texts, faults: Vec::new() }
    }

    /// The text of a field, if it came.
    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.texts.iter().find(|(known, _)| known == name).map(|(_, text)| text.as_str())
    }

    /// Everything that was typed, so that unlike questions are unlike.
    pub(super) fn all(&self) -> String {
        format!("{:?}", self.texts)
    }

    /// Takes the faults that were found at the door.
    pub(super) fn faults(&mut self, door: Door) {
        let told = |fault: Faulty| Faulty { text: sentence(fault.field, &fault.text), ..fault };
        self.faults.extend(door.faults.into_iter().map(told));
    }

    /// Takes a fault that the answer found.
    pub(super) fn fault(&mut self, field: &'static str, text: &str) {
        self.faults.push(Faulty { field, text: sentence(field, text) });
    }

    pub(super) fn is_faulty(&self) -> bool {
        !self.faults.is_empty()
    }

    /// All faults above the form.
    pub(super) fn summary(&self) -> Markup {
        let faults: Vec<Fault<'_>> =
            self.faults.iter().map(|fault| Fault { field: fault.field, text: &fault.text }).collect();
        html! { @if !faults.is_empty() { (fault_summary(&faults)) } }
    }

    /// A field with what was typed and what is wrong with it.
    pub(super) fn field(&self, one: Field<'_>, hint: &str) -> Markup {
        let fault = self.faults.iter().find(|fault| fault.field == one.name).map_or("", |fault| &fault.text);
        field(&Field { value: self.text(one.name).unwrap_or(""), fault, hint, ..one })
    }

    /// The same, where one of a few words is chosen.
    pub(super) fn choose(&self, one: Field<'_>, hint: &str, options: &[(&str, &str)]) -> Markup {
        let fault = self.faults.iter().find(|fault| fault.field == one.name).map_or("", |fault| &fault.text);
        select(&Field { value: self.text(one.name).unwrap_or(""), fault, hint, ..one }, options)
    }

    /// Fields folded away until one of them is used or wrong.
    pub(super) fn unfolding(&self, summary: &str, names: &[&str], inside: &Markup) -> Markup {
        let used = |name: &&str| self.text(name).is_some_and(|text| !text.trim().is_empty());
        if names.iter().any(used) || self.faults.iter().any(|fault| names.contains(&fault.field)) {
            return html! { details class="more" open { summary { (summary) } div class="more-in" { (inside) } } };
        }
        details(summary, inside)
    }

    /// The page: status 422 while something is wrong.
    pub(super) fn answer(&self, visit: &Visit, head: Head<'_>, main: &Markup) -> Response {
        if self.is_faulty() { visit.show_faults(head, main) } else { visit.show(head, main) }
    }
}
