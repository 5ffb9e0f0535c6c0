//! What is wrong with a sheet: the field, what was given, what is possible, what to do.

use std::fmt;

/// One fault of a sheet, with its line where it was read from a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The field at fault; `file` for text that is no sheet at all.
    pub field: String,
    /// A stable word for programs: `unknown_field`, `wrong_type`, `out_of_range`, `no_such_word`, `not_text`,
    /// `wrong_list`, `against`, `twice`, `missing`, `no_toml`, `not_understood`.
    pub code: &'static str,
    /// The line of the file, from 1.
    pub line: Option<usize>,
    /// The sentence for a person.
    pub text: String,
}

impl Fault {
    /// A fault without line.
    #[must_use]
    pub fn new(field: impl Into<String>, code: &'static str, text: impl Into<String>) -> Self {
        Self { field: field.into(), code, line: None, text: text.into() }
    }

    /// The same fault with its line.
    #[must_use]
    pub fn at(self, line: usize) -> Self {
        Self { line: Some(line), ..self }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.text),
            None => f.write_str(&self.text),
        }
    }
}

impl std::error::Error for Fault {}
