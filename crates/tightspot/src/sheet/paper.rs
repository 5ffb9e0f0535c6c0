//! The paper and the measures that a sheet keeps to, in points.

/// Points to a millimetre.
pub(super) const MM: f32 = 72.0 / 25.4;
/// Text is never smaller.
pub(super) const TEXT_PT: f32 = 11.0;
/// Figures to set are never smaller.
pub(super) const FIGURE_PT: f32 = 14.0;
/// Side of a box to tick, with its line.
pub(super) const TICK_PT: f32 = 6.4 * MM;
/// Height of a blank to write in.
pub(super) const BLANK_PT: f32 = 8.2 * MM;
/// Width of such a blank.
pub(super) const BLANK_WIDTH_PT: f32 = 22.0 * MM;
/// Between two things beside one another.
pub(super) const BESIDE_PT: f32 = 10.0;
/// Free edge above the head line and below the content.
pub(super) const EDGE_PT: f32 = 6.0 * MM;
/// Where text begins, right of the box to tick.
pub(super) const INDENT_PT: f32 = TICK_PT + 5.0;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// The paper of that name.
    pub(crate) fn named(name: &str) -> Option<Self> {
        match name.trim().to_ascii_lowercase().as_str() {
            "" | "a4" => Some(Self::A4),
            "letter" => Some(Self::Letter),
            _ => None,
        }
    }

    /// Width and height.
    pub(super) const fn size(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0 * MM, 297.0 * MM),
            Self::Letter => (612.0, 792.0),
        }
    }

    /// Free edge left and right.
    pub(super) const fn side() -> f32 {
        9.0 * MM
    }

    /// Width of what is printed.
    pub(super) const fn inner_width(self) -> f32 {
        self.size().0 - 2.0 * Self::side()
    }

    /// Where the content begins, below the head line.
    pub(super) const fn top() -> f32 {
        EDGE_PT + 15.0
    }

    /// Where the content ends.
    pub(super) const fn bottom(self) -> f32 {
        self.size().1 - EDGE_PT
    }
}
