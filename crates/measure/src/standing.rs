//! Where a number came from, and how much that proves.
//!
//! The list of sources is `sources.csv` beside this crate: `id,standing,words`, one line each.

use std::sync::LazyLock;

/// How much the origin of a figure or a check value proves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Standing {
    /// Printed in a standard, handbook, paper or textbook that was seen.
    Published,
    /// Computed by a general-purpose library, name and version given.
    Library,
    /// Derived from stated geometry or physics, steps given.
    Derived,
    /// Common practice, no source.
    Practice,
    /// Remembered, source not opened: never counted as proof.
    Memory,
    /// The tool's own threshold, shown as such and editable.
    Ours,
    /// Entered by the rider, from the bike's manual or a measurement.
    Owner,
}

impl Standing {
    /// The word that files and answers use.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Library => "library",
            Self::Derived => "derived",
            Self::Practice => "practice",
            Self::Memory => "memory",
            Self::Ours => "ours",
            Self::Owner => "owner",
        }
    }

    /// The standing of a word; `None` for a word that is none.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        [Self::Published, Self::Library, Self::Derived, Self::Practice, Self::Memory, Self::Ours, Self::Owner]
            .into_iter()
            .find(|standing| standing.word() == word)
    }

    /// Whether a check row of this standing counts as proof.
    #[must_use]
    pub const fn proves(self) -> bool {
        matches!(self, Self::Published | Self::Library | Self::Derived)
    }
}

/// A source that figures and constants point at by its id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Short name, as figures cite it.
    pub id: &'static str,
    /// How much it proves.
    pub standing: Standing,
    /// What it is, in words for a person.
    pub words: &'static str,
}

/// Every source, in the order of `sources.csv`.
static SOURCES: LazyLock<Vec<Source>> = LazyLock::new(|| {
    include_str!("../sources.csv")
        .lines()
        .skip(1)
        .filter_map(|line| {
            let (id, rest) = line.split_once(',')?;
            let (standing, words) = rest.split_once(',')?;
            Some(Source { id, standing: Standing::of(standing)?, words: words.trim_matches('"') })
        })
        .collect()
});

/// The source of an id; `None` if the table has none of that name.
#[must_use]
pub fn source(id: &str) -> Option<&'static Source> {
    SOURCES.iter().find(|source| source.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_table_is_a_source_with_its_own_id() {
        let lines = include_str!("../sources.csv").lines().skip(1).filter(|line| !line.is_empty()).count();
        assert_eq!(SOURCES.len(), lines);
        let mut ids: Vec<_> = SOURCES.iter().map(|source| source.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), lines);
    }
}
