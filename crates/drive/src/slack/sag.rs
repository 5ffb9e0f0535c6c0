//! Sag from three lengths: where in its travel the bike works.

use measure::Length;

/// Axle to a mark above it: hung free, settled from below, settled from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SagLengths {
    /// Suspension fully extended.
    pub extended: Length,
    /// Lifted and let settle.
    pub settled_up: Length,
    /// Pushed down and let settle.
    pub settled_down: Length,
}

impl SagLengths {
    /// Sag, friction halved out.
    #[must_use]
    pub fn sag(&self) -> Length {
        self.extended - (self.settled_up + self.settled_down) * 0.5
    }

    /// What friction keeps: the two settled lengths apart.
    #[must_use]
    pub fn stiction(&self) -> Length {
        (self.settled_up - self.settled_down).abs()
    }
}
