//! What a page about gearing was asked: typed text → the setup, every fault at its field; and the fields themselves.

use advice::{Gap, Setup};
use maud::{Markup, html};

use crate::asked::{Door, Faulty};
use crate::frame::field::{self, Field};
use crate::pages::typed::Typed;
use crate::serve::encoded;

/// The fields of a setup, in the order of the form.
const COUNTS: [&str; 3] = ["front_teeth", "rear_teeth", "links"];

/// What was typed, and what came of it.
pub(super) struct Question {
    typed: Typed,
    /// What is fitted.
    pub(super) fitted: Setup,
    /// The setup asked about; what is fitted where nothing was typed.
    pub(super) setup: Setup,
    /// Faults of rides' weights, by the name of their field.
    pub(super) weight_faults: Vec<(String, String)>,
}

impl Question {
    /// Reads the three counts of a setup.
    pub(super) fn read(fitted: Setup, typed: Typed) -> Self {
        let mut question = Self { typed, fitted, setup: fitted, weight_faults: Vec::new() };
        let mut door = Door::default();
        let [front, rear, links] = COUNTS.map(|name| question.text(name));
        question.setup = door.teeth(fitted, front, rear, links);
        question.fault_all(door.faults);
        question
    }

    /// Reads a setup and asks about it: what cannot be answered because of a typed count is a fault of that field.
    pub(super) fn asking<V>(
        fitted: Setup,
        typed: Typed,
        ask: impl FnOnce(Setup) -> Result<V, Gap>,
    ) -> (Self, Result<V, Gap>) {
        let mut question = Self::read(fitted, typed);
        let view = ask(question.setup).inspect_err(|gap| {
            question.takes(gap);
        });
        (question, view)
    }

    /// What was typed, with its fields.
    pub(super) const fn typed(&self) -> &Typed {
        &self.typed
    }

    /// The text of a field; `None` if the address does not have it.
    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.typed.given(name)
    }

    /// Every text of a field that may come more than once.
    pub(super) fn texts<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> {
        self.typed.all(name)
    }

    /// Whether anything was asked.
    pub(super) fn is_asked(&self) -> bool {
        !self.typed.texts().is_empty()
    }

    /// Takes faults, each as it is read at its field.
    pub(super) fn fault_all(&mut self, faults: Vec<Faulty>) {
        self.typed.take(faults);
    }

    /// Takes one fault.
    pub(super) fn fault_at(&mut self, field: &'static str, text: impl Into<String>) {
        self.typed.fault_at(field, text);
    }

    /// Takes a gap as a fault where it lies in what was typed; whether it did.
    pub(super) fn takes(&mut self, gap: &Gap) -> bool {
        let at = COUNTS.into_iter().find(|name| gap.field == *name);
        let Some(field) = at.filter(|_| !gap.missing) else { return false };
        self.fault_at(field, &gap.text);
        true
    }

    /// Every fault: the name of its field and its sentence.
    fn all_faults(&self) -> impl Iterator<Item = (&str, &str)> {
        let weights = self.weight_faults.iter().map(|(name, text)| (name.as_str(), text.as_str()));
        self.typed.faults().iter().map(|fault| (fault.field, fault.text.as_str())).chain(weights)
    }

    /// Whether anything is wrong.
    pub(super) fn is_faulty(&self) -> bool {
        self.first_fault().is_some()
    }

    /// The first fault, if there is one.
    pub(super) fn first_fault(&self) -> Option<&str> {
        self.all_faults().next().map(|(_, text)| text)
    }

    /// What is wrong with a field; empty if nothing.
    pub(super) fn fault(&self, name: &str) -> &str {
        self.all_faults().find(|(field, _)| *field == name).map_or("", |(_, text)| text)
    }

    /// What was typed beside the setup, as it stands in an address.
    pub(super) fn rest(&self) -> String {
        let others =
            self.typed.texts().iter().filter(|(name, text)| !COUNTS.contains(&name.as_str()) && !text.is_empty());
        others.map(|(name, text)| format!("&{}={}", encoded(name), encoded(text))).collect()
    }

    /// All faults above the form.
    pub(super) fn summary(&self) -> Markup {
        let faults: Vec<field::Fault<'_>> =
            self.all_faults().map(|(field, text)| field::Fault { field, text }).collect();
        field::asking_faults(&faults)
    }

    /// All faults inside the part that is renewed while somebody types.
    pub(super) fn faults_in_part(&self) -> Markup {
        html! { @for (_, text) in self.all_faults() { p class="fault" { (text) } } }
    }

    /// The three counts side by side; what is fitted stands in them until something else is typed.
    pub(super) fn counts(&self) -> Markup {
        let fitted =
            [self.fitted.front_teeth, self.fitted.rear_teeth, self.fitted.links].map(|count| count.to_string());
        let labels = ["Front teeth", "Rear teeth", "Links"];
        html! {
            div class="trio" {
                @for ((name, label), fitted) in COUNTS.into_iter().zip(labels).zip(&fitted) {
                    (self.typed.field(Field::whole(name, label, "").value(fitted).optional()))
                }
            }
        }
    }
}

/// The address of a page about a setup.
pub(in crate::pages) fn address(page: &str, setup: Setup) -> String {
    format!("{page}?front_teeth={}&rear_teeth={}&links={}", setup.front_teeth, setup.rear_teeth, setup.links)
}
