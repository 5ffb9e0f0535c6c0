//! What a replay says against the same sums written out plainly, one second and one gear after the other.

mod bike;

use bike::{BODY, Bike, GROUND, RIDING, compared, pair, ride, with};
use drive::gearing::Pair;
use proptest::prelude::*;
use ride::replay::{
    Climb, Limit, MOVING_MPS, Moment, Motion, Question, Riding, Weights, compare, gears, legs, stretch, top_speed,
};

/// One second of a ride with a pair: its gear, engine speed, thrust asked for and thrust there.
struct Second {
    at: usize,
    gear: usize,
    rpm: f64,
    used_n: f64,
    there_n: f64,
}

fn count(all: usize) -> f64 {
    f64::from(u32::try_from(all).expect("few"))
}

/// What the ground lets a moment use.
fn used_n((speed_mps, grade, accel_mps2): (f64, f64, f64)) -> (f64, bool) {
    let forces = BODY.forces(&GROUND, &Moment { speed_mps, grade, accel_mps2 }, 0.0);
    (forces.thrust_n.min(forces.grip_n), forces.thrust_n > forces.grip_n)
}

/// Thrust of a gear at an engine speed, the clutch slipping below its own.
fn thrust_n(bike: &Bike, total: f64, rpm: f64) -> f64 {
    let machine = bike.machine();
    let radius_m = machine.rollout_m / std::f64::consts::TAU;
    RIDING.power_factor * bike.curve.torque_nm(rpm.max(machine.revs.slip_rpm)) * total * machine.eta / radius_m
}

/// A ride with a pair, leg by leg.
fn ridden(bike: &Bike, ride: &[(f64, f64, f64)], pair: Pair) -> (f64, u32, Vec<Vec<Second>>) {
    let t_s: Vec<f64> = (0..ride.len()).map(count).collect();
    let speeds: Vec<f64> = ride.iter().map(|sample| sample.0).collect();
    let totals = bike.gearbox.totals(pair);
    let (mut cost, mut shifts, mut all) = (0.0, 0, Vec::new());
    for leg in legs(&t_s, &speeds, 1.0) {
        let asked: Vec<f64> = ride[leg.clone()].iter().map(|sample| used_n(*sample).0).collect();
        let chosen = gears(&bike.machine(), &RIDING, pair, &speeds[leg.clone()], &asked);
        cost += chosen.cost;
        shifts += chosen.gears.windows(2).map(|two| u32::from(two[0].abs_diff(two[1]))).sum::<u32>();
        let second = |(k, at): (usize, usize)| {
            let gear = usize::from(chosen.gears[k]);
            let rpm = speeds[at] / (1.0 - RIDING.slip) * 60.0 / bike.machine().rollout_m * totals[gear];
            Second { at, gear, rpm, used_n: asked[k], there_n: thrust_n(bike, totals[gear], rpm) }
        };
        all.push(leg.enumerate().map(second).collect());
    }
    (cost, shifts, all)
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * (1.0 + other.abs())
}

proptest! {
    #[test]
    fn a_second_in_a_gear_costs_what_the_formula_says(
        gear in 0..6_usize, speed in 0.5..45.0_f64, used in prop_oneof![-900.0..0.0_f64, 0.0..250.0_f64, 250.0..4000.0_f64],
    ) {
        let (bike, pair) = (Bike::new(6), pair(13, 50));
        let found = gears(&bike.only(gear).machine(), &RIDING, pair, &[speed], &[used]);
        let (machine, weights) = (bike.machine(), Weights::OURS);
        let revs = machine.revs;
        let total = bike.gearbox.totals(pair)[gear];
        let rpm = speed / (1.0 - RIDING.slip) * 60.0 / machine.rollout_m * total;
        let peak_w = bike.curve.peak_power_w() * RIDING.power_factor * machine.eta;
        let load = if used > 0.0 { (used * speed / peak_w).min(1.0) } else { 0.0 };
        let preferred = revs.lo_rpm + (revs.hi_rpm - revs.lo_rpm) * load;
        let above = |x: f64| x.max(0.0);
        let short_n = if used > 0.0 { above(used - thrust_n(&bike, total, rpm)) } else { 0.0 };
        let cost = weights.preference * (rpm / preferred).ln().powi(2)
            + weights.slip * above(1.0 - rpm / revs.slip_rpm)
            + weights.band * above((revs.lo_rpm - rpm) / revs.lo_rpm).powi(2)
            + weights.band * above((rpm - revs.hi_rpm) / (revs.max_rpm - revs.hi_rpm)).powi(2)
            + weights.thrust * short_n / used.max(200.0)
            + weights.over * above(rpm / revs.max_rpm - 1.0)
            + weights.hard * above(rpm / revs.hard_rpm - 1.0);
        prop_assert!(near(found.cost, cost), "{} for {cost}", found.cost);
        prop_assert!(near(found.rpm[0], rpm));
    }

    #[test]
    fn a_ranked_pair_is_what_its_seconds_add_up_to(ride in ride()) {
        let bike = Bike::new(6);
        let outcome = compared(&bike, &ride, &[pair(12, 48), pair(15, 45)]);
        let revs = bike.machine().revs;
        for one in &outcome.ranked {
            let (cost, shifts, legs) = ridden(&bike, &ride, one.pair);
            let seconds: Vec<&Second> = legs.iter().flatten().collect();
            let metres: f64 = seconds.iter().map(|second| ride[second.at].0).sum();
            let pct = |is: &dyn Fn(&Second) -> bool| {
                100.0 * count(seconds.iter().filter(|second| is(second)).count()) / count(seconds.len())
            };
            let asked: f64 = seconds.iter().map(|second| second.used_n.max(0.0)).sum();
            let missed: f64 = seconds.iter().map(|second| (second.used_n - second.there_n.max(0.0)).max(0.0)).sum();
            prop_assert!(near(one.cost_per_km, cost / metres * 1000.0));
            prop_assert!(near(one.shifts_per_km, f64::from(shifts) / metres * 1000.0));
            prop_assert!((0..6).all(|gear| near(one.gear_pct[gear], pct(&|second| second.gear == gear))));
            prop_assert!(near(one.slip_pct, pct(&|second| second.rpm < revs.slip_rpm)));
            prop_assert!(near(one.over_pct, pct(&|second| second.rpm > revs.max_rpm)));
            let missed_pct = if asked > 0.0 { 100.0 * missed / asked } else { 0.0 };
            prop_assert!(near(one.missed_pct, missed_pct));
            prop_assert!(near(outcome.asked_mean_n, asked / count(seconds.len())));
            prop_assert!(near(outcome.grip_limited_pct, pct(&|second| used_n(ride[second.at]).1)));
            prop_assert!(near(outcome.moving_s, count(seconds.len())) && near(outcome.distance_m, metres));
            let mut speeds: Vec<f64> = seconds.iter().map(|second| ride[second.at].0).collect();
            speeds.sort_by(f64::total_cmp);
            let rank = 0.995 * count(speeds.len() - 1);
            let below = (0..speeds.len()).rfind(|k| count(*k) <= rank).expect("one");
            let next = speeds[(below + 1).min(speeds.len() - 1)];
            let fastest = speeds[below] + (next - speeds[below]) * (rank - count(below));
            let totals = bike.gearbox.totals(one.pair);
            let kmh = |rpm: f64, total: f64| rpm / total * bike.machine().rollout_m * 60.0 / 1000.0;
            prop_assert!(near(one.top_geared_kmh, kmh(revs.max_rpm, totals[5])));
            let headroom = 100.0 * (one.top_geared_kmh * (1.0 - RIDING.slip) / (fastest * 3.6) - 1.0);
            prop_assert!(near(one.headroom_pct, headroom), "{} for {headroom}", one.headroom_pct);
            prop_assert_eq!(one.feasible, headroom >= 5.0 && one.over_pct <= 1.0);
            prop_assert!(near(one.crawl_idle_kmh, kmh(1400.0, totals[0])));
            prop_assert!(near(one.crawl_slip_kmh, kmh(revs.slip_rpm, totals[0])));
        }
    }

    #[test]
    fn a_stretch_is_what_its_seconds_add_up_to(ride in ride(), from in 0..60_usize, long in 0..30_usize) {
        let bike = Bike::new(6);
        let pairs = [pair(14, 48)];
        let (from_s, to_s) = (count(from), count(from + long));
        let inside = |at: usize| (from..=from + long).contains(&at);
        let found = with(&bike, &ride, &pairs, |question| stretch(question, from_s, to_s));
        let (_, _, legs) = ridden(&bike, &ride, pairs[0]);
        let legs: Vec<Vec<&Second>> =
            legs.iter().map(|leg| leg.iter().filter(|second| inside(second.at)).collect()).collect();
        let seconds: Vec<&Second> = legs.iter().flatten().copied().collect();
        prop_assert_eq!(found.is_some(), !seconds.is_empty());
        let Some(found) = found else { return Ok(()) };
        let metres: f64 = seconds.iter().map(|second| ride[second.at].0).sum();
        prop_assert!(near(found.moving_s, count(seconds.len())) && near(found.distance_m, metres));
        let one = &found.pairs[0];
        let pct = |is: &dyn Fn(&Second) -> bool| {
            100.0 * count(seconds.iter().filter(|second| is(second)).count()) / count(seconds.len())
        };
        let revs = bike.machine().revs;
        prop_assert!((0..6).all(|gear| near(one.gear_pct[gear], pct(&|second| second.gear == gear))));
        prop_assert!(near(one.slip_pct, pct(&|second| second.rpm < revs.slip_rpm)));
        prop_assert!(near(one.over_pct, pct(&|second| second.rpm > revs.max_rpm)));
        let most = (0..6).map(|gear| one.gear_pct[gear]).fold(0.0, f64::max);
        prop_assert_eq!(Some(one.main_gear), (0..6).find(|gear| near(one.gear_pct[*gear], most)));
        let shifts: usize =
            legs.iter().map(|leg| leg.windows(2).map(|two| two[0].gear.abs_diff(two[1].gear)).sum::<usize>()).sum();
        prop_assert_eq!(usize::try_from(one.shifts).expect("few"), shifts);
        let reserve = |second: &Second| second.there_n - second.used_n.max(0.0);
        let least = seconds.iter().map(|second| reserve(second)).fold(f64::INFINITY, f64::min);
        prop_assert!(near(one.reserve_min_n, least));
        let first = seconds.iter().find(|second| reserve(second) <= least + 1e-9).expect("one");
        prop_assert!(near(one.reserve_min_at_s, count(first.at)));
        let median = |mut all: Vec<f64>| {
            all.sort_by(f64::total_cmp);
            f64::midpoint(all[(all.len() - 1) / 2], all[all.len() / 2])
        };
        prop_assert!(near(one.rpm_median, median(seconds.iter().map(|second| second.rpm).collect())));
        prop_assert!(near(one.reserve_median_n, median(seconds.iter().map(|second| reserve(second)).collect())));
    }

    #[test]
    fn nothing_faster_than_the_top_speed_pulls(crr in 0.0..0.3_f64, grade in -0.2..0.5_f64, factor in 0.2..1.0_f64, slip in 0.0..0.1_f64) {
        let bike = Bike::new(6);
        let machine = bike.machine();
        let totals = bike.gearbox.totals(pair(14, 48));
        let climb = Climb {
            load: BODY.load, curve: machine.curve, eta: machine.eta, rollout_m: machine.rollout_m,
            slip_rpm: machine.revs.slip_rpm, max_rpm: machine.revs.max_rpm, crr, density_kgm3: 1.2, slip,
            power_factor: factor, grade,
        };
        let rpm = |speed: f64, total: f64| speed / (1.0 - slip) * 60.0 / machine.rollout_m * total;
        let pulls = |speed: f64, total: f64| {
            let turned = rpm(speed, total);
            let torque = factor * bike.curve.torque_nm(turned.max(machine.revs.slip_rpm));
            let thrust = torque * total * machine.eta * std::f64::consts::TAU / machine.rollout_m;
            let cos = grade.atan().cos();
            let weight = BODY.load.mass_kg * 9.80665;
            let against = weight * grade.atan().sin() + crr * weight * cos + 0.5 * 1.2 * BODY.load.cda_m2 * speed * speed;
            turned <= machine.revs.max_rpm * (1.0 + 1e-9) && thrust >= against - 1e-6
        };
        let found = top_speed(&climb, &totals);
        let geared = machine.revs.max_rpm / totals[5] * machine.rollout_m / 60.0 * (1.0 - slip);
        prop_assert!(near(found.geared_mps, geared));
        for k in 0..3000_u16 {
            let speed = geared * f64::from(3000 - k) / 3000.0;
            prop_assert!(speed <= found.speed_mps + 1e-6 || !totals.iter().any(|total| pulls(speed, *total - 1e-9)),
                "{speed} is faster than {}", found.speed_mps);
        }
        let Some((gear, turns)) = found.gear else {
            prop_assert!(found.speed_mps.abs() < 1e-12 && found.limit == Limit::Thrust);
            return Ok(());
        };
        prop_assert!(pulls(found.speed_mps, totals[gear]) && near(turns, rpm(found.speed_mps, totals[gear])));
        prop_assert_eq!(found.limit == Limit::Revs, found.speed_mps >= geared - 1e-9);
    }
}

proptest! {
    #[test]
    fn a_ride_of_longer_steps_takes_and_goes_further_by_as_much(ride in ride(), step_s in prop::sample::select(vec![0.5, 2.0, 4.0])) {
        // One gear: nothing is shifted, so each second costs the same in either ride.
        let (bike, pairs) = (Bike::new(6).only(3), [pair(14, 48)]);
        let both = with(&bike, &ride, &pairs, |question| {
            let t_s: Vec<f64> = question.motion.t_s.iter().map(|t| t * step_s).collect();
            let motion = Motion { t_s: &t_s, ..question.motion };
            let slower = Question { riding: Riding { step_s, ..question.riding }, motion, ..*question };
            let whole = |question: &Question<'_>| (compare(question).expect("moves"), stretch(question, -1.0, 1e6).expect("moves"));
            (whole(question), whole(&slower))
        });
        let ((one, seen), (other, seen_other)) = both;
        prop_assert!(near(other.moving_s, step_s * one.moving_s) && near(other.distance_m, step_s * one.distance_m));
        prop_assert!(near(seen_other.moving_s, step_s * seen.moving_s) && near(seen_other.distance_m, step_s * seen.distance_m));
        prop_assert!(near(other.ranked[0].cost_per_km, one.ranked[0].cost_per_km));
        prop_assert!(near(other.ranked[0].missed_pct, one.ranked[0].missed_pct) && near(other.asked_mean_n, one.asked_mean_n));
        prop_assert!(near(other.grip_limited_pct, one.grip_limited_pct));
    }
}

#[test]
fn a_leg_ends_past_a_step_and_a_half_and_below_walking_pace() {
    let at = |gap: f64, speed: f64| legs(&[0.0, 1.0, 1.0 + gap, 2.0 + gap], &[MOVING_MPS, 1.0, speed, 1.0], 1.0);
    assert_eq!(at(1.5, 1.0), vec![0..4]);
    assert_eq!(at(1.501, 1.0), vec![0..2, 2..4]);
    assert_eq!(at(1.0, MOVING_MPS), vec![0..4]);
    assert_eq!(at(1.0, MOVING_MPS - 1e-9), vec![0..2, 3..4]);
    assert_eq!(legs(&[0.0, 3.0, 6.0, 9.1], &[1.0; 4], 2.0), vec![0..3, 3..4]);
}
