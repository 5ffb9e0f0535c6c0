//! What went wrong, for a person at the terminal: what, where, what to do; and the exit status that follows.

use std::io::{self, IsTerminal as _, Write};
use std::process::ExitCode;

use advice::Gap;

use crate::asked::Faulty;
use crate::terminal::{harmless, wrapped};

/// What every message begins with.
const LEAD: &str = "tightspot: ";

/// Why a command gives no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Problem {
    /// It was asked wrongly: exit 2.
    Usage(Vec<String>),
    /// It was asked rightly but cannot be answered: exit 1.
    Failed(Vec<String>),
    /// The reader at the other end of a pipe has left.
    ReaderLeft,
}

impl Problem {
    /// One sentence, exit 1.
    pub(crate) fn failed(text: impl Into<String>) -> Self {
        Self::Failed(vec![text.into()])
    }

    /// One sentence, exit 2.
    pub(crate) fn usage(text: impl Into<String>) -> Self {
        Self::Usage(vec![text.into()])
    }

    /// The sentences.
    pub(crate) fn lines(&self) -> &[String] {
        match self {
            Self::Usage(lines) | Self::Failed(lines) => lines,
            Self::ReaderLeft => &[],
        }
    }

    /// Says it on standard error and gives the exit status.
    pub(crate) fn tell(&self) -> ExitCode {
        let (lines, status) = match self {
            Self::Usage(lines) => (lines, 2),
            Self::Failed(lines) => (lines, 1),
            Self::ReaderLeft => return ExitCode::SUCCESS,
        };
        let mut out = io::stderr().lock();
        // A pipe gets each sentence as one line; at a terminal no word is torn.
        let reads = out.is_terminal();
        for line in lines {
            let line = harmless(&unnumbered(line));
            let _ = if reads { wrapped(&mut out, LEAD, &line) } else { writeln!(out, "{LEAD}{line}") };
        }
        ExitCode::from(status)
    }
}

/// A sentence without the system's own number of what went wrong: it helps nobody who reads it.
fn unnumbered(line: &str) -> String {
    let numbered = line.split_once(" (os error ").and_then(|(before, rest)| Some((before, rest.split_once(')')?)));
    match numbered {
        Some((before, (number, after))) if number.bytes().all(|byte| byte.is_ascii_digit()) => {
            format!("{before}{after}")
        }
        _ => line.to_owned(),
    }
}

impl From<Gap> for Problem {
    fn from(gap: Gap) -> Self {
        let mut lines = vec![gap.text.clone()];
        if !gap.how_to.is_empty() {
            lines.push(format!("how to find it: {}", gap.how_to));
        }
        if gap.missing {
            lines.push(format!(
                "then: tightspot bike set {}=…; all that is not known: tightspot bike show --missing",
                gap.field
            ));
            Self::Failed(lines)
        } else {
            Self::Usage(lines)
        }
    }
}

impl From<Vec<Faulty>> for Problem {
    fn from(faults: Vec<Faulty>) -> Self {
        Self::Usage(faults.into_iter().map(|fault| fault.text).collect())
    }
}

impl From<io::Error> for Problem {
    fn from(why: io::Error) -> Self {
        if why.kind() == io::ErrorKind::BrokenPipe { Self::ReaderLeft } else { Self::failed(why.to_string()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_systems_number_is_not_told_and_nothing_else_is_lost() {
        assert_eq!(unnumbered("a.gpx: No such file or directory (os error 2)."), "a.gpx: No such file or directory.");
        for same in ["a (os error x).", "a (b).", "a (os error 2", ""] {
            assert_eq!(unnumbered(same), same);
        }
    }
}
