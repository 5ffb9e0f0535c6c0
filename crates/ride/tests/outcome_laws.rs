//! Laws of judging a change of gearing.

use proptest::prelude::*;
use ride::outcome::{Outcome, Rides, Table, Verdict, judge};

type Column = Vec<f64>;

fn columns() -> impl Strategy<Value = [Column; 4]> {
    let one = |n| prop::collection::vec((-100_i32..100).prop_map(|v| f64::from(v) / 4.0), n);
    (2_usize..10).prop_flat_map(move |n| [one(n), one(n), one(n), one(n)])
}

fn judged([a, b, c, d]: &[Column; 4]) -> Outcome {
    let [a, b, c, d] =
        [a, b, c, d].map(|column| Table::new(column.iter().map(|v| vec![*v]).collect()).expect("a table"));
    judge(Rides { recorded_a: &a, recorded_b: &b, predicted_a: &c, predicted_b: &d }, 0.9).expect("one shape")
}

proptest! {
    #[test]
    fn exchanging_the_pairs_turns_every_change(columns in columns()) {
        let [a, b, c, d] = columns.clone();
        let (one, other) = (judged(&columns).bins[0], judged(&[b, a, d, c]).bins[0]);
        prop_assert!((one.recorded_change + other.recorded_change).abs() < 1e-9);
        prop_assert!((one.p_no_change - other.p_no_change).abs() < 1e-12);
        prop_assert_eq!(one.verdict, other.verdict);
        if let (Some((mine, _)), Some((theirs, _))) = (one.intervals, other.intervals) {
            prop_assert!((mine.low + theirs.high).abs() < 1e-9 && (mine.high + theirs.low).abs() < 1e-9);
        }
    }

    #[test]
    fn chances_are_shares_and_intervals_hold_the_change(columns in columns()) {
        let outcome = judged(&columns);
        let bin = outcome.bins[0];
        prop_assert!(bin.p_no_change > 0.0 && bin.p_no_change <= 1.0);
        prop_assert!(outcome.coverage_pct.is_none_or(|pct| (90.0 - 1e-9..100.0).contains(&pct)));
        if let Some((change, miss)) = bin.intervals {
            prop_assert!(change.low <= change.high && miss.low <= miss.high);
        }
        prop_assert!(outcome.misfit_a >= 0.0 && outcome.misfit_b >= 0.0);
    }

    #[test]
    fn what_came_as_forecast_is_never_missed(columns in columns()) {
        let [a, b, _, _] = columns;
        let bin = judged(&[a.clone(), b.clone(), a, b]).bins[0];
        prop_assert!(bin.verdict != Verdict::Missed && (bin.p_as_forecast - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_order_of_the_stretches_does_not_matter(columns in columns()) {
        let turned = columns.clone().map(|column| column.into_iter().rev().collect::<Vec<_>>());
        let (one, other) = (judged(&columns).bins[0], judged(&turned).bins[0]);
        prop_assert!((one.p_no_change - other.p_no_change).abs() < 1e-12);
        prop_assert!((one.miss - other.miss).abs() < 1e-9);
    }
}
