//! Why a text is no logger's table, in words that name line and column.

use std::fmt;

/// Why a text is no logger's table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LogFault {
    /// Longer than the limit, in bytes.
    TooLong {
        /// Its length.
        bytes: usize,
        /// The limit.
        limit: usize,
    },
    /// More rows than the limit.
    TooManyRows {
        /// The limit.
        limit: usize,
    },
    /// The header row does not name the columns that are needed.
    Header {
        /// The column at fault.
        column: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// A row has another count of cells than the header.
    Cells {
        /// Its line, from 1.
        line: u64,
        /// Its cells.
        found: usize,
        /// The header's.
        wanted: usize,
    },
    /// A cell does not fit its column.
    Cell {
        /// Its line, from 1.
        line: u64,
        /// Its column.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What would fit.
        wanted: String,
    },
}

impl fmt::Display for LogFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong { bytes, limit } => {
                write!(f, "it is {bytes} bytes long; {limit} are possible. Export one ride at a time")
            }
            Self::TooManyRows { limit } => {
                write!(f, "it holds more than {limit} rows. Export one ride at a time, or fewer samples a second")
            }
            Self::Header { column, why } => write!(f, "line 1, column {column}: {why}"),
            Self::Cells { line, found, wanted } => write!(
                f,
                "line {line} has {found} cells, the header has {wanted}. Part the columns by tab, semicolon or comma \
                 everywhere alike; with decimal commas by tab or semicolon"
            ),
            Self::Cell { line, column, found, wanted } => {
                write!(f, "line {line}, column {column}: \"{found}\" stands there; {wanted} is possible")
            }
        }
    }
}

impl std::error::Error for LogFault {}
