//! Jobs done together, against every way to do them and against both habits walked ride by ride.

use std::collections::HashMap;

use proptest::prelude::*;
use upkeep::due::{Bench, Recurring, group};

/// Prices in tenths, so that what costs the same may differ by a rounding.
fn bench(jobs: usize, interval: u8, horizon: u32) -> impl Strategy<Value = Bench> {
    let job = (1..=interval, 0..=u32::from(interval), 0..9_u32, prop::collection::vec(any::<bool>(), 3));
    let rest = (prop::collection::vec(0..9_u32, 3), 0..6_u32, 1..=horizon);
    (prop::collection::vec(job, 1..=jobs), rest).prop_map(|(jobs, (access, base, horizon))| Bench {
        jobs: jobs
            .into_iter()
            .map(|(interval, age, cost, needs)| Recurring {
                interval,
                age,
                cost: f64::from(cost) / 10.0,
                access: (0..3).filter(|&place| needs[place]).collect(),
            })
            .collect(),
        access: access.into_iter().map(|price| f64::from(price) / 10.0).collect(),
        base: f64::from(base) / 10.0,
        horizon,
    })
}

fn done(set: usize, job: usize) -> bool {
    set >> job & 1 == 1
}

fn due(bench: &Bench, ages: &[u32], job: usize) -> bool {
    ages[job] >= u32::from(bench.jobs[job].interval)
}

/// What one time costs.
fn once(bench: &Bench, set: usize) -> f64 {
    if set == 0 {
        return 0.0;
    }
    let chosen = || (0..bench.jobs.len()).filter(|&job| done(set, job));
    let opened = (0..bench.access.len()).filter(|place| chosen().any(|job| bench.jobs[job].access.contains(place)));
    bench.base
        + opened.map(|place| bench.access[place]).sum::<f64>()
        + chosen().map(|job| bench.jobs[job].cost).sum::<f64>()
}

fn ridden(ages: &[u32], set: usize) -> Vec<u32> {
    ages.iter().enumerate().map(|(job, age)| if done(set, job) { 1 } else { age + 1 }).collect()
}

/// Life left, in money.
fn left_over(bench: &Bench, ages: &[u32]) -> f64 {
    let share = |job: &Recurring, age: u32| (1.0 - f64::from(age) / f64::from(job.interval)).max(0.0);
    bench.jobs.iter().zip(ages).map(|(job, &age)| job.cost * share(job, age)).sum()
}

/// The least cost by trying every set of jobs at every ride, each ages worked out once; and of the first sets that reach it
/// the one with the fewest jobs, then the earlier ones.
struct EveryWay<'b> {
    bench: &'b Bench,
    prices: Vec<f64>,
    known: HashMap<(Vec<u32>, u32), f64>,
}

impl<'b> EveryWay<'b> {
    fn of(bench: &'b Bench) -> Self {
        let prices = (0..1_usize << bench.jobs.len()).map(|set| once(bench, set)).collect();
        Self { bench, prices, known: HashMap::new() }
    }

    fn ways(&mut self, ages: &[u32], left: u32) -> Vec<(f64, usize)> {
        let jobs = self.bench.jobs.len();
        let possible: Vec<usize> = (0..self.prices.len())
            .filter(|&set| (0..jobs).all(|job| done(set, job) || !due(self.bench, ages, job)))
            .collect();
        possible
            .into_iter()
            .map(|set| {
                // Overdue is due.
                let after =
                    ridden(ages, set).into_iter().zip(&self.bench.jobs).map(|(age, job)| age.min(job.interval.into()));
                (self.prices[set] + self.least(&after.collect::<Vec<u32>>(), left - 1), set)
            })
            .collect()
    }

    fn least(&mut self, ages: &[u32], left: u32) -> f64 {
        if left == 0 {
            return -left_over(self.bench, ages);
        }
        if let Some(known) = self.known.get(&(ages.to_vec(), left)) {
            return *known;
        }
        let least = self.ways(ages, left).iter().map(|way| way.0).fold(f64::INFINITY, f64::min);
        self.known.insert((ages.to_vec(), left), least);
        least
    }

    fn first(&mut self) -> (f64, usize) {
        let ages: Vec<u32> = self.bench.jobs.iter().map(|job| job.age.min(job.interval.into())).collect();
        let ways = self.ways(&ages, self.bench.horizon);
        let least = ways.iter().map(|way| way.0).fold(f64::INFINITY, f64::min);
        let alike = ways.iter().filter(|way| way.0 < least + 1e-9).map(|way| way.1);
        (least, alike.min_by_key(|set| (set.count_ones(), *set)).unwrap_or_default())
    }
}

/// Every job alone on its own day.
fn each_alone(bench: &Bench) -> f64 {
    let mut sum = 0.0;
    for (job, recurring) in bench.jobs.iter().enumerate() {
        let mut age = recurring.age.min(recurring.interval.into());
        for _ in 0..bench.horizon {
            if age >= recurring.interval.into() {
                sum += once(bench, 1 << job);
                age = 0;
            }
            age += 1;
        }
        sum -= recurring.cost * (1.0 - f64::from(age) / f64::from(recurring.interval)).max(0.0);
    }
    sum
}

/// Whenever something is due, the job that gains most by what is open already, while any gains.
fn most_gain(bench: &Bench) -> f64 {
    let jobs = bench.jobs.len();
    let mut ages: Vec<u32> = bench.jobs.iter().map(|job| job.age.min(job.interval.into())).collect();
    let mut sum = 0.0;
    for _ in 0..bench.horizon {
        let mut set = (0..jobs).filter(|&job| due(bench, &ages, job)).map(|job| 1 << job).sum::<usize>();
        let gain = |set: usize, job: usize| {
            let Recurring { interval, cost, access, .. } = &bench.jobs[job];
            let opened =
                |place: &usize| (0..jobs).any(|other| done(set, other) && bench.jobs[other].access.contains(place));
            let price = |open: bool| {
                access.iter().filter(|place| opened(place) == open).map(|place| bench.access[*place]).sum::<f64>()
            };
            let unused = 1.0 - f64::from(ages[job]) / f64::from(*interval);
            bench.base + price(true) - (cost + price(false)) * unused
        };
        while set > 0 {
            let others = (0..jobs).filter(|&job| !done(set, job)).map(|job| (job, gain(set, job)));
            match others.fold(
                None,
                |best: Option<(usize, f64)>, one| {
                    if best.is_some_and(|best| best.1 >= one.1) { best } else { Some(one) }
                },
            ) {
                Some((job, gain)) if gain > 1e-12 => set |= 1 << job,
                _ => break,
            }
        }
        sum += once(bench, set);
        ages = ridden(&ages, set);
    }
    sum - left_over(bench, &ages)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(192) })]

    #[test]
    fn grouping_agrees_with_trying_every_way_and_does_no_more_now_than_it_must(
        bench in prop_oneof![bench(3, 3, 5), bench(4, 6, 12)],
    ) {
        let (cost, first) = EveryWay::of(&bench).first();
        let found = group(&bench);
        prop_assert!((found.cost - cost).abs() < 1e-9, "{} {cost}", found.cost);
        prop_assert_eq!(found.now, (0..bench.jobs.len()).filter(|&job| done(first, job)).collect::<Vec<_>>());
        prop_assert_eq!(found.unproved, 0.0);
    }

    #[test]
    fn both_habits_cost_what_they_cost_ride_by_ride(bench in bench(4, 6, 12)) {
        let found = group(&bench);
        prop_assert!((found.each_when_due - each_alone(&bench)).abs() < 1e-9, "{} {}", found.each_when_due, each_alone(&bench));
        prop_assert!((found.greedy - most_gain(&bench)).abs() < 1e-9, "{} {}", found.greedy, most_gain(&bench));
    }
}

#[test]
fn of_two_jobs_that_may_both_wait_for_the_other_the_earlier_one_of_the_list_is_done_now() {
    // One is due now, one of two alike is best brought forward with it, and it does not matter which.
    let job =
        |interval: u8, age: u32, access: &[usize]| Recurring { interval, age, cost: 0.0, access: access.to_vec() };
    let bench = Bench { jobs: vec![job(4, 4, &[0]), job(4, 3, &[0])], access: vec![0.0], base: 0.0, horizon: 4 };
    assert_eq!(group(&bench).now, [0], "what costs nothing later is not done now");
}
