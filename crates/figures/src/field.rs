//! What may be given: the name, kind, bounds and default of each input field.
//!
//! The declarations here write the refusals, `figures --list`, the API's schema and the forms' hints.

use measure::Bound;

/// The kind of value that a field takes.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// A JSON number inside a bound.
    Number(&'static Bound),
    /// A whole JSON number inside a bound.
    Whole(&'static Bound),
    /// Any text.
    Text,
    /// One word of a list.
    Word(&'static [&'static str]),
    /// `true` or `false`.
    Flag,
    /// A list of numbers inside a bound; whatever is wrong inside is refused under the field's own name.
    Numbers(&'static Bound),
    /// As [`Kind::Numbers`], where `null` stands for a missing value.
    NumbersOrNull(&'static Bound),
    /// A list or object whose inside the figure checks itself, refusing under the field's own name.
    Nested,
    /// Anything: the figure checks it itself (a number or a list of two, say).
    Any,
    /// An object with declared members; a fault inside is refused as `field.member`.
    Object(&'static [Field]),
}

/// Whether a field must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It must be given.
    Required,
    /// It may be left out; the words say what then holds ("0", "none", "droop_deg").
    Optional(&'static str),
}

/// One input field of a figure.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The name, ending with its unit.
    pub name: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Whether it must be there.
    pub need: Need,
    /// What it means where the name does not say it.
    pub meaning: &'static str,
}

impl Field {
    const fn required(name: &'static str, kind: Kind) -> Self {
        Self { name, kind, need: Need::Required, meaning: "" }
    }

    /// A number that must be given.
    #[must_use]
    pub const fn number(name: &'static str, bound: &'static Bound) -> Self {
        Self::required(name, Kind::Number(bound))
    }

    /// A whole number that must be given.
    #[must_use]
    pub const fn whole(name: &'static str, bound: &'static Bound) -> Self {
        Self::required(name, Kind::Whole(bound))
    }

    /// A text that must be given.
    #[must_use]
    pub const fn text(name: &'static str) -> Self {
        Self::required(name, Kind::Text)
    }

    /// One word of a list that must be given.
    #[must_use]
    pub const fn word(name: &'static str, words: &'static [&'static str]) -> Self {
        Self::required(name, Kind::Word(words))
    }

    /// `true` or `false`, must be given.
    #[must_use]
    pub const fn flag(name: &'static str) -> Self {
        Self::required(name, Kind::Flag)
    }

    /// A list of numbers that must be given.
    #[must_use]
    pub const fn numbers(name: &'static str, bound: &'static Bound) -> Self {
        Self::required(name, Kind::Numbers(bound))
    }

    /// A list of numbers or `null` that must be given.
    #[must_use]
    pub const fn numbers_or_null(name: &'static str, bound: &'static Bound) -> Self {
        Self::required(name, Kind::NumbersOrNull(bound))
    }

    /// A list or object that the figure checks itself; must be given.
    #[must_use]
    pub const fn nested(name: &'static str) -> Self {
        Self::required(name, Kind::Nested)
    }

    /// A value that the figure checks itself; must be given.
    #[must_use]
    pub const fn any(name: &'static str) -> Self {
        Self::required(name, Kind::Any)
    }

    /// An object with declared members; must be given.
    #[must_use]
    pub const fn object(name: &'static str, members: &'static [Field]) -> Self {
        Self::required(name, Kind::Object(members))
    }

    /// The same field, which may be left out; `default` says what then holds.
    #[must_use]
    pub const fn optional(self, default: &'static str) -> Self {
        Self { need: Need::Optional(default), ..self }
    }

    /// The same field with its meaning said.
    #[must_use]
    pub const fn meaning(self, words: &'static str) -> Self {
        Self { meaning: words, ..self }
    }
}

/// Two lists of fields as one.
pub(crate) const fn joined<const N: usize>(first: &[Field], then: &[Field]) -> [Field; N] {
    assert!(first.len() + then.len() == N, "the count of the joined list is wrong");
    let mut all = [Field::required("", Kind::Any); N];
    let mut n = 0;
    while n < N {
        all[n] = if n < first.len() { first[n] } else { then[n - first.len()] };
        n += 1;
    }
    all
}
