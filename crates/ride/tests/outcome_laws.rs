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
    fn the_chance_is_that_of_counting_every_choice_of_signs_in_whole_numbers_whatever_the_unit(
        changes in prop::collection::vec(-9_i32..10, 2..10), unit in prop::sample::select(vec![0.01, 1.0, 1e3, 1e6]),
    ) {
        let own = changes.iter().sum::<i32>().abs();
        let turned = |signs: u32| {
            changes.iter().enumerate().map(|(at, one)| if (signs >> at) & 1 == 1 { -one } else { *one }).sum::<i32>()
        };
        let all = 1_u32 << changes.len();
        let as_far: u32 = (0..all).map(|signs| u32::from(turned(signs).abs() >= own)).sum();
        let nothing = vec![0.0; changes.len()];
        // A tenth of a unit is no whole binary fraction: sums that are equal differ in their last digits.
        let changed = changes.iter().map(|one| f64::from(*one) * 0.1 * unit).collect::<Vec<_>>();
        let bin = judged(&[nothing.clone(), changed, nothing.clone(), nothing]).bins[0];
        let chance = f64::from(as_far) / f64::from(all);
        prop_assert!((bin.p_no_change - chance).abs() < 1e-12, "{} for {chance}", bin.p_no_change);
    }

    #[test]
    fn the_interval_leaves_as_many_means_of_subsets_out_on_either_side_as_its_coverage_says(columns in columns()) {
        let outcome = judged(&columns);
        prop_assume!(outcome.coverage_pct.is_some());
        let [a, b, _, _] = &columns;
        let changes: Vec<f64> = b.iter().zip(a).map(|(b, a)| b - a).collect();
        let all = 1_u32 << changes.len();
        let mean = |subset: u32| {
            let held = changes.iter().enumerate().filter(|(at, _)| (subset >> at) & 1 == 1).map(|(_, one)| *one);
            held.sum::<f64>() / f64::from(subset.count_ones())
        };
        let means: Vec<f64> = (1..all).map(mean).collect();
        let out = (1.0 - outcome.coverage_pct.expect("an interval") / 100.0) / 2.0 * f64::from(all);
        let (change, _) = outcome.bins[0].intervals.expect("an interval");
        let count = |is: &dyn Fn(f64) -> bool| means.iter().map(|mean| f64::from(u8::from(is(*mean)))).sum::<f64>();
        prop_assert!(count(&|mean| mean < change.low - 1e-9) < out + 1e-6, "{change:?}");
        prop_assert!(count(&|mean| mean <= change.low + 1e-9) > out - 1e-6);
        prop_assert!(count(&|mean| mean > change.high + 1e-9) < out + 1e-6);
        prop_assert!(count(&|mean| mean >= change.high - 1e-9) > out - 1e-6);
    }

    #[test]
    fn the_order_of_the_stretches_does_not_matter(columns in columns()) {
        let turned = columns.clone().map(|column| column.into_iter().rev().collect::<Vec<_>>());
        let (one, other) = (judged(&columns).bins[0], judged(&turned).bins[0]);
        prop_assert!((one.p_no_change - other.p_no_change).abs() < 1e-12);
        prop_assert!((one.miss - other.miss).abs() < 1e-9);
    }
}
