//! A part that lies on the shelf, worn or new: it may go back on, and what it is worth is a choice's business.

use super::Part;

/// A part laid on the shelf, or taken off it for good.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    part: Part,
    gone: bool,
}

impl Kept {
    /// A part with the hours it has had, and as its price what it would sell for.
    #[must_use]
    pub const fn new(part: Part, gone: bool) -> Self {
        Self { part, gone }
    }

    /// The part; its price is what it would sell for.
    #[must_use]
    pub const fn part(&self) -> &Part {
        &self.part
    }

    /// Whether it was sold, lost or scrapped.
    #[must_use]
    pub const fn gone(&self) -> bool {
        self.gone
    }
}
