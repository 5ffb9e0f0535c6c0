//! Colour and marks: a verdict is a word and a shape first, a colour only on a terminal that wants one.

use std::io::{self, IsTerminal};

use advice::Verdict;

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
        let text = format!("{} {words}", self.mark(verdict));
        let colour = match verdict {
            Verdict::Ready => 32,
            Verdict::Care => 33,
            Verdict::Stop => 31,
            Verdict::Unknown => 35,
        };
        if self.colour { format!("\x1b[1;{colour}m{text}\x1b[0m") } else { text }
    }

    /// The shape of a verdict, readable without colour.
    #[expect(clippy::unused_self, reason = "marks belong to the look; an ASCII look comes here")]
    pub(crate) const fn mark(self, verdict: Verdict) -> &'static str {
        match verdict {
            Verdict::Ready => "[ok]",
            Verdict::Care => "[!]",
            Verdict::Stop => "[X]",
            Verdict::Unknown => "[?]",
        }
    }
}
