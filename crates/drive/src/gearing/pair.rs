//! A front and a rear sprocket by their teeth alone, and the pairs of a range of both.

use std::ops::RangeInclusive;

use measure::Teeth;

use super::ratio::Ratio;

/// A front and a rear sprocket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pair {
    /// The sprocket on the countershaft.
    pub front: Teeth,
    /// The sprocket on the wheel.
    pub rear: Teeth,
}

impl Pair {
    /// From counts; `None` outside what a sprocket can have.
    #[must_use]
    pub fn of(front: u16, rear: u16) -> Option<Self> {
        Some(Self { front: Teeth::new(front)?, rear: Teeth::new(rear)? })
    }

    /// The final ratio, rear over front, in lowest terms. Two pairs are equal if and only if their ratios are.
    #[must_use]
    pub fn ratio(self) -> Ratio {
        let (front, rear) = (u64::from(self.front.count()), u64::from(self.rear.count()));
        Ratio::of_teeth(front, rear).unwrap_or(Ratio { driven: rear, driver: front })
    }

    /// The final ratio as `(front, rear)` in lowest terms: 14/48 is 7/24.
    #[must_use]
    pub fn reduced(self) -> (u64, u64) {
        let ratio = self.ratio();
        (ratio.driver, ratio.driven)
    }

    /// The teeth of both sprockets together.
    #[must_use]
    pub fn teeth(self) -> u16 {
        self.front.count() + self.rear.count()
    }
}

/// A rectangle of candidate pairs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairSet {
    fronts: RangeInclusive<u16>,
    rears: RangeInclusive<u16>,
}

impl PairSet {
    /// From the smallest and largest front and rear sprocket; `None` if an end lies below its start.
    #[must_use]
    pub fn new(fronts: [Teeth; 2], rears: [Teeth; 2]) -> Option<Self> {
        let holds = fronts[0] <= fronts[1] && rears[0] <= rears[1];
        holds
            .then(|| Self { fronts: fronts[0].count()..=fronts[1].count(), rears: rears[0].count()..=rears[1].count() })
    }

    /// Every pair, by front, then rear.
    pub fn pairs(&self) -> impl Iterator<Item = Pair> + '_ {
        self.fronts.clone().flat_map(|front| self.rears.clone().filter_map(move |rear| Pair::of(front, rear)))
    }

    /// Whether a pair has the smallest or the largest ratio of the set.
    #[must_use]
    pub fn at_edge(&self, pair: Pair) -> bool {
        let tallest = Pair::of(*self.fronts.end(), *self.rears.start());
        let shortest = Pair::of(*self.fronts.start(), *self.rears.end());
        [tallest, shortest].into_iter().flatten().any(|edge| edge.ratio() == pair.ratio())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(front: u16, rear: u16) -> Pair {
        Pair::of(front, rear).expect("teeth in range")
    }

    #[test]
    fn equal_pairs_are_equal_as_whole_numbers() {
        assert_eq!(pair(12, 48).ratio(), pair(14, 56).ratio());
        assert_ne!(pair(14, 48).ratio(), pair(13, 45).ratio());
        assert_eq!(pair(14, 48).reduced(), (7, 24));
    }
}
