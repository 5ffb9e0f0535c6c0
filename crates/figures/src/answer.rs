//! An answer: named values in full precision, notices for what is legal but odd, and the sources.

use serde_json::{Map, Value};

use crate::{Figure, Refusal};

/// Legal but odd: a stable code and the sentence that names the number behind it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// The word for programs.
    pub code: &'static str,
    /// The sentence for a person.
    pub text: String,
}

/// The values of a figure. Building one is by chaining; a key asked for without value is `null`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Answer {
    values: Map<String, Value>,
    /// What is legal but odd about the input or the answer.
    pub notices: Vec<Notice>,
    /// Ids of the sources the answer rests on (filled by the contract).
    pub sources: &'static [&'static str],
    broken: Option<&'static str>,
}

impl Answer {
    /// Nothing answered yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// A number. A number that is not finite breaks the answer: it is then refused as a whole, never shown.
    #[must_use]
    pub fn num(mut self, name: &'static str, value: f64) -> Self {
        if !value.is_finite() {
            self.broken = Some(name);
        }
        self.values.insert(name.to_owned(), Value::from(value));
        self
    }

    /// A number, or `null` where there is no such value.
    #[must_use]
    pub fn num_or_null(self, name: &'static str, value: Option<f64>) -> Self {
        match value {
            Some(value) => self.num(name, value),
            None => self.json(name, Value::Null),
        }
    }

    /// A number only if it was asked for.
    #[must_use]
    pub fn num_if(self, name: &'static str, value: Option<f64>) -> Self {
        match value {
            Some(value) => self.num(name, value),
            None => self,
        }
    }

    /// A whole number.
    #[must_use]
    pub fn whole(mut self, name: &'static str, value: impl Into<i64>) -> Self {
        self.values.insert(name.to_owned(), Value::from(value.into()));
        self
    }

    /// A word or text.
    #[must_use]
    pub fn text(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.values.insert(name.to_owned(), Value::from(value.into()));
        self
    }

    /// `true` or `false`.
    #[must_use]
    pub fn flag(mut self, name: &'static str, value: bool) -> Self {
        self.values.insert(name.to_owned(), Value::from(value));
        self
    }

    /// Any JSON value: lists and objects.
    #[must_use]
    pub fn json(mut self, name: &'static str, value: impl Into<Value>) -> Self {
        self.values.insert(name.to_owned(), value.into());
        self
    }

    /// A notice.
    #[must_use]
    pub fn notice(mut self, code: &'static str, text: impl Into<String>) -> Self {
        self.notices.push(Notice { code, text: text.into() });
        self
    }

    /// A notice only where the condition holds; the sentence is made only then.
    #[must_use]
    pub fn notice_if(self, holds: bool, code: &'static str, text: impl FnOnce() -> String) -> Self {
        if holds { self.notice(code, text()) } else { self }
    }

    /// The values, in the order in which they were answered.
    #[must_use]
    pub const fn values(&self) -> &Map<String, Value> {
        &self.values
    }

    /// A number of the answer by its path (`fits.0.centre_mm`); `None` if there is none or it is `null`.
    #[must_use]
    pub fn get(&self, path: &str) -> Option<f64> {
        self.at(path).and_then(Value::as_f64)
    }

    /// A value of the answer by its path.
    #[must_use]
    pub fn at(&self, path: &str) -> Option<&Value> {
        let mut parts = path.split('.');
        let first = self.values.get(parts.next()?)?;
        parts.try_fold(first, |value, part| match value {
            Value::Array(items) => items.get(part.parse::<usize>().ok()?),
            Value::Object(members) => members.get(part),
            _ => None,
        })
    }

    /// The answer with its figure's sources, or a refusal if a value could not be computed.
    pub(crate) fn whole_with(mut self, figure: &Figure) -> Result<Self, Refusal> {
        if let Some(name) = self.broken {
            return Err(Refusal::new(
                "figure",
                "no_finite_answer",
                format!(
                    "{} has no finite {name} for this input. Nothing is shown rather than a wrong figure.",
                    figure.name
                ),
            ));
        }
        self.sources = figure.sources;
        Ok(self)
    }
}
