//! Hours of parts of one kind.

/// Hours of lives, each above 0.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Lives {
    /// Lives that ended worn or broken.
    pub ended: Vec<f64>,
    /// Lives that still run, or ended for another reason.
    pub running: Vec<f64>,
}

impl Lives {
    pub(super) fn all(&self) -> impl Iterator<Item = f64> {
        self.ended.iter().chain(&self.running).copied()
    }

    pub(super) fn longest(&self) -> f64 {
        self.all().fold(0.0, f64::max)
    }
}
