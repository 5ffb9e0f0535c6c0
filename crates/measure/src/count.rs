//! Counts: teeth and links are whole numbers with rules of their own.

use crate::bounds;

/// The teeth of a sprocket, 6 to 150.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Teeth(u16);

impl Teeth {
    /// From a whole number; `None` outside [`bounds::TEETH`].
    #[must_use]
    pub fn new(count: u16) -> Option<Self> {
        bounds::TEETH.holds(f64::from(count)).then_some(Self(count))
    }

    /// The number of teeth.
    #[must_use]
    pub const fn count(self) -> u16 {
        self.0
    }

    /// The number of teeth, for a formula.
    #[must_use]
    pub fn real(self) -> f64 {
        f64::from(self.0)
    }
}

/// The links of a closed chain: pitches, inner and outer links each counted as one; 20 to 500.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Links(u16);

impl Links {
    /// From a whole number; `None` outside [`bounds::LINKS`].
    #[must_use]
    pub fn new(count: u16) -> Option<Self> {
        bounds::LINKS.holds(f64::from(count)).then_some(Self(count))
    }

    /// The number of links.
    #[must_use]
    pub const fn count(self) -> u16 {
        self.0
    }

    /// The number of links, for a formula.
    #[must_use]
    pub fn real(self) -> f64 {
        f64::from(self.0)
    }

    /// Whether inner and outer links alternate all the way round; an odd count needs a cranked link.
    #[must_use]
    pub const fn is_even(self) -> bool {
        self.0.is_multiple_of(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_keep_their_bounds() {
        assert!(Teeth::new(5).is_none() && Teeth::new(6).is_some());
        assert!(Teeth::new(150).is_some() && Teeth::new(151).is_none());
        assert!(Links::new(19).is_none() && Links::new(20).is_some());
        assert!(Links::new(500).is_some() && Links::new(501).is_none());
    }

    #[test]
    fn odd_links_are_told_from_even_ones() {
        assert!(Links::new(118).is_some_and(Links::is_even));
        assert!(!Links::new(117).is_some_and(Links::is_even));
    }
}
