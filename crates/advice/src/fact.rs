//! The two shapes that every view is made of: a fact and a table.

use serde::Serialize;

/// One answer: its figure in words and as a number, with reason, source, certainty and what would change it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fact {
    /// Stable name for programs, ending with the unit (`reading_to_set_mm`).
    pub key: &'static str,
    /// What it is, for a person.
    pub label: String,
    /// The figure in words with its unit: "87.8 mm".
    pub text: String,
    /// The number in full precision; `null` where it is not known.
    pub value: Option<f64>,
    /// Why it is so.
    pub reason: String,
    /// How sure it is.
    pub certainty: String,
    /// What would change it.
    pub changes: String,
    /// The figure asked, whose formula and sources answer "says who?".
    pub figure: &'static str,
    /// The day or days of the rider's own entry, where that is the source; empty for none.
    pub entered: String,
}

impl Fact {
    /// A known figure in words.
    #[must_use]
    pub fn new(key: &'static str, label: impl Into<String>, text: impl Into<String>, value: f64) -> Self {
        Self { value: Some(value), ..Self::unknown(key, label, text) }
    }

    /// A figure that is not known; the text says what is missing.
    #[must_use]
    pub fn unknown(key: &'static str, label: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            key,
            label: label.into(),
            text: text.into(),
            value: None,
            reason: String::new(),
            certainty: String::new(),
            changes: String::new(),
            figure: "",
            entered: String::new(),
        }
    }

    /// The same fact with its reason.
    #[must_use]
    pub fn because(self, reason: impl Into<String>) -> Self {
        Self { reason: reason.into(), ..self }
    }

    /// The same fact with its certainty.
    #[must_use]
    pub fn sure(self, certainty: impl Into<String>) -> Self {
        Self { certainty: certainty.into(), ..self }
    }

    /// The same fact with what would change it.
    #[must_use]
    pub fn unless(self, changes: impl Into<String>) -> Self {
        Self { changes: changes.into(), ..self }
    }

    /// The same fact with the days of the rider's own entry behind it.
    #[must_use]
    pub fn entered(self, days: &str) -> Self {
        Self { entered: days.to_owned(), ..self }
    }

    /// The same fact with the figure that says so.
    #[must_use]
    pub fn says(self, figure: &'static str) -> Self {
        Self { figure, ..self }
    }
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Column {
    /// Stable name for programs, ending with the unit.
    pub key: &'static str,
    /// The head for a person, unit included.
    pub label: String,
    /// Whether the cells are numbers, set flush right.
    pub numeric: bool,
}

impl Column {
    /// A column of words.
    #[must_use]
    pub fn words(key: &'static str, label: impl Into<String>) -> Self {
        Self { key, label: label.into(), numeric: false }
    }

    /// A column of a quantity kept in that unit: its head says the unit in which its cells are read.
    #[must_use]
    pub fn of(key: &'static str, label: &str, kept: &str) -> Self {
        Self::numbers(key, crate::words::headed(label, kept))
    }

    /// A column of numbers.
    #[must_use]
    pub fn numbers(key: &'static str, label: impl Into<String>) -> Self {
        Self { key, label: label.into(), numeric: true }
    }
}

/// A cell: what is read, and the number behind it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cell {
    /// What is read.
    pub text: String,
    /// The number in full precision, if it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
}

impl Cell {
    /// A cell of words.
    #[must_use]
    pub fn words(text: impl Into<String>) -> Self {
        Self { text: text.into(), value: None }
    }

    /// A number with so many decimals.
    #[must_use]
    pub fn number(value: f64, decimals: usize) -> Self {
        Self { text: crate::words::number(value, decimals), value: Some(value) }
    }

    /// A quantity kept in that unit, read in the rider's; its number for programs stays as it is kept.
    #[must_use]
    pub fn of(value: f64, kept: &str, decimals: usize) -> Self {
        Self { text: crate::words::digits(value, kept, decimals), value: Some(value) }
    }

    /// A quantity, or a dash where there is none.
    #[must_use]
    pub fn maybe_of(value: Option<f64>, kept: &str, decimals: usize) -> Self {
        value.map_or_else(|| Self::words("–"), |value| Self::of(value, kept, decimals))
    }

    /// A quantity with its sign.
    #[must_use]
    pub fn signed_of(value: f64, kept: &str, decimals: usize) -> Self {
        let read = crate::words::signed_digits(value, kept, decimals);
        Self { text: read, value: Some(value) }
    }

    /// A number with its sign.
    #[must_use]
    pub fn signed(value: f64, decimals: usize) -> Self {
        Self { text: crate::words::signed(value, decimals), value: Some(value) }
    }

    /// A number, or a dash where there is none.
    #[must_use]
    pub fn maybe(value: Option<f64>, decimals: usize) -> Self {
        value.map_or_else(|| Self::words("–"), |value| Self::number(value, decimals))
    }
}

/// A table with a caption that says the finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    /// Stable name for programs.
    pub key: &'static str,
    /// What it shows.
    pub caption: String,
    /// The columns; the first is the row's head.
    pub columns: Vec<Column>,
    /// The rows, each as long as the columns.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table without rows yet.
    #[must_use]
    pub fn new(key: &'static str, caption: impl Into<String>, columns: Vec<Column>) -> Self {
        Self { key, caption: caption.into(), columns, rows: Vec::new() }
    }
}
