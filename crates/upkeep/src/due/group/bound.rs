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
