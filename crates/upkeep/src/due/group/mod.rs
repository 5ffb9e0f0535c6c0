//! Jobs that share disassembly: what to do this time, so that the whole stretch ahead costs least.
//!
//! A job is only ever brought forward, never put off. Layers of ages, ride by ride, pruned by a bound that never lies
//! and by plans that are younger and cheaper at once. Exact unless the layers outgrow their effort; then it says by how
//! much the answer may be off.

mod bound;
mod layers;
mod simple;

use layers::Layers;

/// Most jobs that are grouped at once.
pub const MOST_JOBS: usize = 8;

/// A job that comes round.
#[derive(Debug, Clone, PartialEq)]
pub struct Recurring {
    /// Rides from one time to the next, 1 to 60.
    pub interval: u8,
    /// Rides since it was done; beyond the interval it is overdue.
    pub age: u32,
    /// What the job itself costs.
    pub cost: f64,
    /// What has to be opened, as places in [`Bench::access`], none twice.
    pub access: Vec<usize>,
}

impl Recurring {
    /// Its age, overdue counting as due.
    fn age_capped(&self) -> u8 {
        self.age.try_into().map_or(self.interval, |age: u8| age.min(self.interval))
    }

    /// Life left at an age, in money.
    fn credit(&self, age: u32) -> f64 {
        let interval = f64::from(self.interval);
        self.cost * (interval - f64::from(age)).max(0.0) / interval
    }

    /// How often it comes round within so many rides if it is always left to its latest, and its age at their end.
    fn alone(&self, age: u8, left: u32) -> (u32, u32) {
        let (interval, age) = (u32::from(self.interval), u32::from(age));
        let wait = interval.saturating_sub(age);
        if wait >= left {
            return (0, age + left);
        }
        let again = (left - 1 - wait) / interval;
        (again + 1, left - wait - again * interval)
    }
}

/// Jobs and what opening costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    /// At most [`MOST_JOBS`].
    pub jobs: Vec<Recurring>,
    /// What opening each thing costs, once each time.
    pub access: Vec<f64>,
    /// What starting at all costs, once each time.
    pub base: f64,
    /// Rides looked ahead.
    pub horizon: u32,
}

impl Bench {
    /// What doing a set of jobs together costs (bit k = job k).
    fn together(&self, set: usize) -> f64 {
        if set == 0 {
            return 0.0;
        }
        let chosen = || self.jobs.iter().enumerate().filter(|(index, _)| set >> index & 1 == 1).map(|(_, job)| job);
        let opened = self.access.iter().enumerate().filter(|(place, _)| chosen().any(|job| job.access.contains(place)));
        self.base + opened.map(|(_, price)| price).sum::<f64>() + chosen().map(|job| job.cost).sum::<f64>()
    }
}

/// What to do now, and what it saves.
#[derive(Debug, Clone, PartialEq)]
pub struct Grouping {
    /// Least cost over the horizon, life left at its end counted back.
    pub cost: f64,
    /// Jobs to do now, as places in the list: the fewest of equals.
    pub now: Vec<usize>,
    /// Cost of every job alone on its own date.
    pub each_when_due: f64,
    /// Cost of adding the job that gains most whenever something is due.
    pub greedy: f64,
    /// By how much a plan that was not followed could be cheaper at most; 0 = proved least.
    pub unproved: f64,
}

/// A plan over the horizon: what it costs and which jobs it does first (bit k = job k).
#[derive(Clone, Copy)]
struct Found {
    cost: f64,
    first: usize,
}

/// Money under which two plans count as the same.
const ALIKE: f64 = 1e-7;
/// Plans kept in each layer while a first good one is sought, and once the effort is spent.
const NARROW: usize = 256;
/// Plans kept in each layer at most.
const WIDE: usize = 12_000;
/// Plans reached in all before layers are narrowed.
const EFFORT: usize = 3_000_000;

/// Groups jobs over the horizon.
///
/// # Formula
/// Least Σ(base + access + jobs) − Σ cost·max(0, interval − age at the end)/interval over all ways that do each job by
/// its interval. It never pays to start at a time when nothing is due: everything done then can wait one ride.
///
/// # Source
/// Derived here (`grouping`); integer programmes agree in the check rows.
#[must_use]
pub fn group(bench: &Bench) -> Grouping {
    let (greedy, each_when_due) = (simple::greedy(bench), simple::each_when_due(bench));
    let layers = Layers::new(bench);
    let mut best = if greedy.cost <= each_when_due.cost { greedy } else { each_when_due };
    best = layers.least(best.cost, 0).0.unwrap_or(best);
    let (found, dropped) = layers.least(best.cost, EFFORT);
    best = found.unwrap_or(best);
    Grouping {
        cost: best.cost,
        now: (0..bench.jobs.len()).filter(|job| best.first >> job & 1 == 1).collect(),
        each_when_due: each_when_due.cost,
        greedy: greedy.cost,
        unproved: (best.cost - dropped).max(0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(interval: u8, age: u32, cost: f64, access: &[usize]) -> Recurring {
        Recurring { interval, age, cost, access: access.to_vec() }
    }

    #[test]
    fn a_dear_opening_pulls_a_job_forward() {
        let jobs = vec![job(6, 6, 1000.0, &[0]), job(6, 5, 1000.0, &[0])];
        let bench = Bench { jobs, access: vec![5000.0], base: 0.0, horizon: 12 };
        assert_eq!(group(&bench).now, [0, 1]);
    }

    #[test]
    fn without_any_opening_each_job_waits_for_its_own_day() {
        let jobs = vec![job(3, 3, 500.0, &[]), job(4, 3, 700.0, &[]), job(9, 9, 0.0, &[])];
        let bench = Bench { jobs, access: vec![], base: 0.0, horizon: 18 };
        let grouping = group(&bench);
        assert_eq!(grouping.now, [0, 2]);
        assert!((grouping.cost - grouping.each_when_due).abs() < 1e-9);
    }

    #[test]
    fn eight_jobs_of_long_intervals_are_answered_and_owned_up_to() {
        let part = |k: u8| job(60 - k * 5, u32::from(k) * 7, 400.0 + 150.0 * f64::from(k), &[usize::from(k) % 3]);
        let bench =
            Bench { jobs: (0..8).map(part).collect(), access: vec![1500.0, 800.0, 2500.0], base: 1000.0, horizon: 60 };
        let grouping = group(&bench);
        assert!(grouping.cost <= grouping.greedy && grouping.cost <= grouping.each_when_due);
        assert!(grouping.unproved < 0.2 * grouping.cost);
    }

    #[test]
    fn a_plan_that_has_its_effort_is_proved_although_a_narrow_look_would_not_do() {
        let part = |k: u8| job(13 - k, u32::from(k), 300.0 + 170.0 * f64::from(k), &[usize::from(k) % 3, 3]);
        let bench = Bench {
            jobs: (0..6).map(part).collect(),
            access: vec![900.0, 500.0, 1400.0, 250.0],
            base: 600.0,
            horizon: 40,
        };
        assert_eq!(group(&bench).unproved, 0.0);
        let ceiling = group(&bench).each_when_due;
        let (_, dropped) = Layers::new(&bench).least(ceiling, 0);
        // The narrow look left plans out, none of which was hopeless.
        assert!(dropped > 0.0 && dropped <= ceiling * (1.0 + 1e-5), "{dropped} {ceiling}");
    }
}
