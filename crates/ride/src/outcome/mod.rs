//! Did the change of gearing do what was forecast? Matched stretches, ridden on the old pair and on the new one.
//!
//! Lives here: exact sign-flip chances, the interval of a change, the verdict. Exact: every flip and every subset is
//! counted, no random numbers. Does not live here: what is measured on a stretch, and the forecast (`replay`).
//!
//! With `r = recorded B − A` and `q = predicted B − A` of each stretch: the chance of a change this large if nothing
//! changed is the share of all 2ⁿ choices of signs whose sum is as large; the interval runs from the k-th smallest
//! to the k-th largest of the means of all subsets of stretches.
//!
//! Holds when the differences are symmetric about the true change: rider, trail and day must not all change with the
//! pair (ride A, B, B, A).

mod flips;
mod table;

pub use flips::Interval;
pub use table::{FEWEST, MOST, MOST_BINS, Table, TableFault};

use flips::{chance, interval_of, mean, outside};

/// What was recorded and what was forecast on the old pair (A) and the new one (B); all of one shape.
#[derive(Debug, Clone, Copy)]
pub struct Rides<'a> {
    /// Recorded on the old pair.
    pub recorded_a: &'a Table,
    /// Recorded on the new pair.
    pub recorded_b: &'a Table,
    /// Forecast for the old pair.
    pub predicted_a: &'a Table,
    /// Forecast for the new pair.
    pub predicted_b: &'a Table,
}

/// What the stretches say about the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The change is there, on the forecast side, and as large as forecast within its interval.
    Held,
    /// The change differs from the forecast.
    Missed,
    /// The stretches cannot tell.
    CannotSay,
}

impl Verdict {
    /// The word that answers use.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::Missed => "missed",
            Self::CannotSay => "cannot_say",
        }
    }
}

/// One bin, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bin {
    /// Mean recorded change, B − A.
    pub recorded_change: f64,
    /// Mean forecast change.
    pub predicted_change: f64,
    /// Mean of recorded less forecast change.
    pub miss: f64,
    /// Two-sided chance of a recorded change this large if nothing changed.
    pub p_no_change: f64,
    /// Two-sided chance of a miss this large if the forecast is right.
    pub p_as_forecast: f64,
    /// Intervals of the recorded change and of the miss; `None` with too few stretches.
    pub intervals: Option<(Interval, Interval)>,
    /// What it says about the forecast.
    pub verdict: Verdict,
}

/// All bins, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Matched stretches.
    pub stretches: usize,
    /// What part of repetitions the intervals cover, in percent; `None` with too few stretches.
    pub coverage_pct: Option<f64>,
    /// Each bin.
    pub bins: Vec<Bin>,
    /// Recorded against forecast on the old pair: half the sum of the bins' differences, mean over the stretches.
    pub misfit_a: f64,
    /// The same on the new pair.
    pub misfit_b: f64,
}

/// Judges the bins of matched stretches; `interval` is the coverage wanted, 0 to 1. `None` if the four tables have
/// not one shape.
///
/// # Example
/// ```
/// use ride::outcome::{Rides, Table, Verdict, judge};
/// let table = |values: [f64; 6]| Table::new(values.iter().map(|v| vec![*v]).collect()).unwrap();
/// let (before, after) = (table([70.0, 72.0, 69.0, 75.0, 71.0, 68.0]), table([60.0, 61.0, 60.0, 63.0, 61.0, 57.0]));
/// let rides = Rides { recorded_a: &before, recorded_b: &after, predicted_a: &before, predicted_b: &after };
/// let outcome = judge(rides, 0.9).unwrap();
/// assert_eq!(outcome.bins[0].verdict, Verdict::Held);
/// // of 64 choices of signs only all plus and all minus reach this sum
/// assert_eq!(outcome.bins[0].p_no_change, 2.0 / 64.0);
/// ```
#[must_use]
pub fn judge(rides: Rides<'_>, interval: f64) -> Option<Outcome> {
    let (stretches, bins) = rides.recorded_a.shape();
    if [rides.recorded_b, rides.predicted_a, rides.predicted_b].iter().any(|table| table.shape() != (stretches, bins)) {
        return None;
    }
    let flips = 1_u32 << stretches;
    let outside = outside(interval, flips);
    let coverage = |outside| 100.0 * (1.0 - 2.0 * f64::from(outside) / f64::from(flips));
    Some(Outcome {
        stretches,
        coverage_pct: outside.map(coverage),
        bins: (0..bins).map(|bin| judged(rides, bin, outside)).collect(),
        misfit_a: misfit(rides.recorded_a, rides.predicted_a),
        misfit_b: misfit(rides.recorded_b, rides.predicted_b),
    })
}

fn judged(rides: Rides<'_>, bin: usize, outside: Option<u32>) -> Bin {
    let change = |a: &Table, b: &Table| a.column(bin).zip(b.column(bin)).map(|(a, b)| b - a).collect::<Vec<_>>();
    let recorded = change(rides.recorded_a, rides.recorded_b);
    let predicted = change(rides.predicted_a, rides.predicted_b);
    let missed: Vec<f64> = recorded.iter().zip(&predicted).map(|(recorded, predicted)| recorded - predicted).collect();
    let intervals = outside.map(|outside| (interval_of(&recorded, outside), interval_of(&missed, outside)));
    let (recorded_change, predicted_change) = (mean(&recorded), mean(&predicted));
    let same_side = recorded_change * predicted_change > 0.0;
    let verdict = match intervals {
        Some((_, miss)) if miss.leaves_out_zero() => Verdict::Missed,
        Some((change, _)) if change.leaves_out_zero() && same_side => Verdict::Held,
        _ => Verdict::CannotSay,
    };
    Bin {
        recorded_change,
        predicted_change,
        miss: mean(&missed),
        p_no_change: chance(&recorded),
        p_as_forecast: chance(&missed),
        intervals,
        verdict,
    }
}

fn misfit(recorded: &Table, predicted: &Table) -> f64 {
    let stretch = |(a, b): (&Vec<f64>, &Vec<f64>)| {
        a.iter().zip(b).map(|(recorded, predicted)| (recorded - predicted).abs()).sum()
    };
    let each: Vec<f64> = recorded.rows.iter().zip(&predicted.rows).map(stretch).collect();
    mean(&each) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(values: &[f64]) -> Table {
        Table::new(values.iter().map(|value| vec![*value]).collect()).expect("a table")
    }

    fn one(recorded: &[f64], predicted: &[f64], interval: f64) -> Bin {
        let zero = table(&vec![0.0; recorded.len()]);
        let (recorded, predicted) = (table(recorded), table(predicted));
        let rides = Rides { recorded_a: &zero, recorded_b: &recorded, predicted_a: &zero, predicted_b: &predicted };
        judge(rides, interval).expect("one shape").bins[0]
    }

    #[test]
    fn a_change_as_forecast_holds_and_another_one_misses() {
        let forecast = [-10.0; 7];
        assert_eq!(one(&[-9.0, -11.0, -10.5, -9.5, -10.2, -9.8, -10.0], &forecast, 0.9).verdict, Verdict::Held);
        assert_eq!(one(&[-4.0, -5.0, -4.5, -5.5, -5.2, -4.8, -5.0], &forecast, 0.9).verdict, Verdict::Missed);
        assert_eq!(one(&[-30.0, 25.0, -10.0, 5.0, -40.0, 20.0, -8.0], &forecast, 0.9).verdict, Verdict::CannotSay);
    }

    #[test]
    fn too_few_stretches_have_no_interval() {
        let bin = one(&[-9.0, -11.0], &[-10.0, -10.0], 0.9);
        assert_eq!((bin.intervals, bin.verdict), (None, Verdict::CannotSay));
    }

    #[test]
    fn a_table_has_one_shape() {
        assert_eq!(Table::new(vec![vec![1.0]]), Err(TableFault::Stretches(1)));
        assert_eq!(Table::new(vec![vec![1.0]; 17]), Err(TableFault::Stretches(17)));
        assert_eq!(Table::new(vec![vec![], vec![]]), Err(TableFault::Bins(0)));
        assert_eq!(Table::new(vec![vec![1.0], vec![1.0, 2.0]]), Err(TableFault::Ragged(2)));
        let rides = |a, b| Rides { recorded_a: a, recorded_b: b, predicted_a: a, predicted_b: a };
        assert_eq!(judge(rides(&table(&[1.0, 2.0]), &table(&[1.0, 2.0, 3.0])), 0.9), None);
    }

    #[test]
    fn the_narrowest_interval_still_covers_something() {
        // 63 means of six stretches: at most 31 lie outside on each side, so that one is left, and 2 of 64 choices of
        // signs speak for it.
        let zero = table(&[0.0; 6]);
        let there = table(&[-3.0, 1.0, 4.0, -1.0, 5.0, -9.0]);
        let rides = Rides { recorded_a: &zero, recorded_b: &there, predicted_a: &zero, predicted_b: &zero };
        let outcome = judge(rides, 0.0).expect("one shape");
        assert!((outcome.coverage_pct.expect("an interval") - 100.0 * 2.0 / 64.0).abs() < 1e-12);
    }
}
