//! A small fixed set of indices, cheap to copy, compare and hash.

/// A set of indices below 64·N.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Bits<const N: usize>([u64; N]);

impl<const N: usize> Bits<N> {
    /// The empty set.
    pub(super) const NONE: Self = Self([0; N]);

    /// How many indices fit.
    pub(super) const ROOM: usize = 64 * N;

    /// The set of some indices; those that do not fit are left out (the caller checks [`Self::ROOM`]).
    pub(super) fn of(indices: impl IntoIterator<Item = usize>) -> Self {
        let mut set = Self::NONE;
        for index in indices {
            set.insert(index);
        }
        set
    }

    pub(super) fn insert(&mut self, index: usize) {
        if let Some(word) = self.0.get_mut(index / 64) {
            *word |= 1 << (index % 64);
        }
    }

    pub(super) fn with(mut self, index: usize) -> Self {
        self.insert(index);
        self
    }

    pub(super) fn without(self, index: usize) -> Self {
        self.minus(Self::NONE.with(index))
    }

    pub(super) fn has(&self, index: usize) -> bool {
        self.0.get(index / 64).is_some_and(|word| word >> (index % 64) & 1 == 1)
    }

    fn zip(mut self, other: Self, join: impl Fn(u64, u64) -> u64) -> Self {
        for (mine, theirs) in self.0.iter_mut().zip(other.0) {
            *mine = join(*mine, theirs);
        }
        self
    }

    pub(super) fn or(self, other: Self) -> Self {
        self.zip(other, |mine, theirs| mine | theirs)
    }

    pub(super) fn and(self, other: Self) -> Self {
        self.zip(other, |mine, theirs| mine & theirs)
    }

    pub(super) fn minus(self, other: Self) -> Self {
        self.zip(other, |mine, theirs| mine & !theirs)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    pub(super) fn meets(self, other: Self) -> bool {
        !self.and(other).is_empty()
    }

    pub(super) fn holds(self, other: Self) -> bool {
        other.minus(self).is_empty()
    }

    pub(super) fn count(&self) -> u32 {
        self.0.iter().map(|word| word.count_ones()).sum()
    }

    /// The indices, rising.
    pub(super) fn iter(self) -> impl Iterator<Item = usize> {
        self.0.into_iter().enumerate().flat_map(|(place, mut word)| {
            std::iter::from_fn(move || {
                let bit = word.checked_ilog2().map(|_| word.trailing_zeros())?;
                word &= word - 1;
                Some(place * 64 + usize::try_from(bit).unwrap_or(0))
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indices_come_back_in_order() {
        let set = Bits::<2>::of([127, 0, 64, 63, 3]);
        assert_eq!(set.iter().collect::<Vec<_>>(), [0, 3, 63, 64, 127]);
        assert_eq!(set.count(), 5);
        assert!(set.has(64) && !set.without(64).has(64) && !set.has(500));
    }

    #[test]
    fn sets_meet_and_hold_as_sets_do() {
        let (small, large) = (Bits::<1>::of([1, 2]), Bits::<1>::of([0, 1, 2, 3]));
        assert!(large.holds(small) && !small.holds(large) && small.meets(large));
        assert!(!small.meets(Bits::NONE) && small.holds(Bits::NONE));
        assert_eq!(large.minus(small), Bits::of([0, 3]));
    }
}
