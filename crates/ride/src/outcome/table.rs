//! One value, or one for each bin, of every matched stretch.

/// The fewest stretches that are judged.
pub const FEWEST: usize = 2;
/// The most stretches: all flips of sixteen are 65 536.
pub const MOST: usize = 16;
/// The most bins of a stretch.
pub const MOST_BINS: usize = 64;

/// One value, or one for each bin, of every stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    pub(super) rows: Vec<Vec<f64>>,
    bins: usize,
}

/// Why rows are no table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableFault {
    /// Fewer than [`FEWEST`] or more than [`MOST`] stretches: so many.
    Stretches(usize),
    /// No bin, or more than [`MOST_BINS`]: so many.
    Bins(usize),
    /// The stretch of this number (from 1) has another count of bins than the first.
    Ragged(usize),
}

impl Table {
    /// A table from one row for each stretch.
    ///
    /// # Errors
    /// Too few or too many stretches or bins, or rows of different length.
    pub fn new(rows: Vec<Vec<f64>>) -> Result<Self, TableFault> {
        if !(FEWEST..=MOST).contains(&rows.len()) {
            return Err(TableFault::Stretches(rows.len()));
        }
        let bins = rows.first().map_or(0, Vec::len);
        if let Some(at) = rows.iter().position(|row| row.len() != bins) {
            return Err(TableFault::Ragged(at + 1));
        }
        if !(1..=MOST_BINS).contains(&bins) {
            return Err(TableFault::Bins(bins));
        }
        Ok(Self { rows, bins })
    }

    /// Stretches and bins.
    #[must_use]
    pub const fn shape(&self) -> (usize, usize) {
        (self.rows.len(), self.bins)
    }

    pub(super) fn column(&self, bin: usize) -> impl Iterator<Item = f64> {
        self.rows.iter().map(move |row| row.get(bin).copied().unwrap_or(0.0))
    }
}
