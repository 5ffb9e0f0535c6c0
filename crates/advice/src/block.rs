//! A view in reading order: what every face prints, top to bottom. A page may draw a picture where a table stands.

use crate::fact::{Fact, Table};
use crate::verdict::{Reason, Verdict};

/// One block of a view.
#[derive(Debug, Clone, PartialEq)]
pub enum Block<'a> {
    /// A heading of the answer.
    Heading(&'static str),
    /// The verdict with the words it is read as, and a sentence.
    Verdict(Verdict, &'static str, String),
    /// Reasons, worst first.
    Reasons(&'a [Reason]),
    /// Facts, the deciding one first.
    Facts(&'a [Fact]),
    /// A table.
    Table(&'a Table),
    /// A sentence.
    Text(String),
    /// Sentences in a list.
    List(Vec<String>),
}
