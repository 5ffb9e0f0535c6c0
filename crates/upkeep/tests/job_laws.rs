//! Laws of the planner, on orders drawn from the shipped library.

use proptest::prelude::*;
use proptest::sample::subsequence;
use upkeep::job::{Act, Order, Plan, Progress, least_access, plan, plan_from, shipped};

const RETENTION: [&str; 3] = ["nut", "plate", "snap-ring"];

fn order(jobs: &[&'static str], retention: &'static str) -> Order<'static> {
    Order::build(shipped().library(), jobs, &[("front-retention", retention)]).expect("shipped jobs make an order")
}

fn planned(jobs: &[&'static str], retention: &'static str) -> Plan {
    plan(&order(jobs, retention)).expect("shipped jobs can be done")
}

fn jobs(count: impl Into<proptest::sample::SizeRange>) -> impl Strategy<Value = Vec<&'static str>> {
    let all: Vec<_> = shipped().jobs().iter().map(|file| file.job.id.as_str()).collect();
    subsequence(all, count).prop_shuffle()
}

fn retention() -> impl Strategy<Value = &'static str> {
    proptest::sample::select(RETENTION.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn leaving_a_job_out_never_costs_more(jobs in jobs(2..=4), retention in retention()) {
        let all = planned(&jobs, retention).cost;
        for left_out in 0..jobs.len() {
            let mut fewer = jobs.clone();
            fewer.remove(left_out);
            let less = planned(&fewer, retention).cost;
            prop_assert!(
                (less.access_min, less.find_wait_min, less.kit_changes)
                    <= (all.access_min, all.find_wait_min, all.kit_changes),
                "{jobs:?} without {}", jobs[left_out]
            );
        }
    }

    #[test]
    fn a_job_inside_what_is_open_anyway_adds_no_access_or_says_what_opens_again(
        jobs in jobs(2..=4), retention in retention(),
    ) {
        let (added, base) = jobs.split_last().expect("two or more");
        let (before, alone) = (order(base, retention), order(&[added], retention));
        let inside = |state: &str| before.states.iter().any(|open| open.source.id == state);
        prop_assume!(alone.states.iter().all(|state| inside(&state.source.id)));
        let both = planned(&jobs, retention);
        let extra = both.cost.access_min - plan(&before).expect("can be done").cost.access_min;
        prop_assert!(extra == 0 || !both.opened_again().is_empty(), "{jobs:?}: {extra} more");
    }

    #[test]
    fn the_same_question_gets_the_same_plan_and_its_cost_is_the_same_in_any_sequence_of_jobs(
        jobs in jobs(1..=4), retention in retention(),
    ) {
        let first = planned(&jobs, retention);
        prop_assert_eq!(&first, &planned(&jobs, retention));
        let mut turned = jobs.clone();
        turned.reverse();
        prop_assert_eq!(first.cost, planned(&turned, retention).cost);
    }

    #[test]
    fn work_taken_up_again_anywhere_costs_the_same_in_all(jobs in jobs(1..=3), retention in retention(), at in 0.0..1.0) {
        let order = order(&jobs, retention);
        let whole = plan(&order).expect("can be done");
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a place in a short list")]
        let split = (at * whole.steps.len() as f64) as usize;
        let (mut progress, mut spent) = (Progress::default(), Vec::new());
        for act in &whole.steps[..split] {
            spent.push(progress.take(&order, *act));
        }
        let rest = plan_from(&order, &progress).expect("can be gone on with");
        prop_assert_eq!(spent.into_iter().sum::<upkeep::job::Cost>() + rest.cost, whole.cost);
    }

    #[test]
    fn access_searched_alone_is_the_access_of_the_plan(jobs in jobs(1..=4), retention in retention()) {
        let order = order(&jobs, retention);
        prop_assert_eq!(least_access(&order), Ok(plan(&order).expect("can be done").cost.access_min));
    }

    #[test]
    fn every_operation_comes_once_and_every_state_ends_shut(jobs in jobs(0..=4), retention in retention()) {
        let order = order(&jobs, retention);
        let plan = plan(&order).expect("can be done");
        let mut done: Vec<_> =
            plan.steps.iter().filter_map(|act| if let Act::Do(op) = act { Some(*op) } else { None }).collect();
        done.sort_unstable();
        prop_assert_eq!(done, (0..order.ops.len()).collect::<Vec<_>>());
        let mut progress = Progress::default();
        for act in &plan.steps {
            progress.take(&order, *act);
        }
        prop_assert!(progress.open.is_empty());
    }
}
