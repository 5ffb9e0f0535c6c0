//! What the rest of a plan costs at least: every job alone at its latest, every opening as often as the most frequent
//! of its jobs.

use super::layers::Ages;
use super::{Bench, MOST_JOBS};

/// Ages that a job can have: 0 to the longest interval.
const LONGEST: usize = 61;

/// The bound, tabled for every job, age and number of rides left.
pub(super) struct Bound {
    /// Times and cost by rides left, job and age.
    alone: Vec<Vec<[(u8, f64); LONGEST]>>,
    /// Price of what a set of jobs opens, and the set; the base first, needed by all.
    openings: Vec<(f64, usize)>,
}

impl Bound {
    pub(super) fn new(bench: &Bench) -> Self {
        let narrow = |count: u32| u8::try_from(count).unwrap_or(u8::MAX);
        let table = |left: u32| {
            let by_age = |job: &super::Recurring| {
                std::array::from_fn(|age| {
                    let (times, end) = job.alone(u8::try_from(age).unwrap_or(u8::MAX), left);
                    (narrow(times), f64::from(times) * job.cost - job.credit(end))
                })
            };
            bench.jobs.iter().map(by_age).collect()
        };
        // Things that the same jobs open cost as one.
        let mut openings = vec![(bench.base, (1 << bench.jobs.len()) - 1)];
        for (place, price) in bench.access.iter().enumerate() {
            let jobs = bench.jobs.iter().enumerate();
            let needing = jobs.map(|(index, job)| usize::from(job.access.contains(&place)) << index).sum::<usize>();
            match openings.iter_mut().find(|(_, known)| *known == needing) {
                Some((sum, _)) => *sum += price,
                None => openings.push((*price, needing)),
            }
        }
        openings.retain(|(_, needing)| *needing != 0);
        Self { alone: (0..bench.horizon).map(table).collect(), openings }
    }

    /// Least cost of so many rides to come, fewer than the horizon.
    pub(super) fn rest(&self, ages: &Ages, left: u32) -> f64 {
        let mut times = [0_u8; MOST_JOBS];
        let mut sum = 0.0;
        for (index, table) in self.alone[left as usize].iter().enumerate() {
            let (often, cost) = table[usize::from(ages[index])];
            times[index] = often;
            sum += cost;
        }
        for (price, jobs) in &self.openings {
            let needing = times.iter().enumerate().filter(|(index, _)| jobs >> index & 1 == 1);
            sum += f64::from(needing.map(|(_, often)| *often).max().unwrap_or(0)) * price;
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::due::Recurring;

    /// A job left to its latest, ride by ride: how often it is done, and its age at the end.
    fn walked(job: &Recurring, age: u8, left: u32) -> (u32, u8) {
        let (mut age, mut times) = (age, 0);
        for _ in 0..left {
            if age >= job.interval {
                (age, times) = (0, times + 1);
            }
            age += 1;
        }
        (times, age)
    }

    #[test]
    fn each_job_at_its_latest_and_each_opening_as_often_as_its_most_frequent_job() {
        let job =
            |interval: u8, cost: f64, access: &[usize]| Recurring { interval, age: 0, cost, access: access.to_vec() };
        let jobs = vec![job(3, 70.0, &[0, 1]), job(5, 40.0, &[1]), job(5, 90.0, &[1, 3]), job(1, 5.0, &[])];
        let bench = Bench { jobs, access: vec![10.0, 200.0, 4000.0, 30.0], base: 1.0, horizon: 13 };
        let bound = Bound::new(&bench);
        for left in 0..13 {
            for ages in [[0, 0, 0, 0], [3, 5, 5, 1], [2, 4, 1, 0], [1, 5, 3, 1], [3, 0, 4, 1]] {
                let walks: Vec<(u32, u8)> =
                    bench.jobs.iter().zip(ages).map(|(job, age)| walked(job, age, left)).collect();
                let mut want = 0.0;
                for (job, (times, end)) in bench.jobs.iter().zip(&walks) {
                    let unused = f64::from(job.interval.saturating_sub(*end)) / f64::from(job.interval);
                    want += f64::from(*times) * job.cost - unused * job.cost;
                }
                let most = |jobs: &[usize]| f64::from(jobs.iter().map(|job| walks[*job].0).max().unwrap());
                want += most(&[0, 1, 2, 3]) + 10.0 * most(&[0]) + 200.0 * most(&[0, 1, 2]) + 30.0 * most(&[2]);
                let mut all = [0; MOST_JOBS];
                all[..4].copy_from_slice(&ages);
                assert!(
                    (bound.rest(&all, left) - want).abs() < 1e-9,
                    "{left} {ages:?}: {} {want}",
                    bound.rest(&all, left)
                );
            }
        }
    }
}
