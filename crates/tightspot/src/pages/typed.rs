//! What was typed, in an address or in a form, and what is wrong with it: every text stays as it is, every fault stands at
//! its field and above the form.

use axum::extract::rejection::QueryRejection;
use axum::extract::{FromRequestParts, Query};
use axum::http::request::Parts;
use axum::response::Response;
use maud::Markup;

use super::bike::sentence;
use crate::asked::Faulty;
use crate::frame::field::{self, Field, asking_faults, fault_summary, field, select};
use crate::frame::{Head, fold};
use crate::serve::{Posted, Visit};

/// What was typed, and what is wrong with it. A page that only asks takes it off its address.
#[derive(Debug, Clone, Default)]
pub(super) struct Typed {
    texts: Vec<(String, String)>,
    faults: Vec<Faulty>,
}

impl<S: Send + Sync> FromRequestParts<S> for Typed {
    type Rejection = QueryRejection;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, QueryRejection> {
        let Query(texts) = Query::from_request_parts(parts, state).await?;
        Ok(Self { texts, faults: Vec::new() })
    }
}

impl Typed {
    /// What stands in a form as it opens.
    pub(super) fn preset<const N: usize>(texts: [(&str, String); N]) -> Self {
        Self { texts: texts.map(|(name, text)| (name.to_owned(), text)).to_vec(), faults: Vec::new() }
    }

    /// What a form sent.
    pub(super) fn posted(posted: &Posted) -> Self {
        Self { texts: posted.fields().to_vec(), faults: Vec::new() }
    }

    /// Everything in the order in which it came.
    pub(super) fn texts(&self) -> &[(String, String)] {
        &self.texts
    }

    /// The text of a field; `None` if it did not come.
    pub(super) fn given(&self, name: &str) -> Option<&str> {
        self.all(name).next()
    }

    /// Every text of a field that may come more than once.
    pub(super) fn all<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> {
        self.texts.iter().filter(move |(known, _)| known == name).map(|(_, text)| text.as_str())
    }

    /// The text of a field; `""` if it did not come.
    pub(super) fn text(&self, name: &str) -> &str {
        self.given(name).unwrap_or_default()
    }

    /// The text of a field, or what stands there unasked.
    pub(super) fn text_or<'t>(&'t self, name: &str, unasked: &'t str) -> &'t str {
        match self.text(name) {
            "" => unasked,
            text => text,
        }
    }

    /// The number that a field holds, where it holds one.
    pub(super) fn number(&self, name: &str) -> Option<i64> {
        self.text(name).parse().ok()
    }

    /// The page of a long list that is asked for, counted from 1; 0, which no list has, for what is no number.
    pub(super) fn page(&self) -> usize {
        self.given("page").unwrap_or("1").parse().unwrap_or_default()
    }

    /// The same with more faults, each as it is read at its field.
    pub(super) fn faulty(mut self, faults: Vec<Faulty>) -> Self {
        self.take(faults);
        self
    }

    /// The same with a fault whose sentence begins with a word of the rider's own, such as a file's name: it stays as it is.
    pub(super) fn faulty_in_own_words(mut self, fault: Faulty) -> Self {
        self.faults.push(fault);
        self
    }

    /// Takes faults, each as it is read at its field: without the names that files and programs use.
    pub(super) fn take(&mut self, faults: Vec<Faulty>) {
        let told = |fault: Faulty| Faulty { field: fault.field, text: sentence(fault.field, &fault.text) };
        self.faults.extend(faults.into_iter().map(told));
    }

    /// Takes one fault.
    pub(super) fn fault_at(&mut self, field: &'static str, text: impl Into<String>) {
        self.take(vec![Faulty { field, text: text.into() }]);
    }

    /// Every fault.
    pub(super) fn faults(&self) -> &[Faulty] {
        &self.faults
    }

    /// Whether anything is wrong.
    pub(super) fn is_faulty(&self) -> bool {
        !self.faults.is_empty()
    }

    /// What is wrong with a field; empty if nothing.
    pub(super) fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }

    /// All faults above a form that stores.
    pub(super) fn not_saved(&self) -> Markup {
        fault_summary(&self.listed())
    }

    /// All faults above a form that asks.
    pub(super) fn not_answered(&self) -> Markup {
        asking_faults(&self.listed())
    }

    fn listed(&self) -> Vec<field::Fault<'_>> {
        self.faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect()
    }

    /// A field with what was typed and what is wrong with it.
    pub(super) fn field(&self, one: Field<'_>) -> Markup {
        field(&self.filled(one))
    }

    /// The same, where one of many is chosen.
    pub(super) fn select(&self, one: Field<'_>, options: &[(&str, &str)]) -> Markup {
        select(&self.filled(one), options)
    }

    /// A field with its fault, and with what was typed in place of what it holds unasked.
    fn filled<'t>(&'t self, one: Field<'t>) -> Field<'t> {
        Field { value: self.text_or(one.name, one.value), fault: self.fault(one.name), ..one }
    }

    /// Fields folded away until one of them is used or wrong.
    pub(super) fn unfolding(&self, summary: &str, names: &[&str], inside: &Markup) -> Markup {
        let used = |name: &&str| !self.text(name).trim().is_empty();
        fold(summary, names.iter().any(used) || self.is_wrong_in(names), inside)
    }

    /// Whether one of these fields is at fault.
    pub(super) fn is_wrong_in(&self, names: &[&str]) -> bool {
        self.faults.iter().any(|fault| names.contains(&fault.field))
    }

    /// The page: status 422 while something is wrong.
    pub(super) fn answer(&self, visit: &Visit, head: Head<'_>, main: &Markup) -> Response {
        if self.is_faulty() { visit.show_faults(head, main) } else { visit.show(head, main) }
    }
}
