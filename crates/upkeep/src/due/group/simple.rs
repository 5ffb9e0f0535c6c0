//! Two simple habits, for comparison: every job on its own date, and adding what gains most.

use super::{Bench, Found};

/// Every job alone on its own date.
pub(super) fn each_when_due(bench: &Bench) -> Found {
    let jobs = bench.jobs.iter().enumerate();
    let due = |job: &super::Recurring| job.age_capped() >= job.interval;
    let first = jobs.clone().map(|(index, job)| usize::from(due(job)) << index).sum();
    let costs = jobs.map(|(index, job)| {
        let (times, end) = job.alone(job.age_capped(), bench.horizon);
        f64::from(times) * bench.together(1 << index) - job.credit(end)
    });
    Found { cost: costs.sum(), first }
}

/// Adding, whenever something is due, the job that gains most by what is open already, while any gains.
pub(super) fn greedy(bench: &Bench) -> Found {
    let jobs = &bench.jobs;
    let mut ages: Vec<u32> = jobs.iter().map(|job| job.age_capped().into()).collect();
    let (mut sum, mut first) = (0.0, None);
    for _ in 0..bench.horizon {
        let due = |job: usize| ages[job] >= u32::from(jobs[job].interval);
        let mut set: usize = (0..jobs.len()).map(|job| usize::from(due(job)) << job).sum();
        while let Some(job) = most_gain(bench, set, &ages) {
            set |= 1 << job;
        }
        sum += bench.together(set);
        first.get_or_insert(set);
        for (index, age) in ages.iter_mut().enumerate() {
            *age = if set >> index & 1 == 1 { 1 } else { *age + 1 };
        }
    }
    let credit: f64 = jobs.iter().zip(&ages).map(|(job, age)| job.credit(*age)).sum();
    Found { cost: sum - credit, first: first.unwrap_or(0) }
}

/// The job outside `set` that gains most, the first of equals; `None` if nothing is due or none gains.
///
/// # Formula
/// gain = base + openings shared − (its cost + openings of its own)·(interval − age)/interval
fn most_gain(bench: &Bench, set: usize, ages: &[u32]) -> Option<usize> {
    if set == 0 {
        return None;
    }
    let mut best: Option<(usize, f64)> = None;
    for (index, job) in bench.jobs.iter().enumerate().filter(|(index, _)| set >> index & 1 == 0) {
        let open = |place: &usize| {
            bench.jobs.iter().enumerate().any(|(other, job)| set >> other & 1 == 1 && job.access.contains(place))
        };
        let price = |wanted: bool| -> f64 {
            job.access.iter().filter(|place| open(place) == wanted).map(|&place| bench.access[place]).sum()
        };
        let interval = f64::from(job.interval);
        let gain =
            bench.base + price(true) - (price(false) + job.cost) * (interval - f64::from(ages[index])) / interval;
        if gain > 1e-12 && best.is_none_or(|(_, most)| gain > most) {
            best = Some((index, gain));
        }
    }
    best.map(|(index, _)| index)
}
