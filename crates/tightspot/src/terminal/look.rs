//! Colour and marks: a verdict is a word and a shape first, a colour only on a terminal that wants one.

use std::io::{self, IsTerminal};

use advice::Verdict;

/// All that a look writes of what steers a terminal.
pub(super) const CODES: [&str; 6] = ["\x1b[0m", "\x1b[1m", "\x1b[1;31m", "\x1b[1;32m", "\x1b[1;33m", "\x1b[1;35m"];

/// Whether colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Look {
    colour: bool,
}

impl Look {
    /// Colour only on a terminal, not with `--no-color`, a non-empty `NO_COLOR` or `TERM=dumb`.
    pub(crate) fn choose(no_color: bool) -> Self {
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        Self { colour: !no_color && !refused && !dumb && io::stdout().is_terminal() }
    }

    /// Words that stand out.
    pub(crate) fn strong(self, words: &str) -> String {
        if self.colour { format!("\x1b[1m{words}\x1b[0m") } else { words.to_owned() }
    }

    /// A verdict as mark and words.
    pub(crate) fn verdict(self, verdict: Verdict, words: &str) -> String {
        let text = format!("{} {words}", Self::mark(verdict));
        let colour = match verdict {
            Verdict::Ready => 32,
            Verdict::Care => 33,
            Verdict::Stop => 31,
            Verdict::Unknown => 35,
        };
        if self.colour { format!("\x1b[1;{colour}m{text}\x1b[0m") } else { text }
    }

    /// The shape of a verdict, readable without colour.
    pub(crate) const fn mark(verdict: Verdict) -> &'static str {
        match verdict {
            Verdict::Ready => "[ok]",
            Verdict::Care => "[!]",
            Verdict::Stop => "[X]",
            Verdict::Unknown => "[?]",
        }
    }
}
