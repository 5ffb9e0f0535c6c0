//! Pairs replayed over a ride: what each would have cost, in order of rank.

use std::ops::Range;

use drive::gearing::{Pair, speed_kmh};
use rayon::prelude::*;

use super::chosen::steps;
use super::demand::{Body, Ground, Moment};
use super::gears::{Asked, Model, Scratch};
use super::legs::{Motion, legs};
use super::machine::{Geared, MOST_GEARS, Machine, Riding, Weights};
use super::rank::{feasible, rank};
use crate::quantile::{quantile, real};

/// The fastest a ride saw: this quantile of its speeds, so that one bad point does not decide.
const FASTEST: f64 = 0.995;
/// Samples that one task replays: fixed, so that sums do not depend on how many cores there are.
const TASK_SAMPLES: usize = 8192;
/// Ratios that one task replays: a leg cannot be parted, so a long one is shared out by ratios. What is the same for all
/// of them is worked out once a task.
const TASK_RATIOS: usize = 12;

/// What is replayed on what.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The machine.
    pub machine: Machine<'a>,
    /// Its idle, rpm.
    pub idle_rpm: f64,
    /// Masses and geometry.
    pub body: Body,
    /// Ground and air.
    pub ground: Ground,
    /// How it is ridden.
    pub riding: Riding,
    /// The ride.
    pub motion: Motion<'a>,
    /// The candidates, at least one.
    pub pairs: &'a [Pair],
    /// Weights of the gear choice.
    pub weights: Weights,
}

/// One candidate's ride.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// The pair.
    pub pair: Pair,
    /// Cost per kilometre.
    pub cost_per_km: f64,
    /// Share of the time in each gear, percent.
    pub gear_pct: Vec<f64>,
    /// Gear steps per kilometre.
    pub shifts_per_km: f64,
    /// Share of the time below the clutch's engine speed, percent.
    pub slip_pct: f64,
    /// Share of the time beyond the limiter, percent.
    pub over_pct: f64,
    /// Thrust that was missing, as a share of the thrust asked for, percent.
    pub missed_pct: f64,
    /// Speed at the limiter in top gear without slip, km/h.
    pub top_geared_kmh: f64,
    /// How far that, with slip, lies above the fastest of the ride, percent.
    pub headroom_pct: f64,
    /// First gear at idle, km/h.
    pub crawl_idle_kmh: f64,
    /// First gear with the clutch just out, km/h.
    pub crawl_slip_kmh: f64,
    /// Headroom and limiter are kept.
    pub feasible: bool,
    /// No other candidate is at least as good in slip, missing thrust, limiter and shifts, and better in one.
    pub pareto: bool,
    /// Within 3 % of the best's cost, and as feasible.
    pub as_good: bool,
}

/// The outcome of a replay.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The candidates, best first.
    pub ranked: Vec<Ranked>,
    /// Time under way, s.
    pub moving_s: f64,
    /// Distance under way, m.
    pub distance_m: f64,
    /// Share of the time at which the ground held less than was asked, percent.
    pub grip_limited_pct: f64,
    /// Thrust asked for on average while under way, braking as 0, N.
    pub asked_mean_n: f64,
}

/// What the ride asked, sample by sample.
pub(super) struct Demanded {
    pub(super) used_n: Vec<f64>,
    grip_limited: Vec<bool>,
}

/// The demand of every sample; it does not depend on the gear.
pub(super) fn demanded(question: &Question<'_>) -> Demanded {
    let Motion { speed_mps, grade, accel_mps2, .. } = question.motion;
    let forces = speed_mps.par_iter().zip(grade).zip(accel_mps2).with_min_len(TASK_SAMPLES);
    let (used_n, grip_limited) = forces
        .map(|((speed_mps, grade), accel_mps2)| {
            let moment = Moment { speed_mps: *speed_mps, grade: *grade, accel_mps2: *accel_mps2 };
            let forces = question.body.forces(&question.ground, &moment, 0.0);
            (forces.used_n, forces.grip_limited())
        })
        .unzip();
    Demanded { used_n, grip_limited }
}

/// Sums of one candidate over legs.
#[derive(Debug, Clone, Copy, Default)]
struct Tally {
    cost: f64,
    gears: [u32; MOST_GEARS],
    shifts: u32,
    slipping: u32,
    over: u32,
    missed_n: f64,
}

impl Tally {
    fn add(&mut self, other: &Self) {
        self.cost += other.cost;
        self.gears.iter_mut().zip(other.gears).for_each(|(sum, more)| *sum += more);
        self.shifts += other.shifts;
        self.slipping += other.slipping;
        self.over += other.over;
        self.missed_n += other.missed_n;
    }
}

/// Replays a group of legs with every distinct ratio.
fn replay(
    question: &Question<'_>,
    model: &Model<'_>,
    all: &[Geared],
    used_n: &[f64],
    group: &[Range<usize>],
) -> Vec<Tally> {
    let revs = &question.machine.revs;
    let (mut asked, mut scratch) = (Asked::default(), Scratch::default());
    let mut tallies = vec![Tally::default(); all.len()];
    for leg in group {
        model.ask(&question.motion.speed_mps[leg.clone()], &used_n[leg.clone()], &mut asked);
        for (geared, tally) in all.iter().zip(&mut tallies) {
            tally.cost += model.solve(&asked, geared, &mut scratch);
            tally.shifts += steps(&scratch.path);
            for ((gear, wheel_rpm), used_n) in scratch.path.iter().zip(&asked.wheel_rpm).zip(&asked.used_n) {
                let gear = usize::from(*gear);
                let rpm = wheel_rpm * geared.totals[gear];
                tally.gears[gear] += 1;
                tally.slipping += u32::from(rpm < revs.slip_rpm);
                tally.over += u32::from(rpm > revs.max_rpm);
                tally.missed_n += model.short_n(geared, gear, *wheel_rpm, *used_n);
            }
        }
    }
    tallies
}

/// Groups legs into tasks of about [`TASK_SAMPLES`]; a longer leg is a task of its own.
fn grouped(legs: &[Range<usize>]) -> Vec<&[Range<usize>]> {
    let mut groups = Vec::new();
    let (mut from, mut samples) = (0, 0);
    for (at, leg) in legs.iter().enumerate() {
        samples += leg.len();
        if samples >= TASK_SAMPLES {
            groups.push(&legs[from..=at]);
            (from, samples) = (at + 1, 0);
        }
    }
    if from < legs.len() {
        groups.push(&legs[from..]);
    }
    groups
}

/// Replays all legs with every distinct ratio, shared out over the cores; the sums run over the groups in their order.
fn replayed(
    question: &Question<'_>,
    model: &Model<'_>,
    all: &[Geared],
    used_n: &[f64],
    legs: &[Range<usize>],
) -> Vec<Tally> {
    let groups = grouped(legs);
    let tasks: Vec<_> =
        groups.iter().flat_map(|group| all.chunks(TASK_RATIOS).map(move |some| (group, some))).collect();
    let done: Vec<Vec<Tally>> =
        tasks.into_par_iter().map(|(group, some)| replay(question, model, some, used_n, group)).collect();
    let mut tallies = vec![Tally::default(); all.len()];
    for of_group in done.chunks(all.len().div_ceil(TASK_RATIOS)) {
        tallies.iter_mut().zip(of_group.iter().flatten()).for_each(|(sum, more)| sum.add(more));
    }
    tallies
}

/// Replays the ride with every candidate and ranks them; `None` where nothing moves.
///
/// # Formula
/// Rank: feasible first, then cost per kilometre, then ratio, then front teeth.
#[must_use]
pub fn compare(question: &Question<'_>) -> Option<Comparison> {
    let Motion { t_s, speed_mps, .. } = question.motion;
    let legs = legs(t_s, speed_mps, question.riding.step_s);
    if legs.is_empty() {
        return None;
    }
    let demanded = demanded(question);
    let model = Model::new(question.machine, question.riding, question.weights);
    let mut ratios: Vec<_> = question.pairs.iter().map(|pair| pair.ratio()).collect();
    ratios.sort_unstable();
    ratios.dedup();
    let of_ratio = |pair: &Pair| ratios.binary_search(&pair.ratio()).unwrap_or(0);
    let mut distinct: Vec<Option<Geared>> = vec![None; ratios.len()];
    question.pairs.iter().for_each(|pair| distinct[of_ratio(pair)] = Some(model.geared(*pair)));
    let distinct: Vec<Geared> = distinct.into_iter().flatten().collect();
    let tallies = replayed(question, &model, &distinct, &demanded.used_n, &legs);
    let whole = Whole::of(question, &legs, &demanded);
    let mut ranked: Vec<Ranked> = question
        .pairs
        .iter()
        .map(|pair| whole.rated(question, *pair, &distinct[of_ratio(pair)], &tallies[of_ratio(pair)]))
        .collect();
    rank(&mut ranked);
    Some(Comparison {
        ranked,
        moving_s: whole.moving_s,
        distance_m: whole.distance_m,
        grip_limited_pct: whole.grip_limited_pct,
        asked_mean_n: whole.asked_n / whole.samples,
    })
}

/// What is the same for every candidate.
struct Whole {
    samples: f64,
    moving_s: f64,
    distance_m: f64,
    asked_n: f64,
    fastest_mps: f64,
    grip_limited_pct: f64,
}

impl Whole {
    fn of(question: &Question<'_>, legs: &[Range<usize>], demanded: &Demanded) -> Self {
        let step = question.riding.step_s;
        let mut speeds: Vec<f64> = Vec::new();
        let (mut asked_n, mut held) = (0.0, 0_u32);
        for leg in legs {
            speeds.extend_from_slice(&question.motion.speed_mps[leg.clone()]);
            asked_n += demanded.used_n[leg.clone()].iter().map(|used| used.max(0.0)).sum::<f64>();
            held += demanded.grip_limited[leg.clone()].iter().map(|held| u32::from(*held)).sum::<u32>();
        }
        let distance_m = speeds.iter().sum::<f64>() * step;
        let samples = real(speeds.len());
        Self {
            samples,
            moving_s: samples * step,
            distance_m,
            asked_n,
            fastest_mps: quantile(&mut speeds, FASTEST).unwrap_or(0.0),
            grip_limited_pct: 100.0 * f64::from(held) / samples,
        }
    }

    fn rated(&self, question: &Question<'_>, pair: Pair, geared: &Geared, tally: &Tally) -> Ranked {
        let Question { machine: Machine { rollout_m, revs, .. }, .. } = *question;
        let km = self.distance_m / 1000.0;
        let share = |samples: u32| 100.0 * f64::from(samples) / self.samples;
        let top_geared_kmh = speed_kmh(revs.max_rpm, geared.totals[geared.count - 1], rollout_m, 0.0);
        let crawl = |rpm: f64| speed_kmh(rpm, geared.totals[0], rollout_m, 0.0);
        let over_pct = share(tally.over);
        let headroom_pct = 100.0 * (top_geared_kmh / 3.6 * (1.0 - question.riding.slip) / self.fastest_mps - 1.0);
        Ranked {
            pair,
            cost_per_km: tally.cost / km,
            gear_pct: tally.gears[..geared.count].iter().map(|samples| share(*samples)).collect(),
            shifts_per_km: f64::from(tally.shifts) / km,
            slip_pct: share(tally.slipping),
            over_pct,
            missed_pct: if self.asked_n > 0.0 { 100.0 * tally.missed_n / self.asked_n } else { 0.0 },
            top_geared_kmh,
            headroom_pct,
            crawl_idle_kmh: crawl(question.idle_rpm),
            crawl_slip_kmh: crawl(revs.slip_rpm),
            feasible: feasible(headroom_pct, over_pct),
            pareto: true,
            as_good: false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn legs_are_grouped_into_tasks_that_are_full_and_the_rest() {
        let legs = |lengths: &[usize]| -> Vec<Range<usize>> {
            lengths
                .iter()
                .scan(0, |at, length| {
                    *at += length;
                    Some(*at - length..*at)
                })
                .collect()
        };
        let grouped_as =
            |lengths: &[usize]| -> Vec<usize> { grouped(&legs(lengths)).iter().map(|group| group.len()).collect() };
        assert_eq!(grouped_as(&[]), [0; 0]);
        assert_eq!(grouped_as(&[100]), [1]);
        assert_eq!(grouped_as(&[8191, 1, 5, 8192, 3, 3]), [2, 2, 2]);
        assert_eq!(grouped_as(&[8192, 8192]), [1, 1]);
        assert_eq!(grouped_as(&[4096, 4096, 4096, 4096, 1]), [2, 2, 1]);
        let all = legs(&[5000, 5000, 20, 9000, 7]);
        assert_eq!(grouped(&all).concat(), all, "none is lost or taken twice");
    }
}
