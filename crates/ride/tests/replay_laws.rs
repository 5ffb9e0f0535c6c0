//! Laws of the replay that hold for any ride.

mod bike;

use bike::{BODY, Bike, GROUND, RIDING, compared, pair, ride, with};
use drive::gearing::Pair;
use proptest::prelude::*;
use ride::replay::{
    Body, Climb, Confidence, Facts, Ground, Load, MOVING_MPS, Moment, Weights, compare, confidence, gears, legs,
    stretch, study, top_speed,
};

proptest! {
    #[test]
    fn the_path_is_the_cheapest_of_all(
        run in prop::collection::vec((0.6..30.0_f64, -500.0..1500.0_f64), 1..6),
        gear_count in 1..=4_usize,
    ) {
        let bike = Bike::new(gear_count);
        let (speeds, thrusts): (Vec<f64>, Vec<f64>) = run.iter().copied().unzip();
        let found = gears(&bike.machine(), &RIDING, pair(13, 50), &speeds, &thrusts);
        // What one second costs in one gear: a box of that gear alone has no other path.
        let node = |k: usize, gear: usize| {
            gears(&bike.only(gear).machine(), &RIDING, pair(13, 50), &speeds[k..=k], &thrusts[k..=k]).cost
        };
        let nodes: Vec<Vec<f64>> = (0..run.len()).map(|k| (0..gear_count).map(|g| node(k, g)).collect()).collect();
        let cost = |path: &[usize]| {
            let seconds: f64 = path.iter().enumerate().map(|(k, gear)| nodes[k][*gear]).sum();
            let steps: usize = path.windows(2).map(|two| two[0].abs_diff(two[1])).sum();
            seconds + Weights::OURS.shift * f64::from(u32::try_from(steps).expect("few"))
        };
        let every = (0..gear_count.pow(u32::try_from(run.len()).expect("short"))).map(|mut code| {
            let path: Vec<usize> = run.iter().map(|_| { let gear = code % gear_count; code /= gear_count; gear }).collect();
            cost(&path)
        });
        let least = every.fold(f64::INFINITY, f64::min);
        prop_assert!((found.cost - least).abs() < 1e-9);
        let path: Vec<usize> = found.gears.iter().map(|gear| usize::from(*gear)).collect();
        prop_assert!((cost(&path) - least).abs() < 1e-9);
    }

    #[test]
    fn legs_hold_every_moving_sample_once(speeds in prop::collection::vec(0.0..2.0_f64, 0..60), gap in 0..60_usize) {
        let times: Vec<f64> = (0..speeds.len()).map(|k| {
            f64::from(u32::try_from(k).expect("short")) + if k >= gap { 30.0 } else { 0.0 }
        }).collect();
        let all: Vec<usize> = legs(&times, &speeds, 1.0).into_iter().flatten().collect();
        let moving: Vec<usize> = (0..speeds.len()).filter(|k| speeds[*k] >= MOVING_MPS).collect();
        prop_assert_eq!(all, moving);
        prop_assert!(legs(&times, &speeds, 1.0).iter().all(|leg| !(leg.contains(&gap) && leg.start < gap)));
    }

    #[test]
    fn shares_sum_to_the_ride(ride in ride()) {
        let bike = Bike::new(6);
        let pairs = [pair(12, 48), pair(14, 56), pair(14, 48), pair(15, 45)];
        let outcome = compared(&bike, &ride, &pairs);
        let moving: Vec<f64> = ride.iter().map(|sample| sample.0).filter(|v| *v >= MOVING_MPS).collect();
        prop_assert!((outcome.distance_m - moving.iter().sum::<f64>()).abs() < 1e-9 * outcome.distance_m);
        for one in &outcome.ranked {
            prop_assert!((one.gear_pct.iter().sum::<f64>() - 100.0).abs() < 1e-9);
            prop_assert!((0.0..=100.0).contains(&one.missed_pct) && (0.0..=100.0).contains(&one.slip_pct));
        }
        // Equal ratios ride alike, whatever their teeth.
        let of = |pair: Pair| outcome.ranked.iter().find(|one| one.pair == pair).expect("a candidate");
        let (small, large) = (of(pairs[0]), of(pairs[1]));
        prop_assert_eq!(&small.gear_pct, &large.gear_pct);
        prop_assert!((small.cost_per_km - large.cost_per_km).abs() < 1e-12);
        prop_assert!(outcome.ranked.iter().any(|one| one.pareto));
    }

    #[test]
    fn the_order_of_candidates_does_not_matter(ride in ride()) {
        let bike = Bike::new(5);
        let pairs = [pair(12, 48), pair(14, 48), pair(15, 45), pair(13, 50)];
        let mut turned = pairs;
        turned.reverse();
        prop_assert_eq!(compared(&bike, &ride, &pairs), compared(&bike, &ride, &turned));
    }

    #[test]
    fn a_stretch_over_the_whole_ride_is_the_ride(ride in ride()) {
        let bike = Bike::new(6);
        let pairs = [pair(13, 49)];
        let whole = compared(&bike, &ride, &pairs);
        let seen = with(&bike, &ride, &pairs, |question| stretch(question, -1.0, 1e6).expect("moves"));
        prop_assert!((seen.moving_s - whole.moving_s).abs() < 1e-9);
        prop_assert!(seen.pairs[0].gear_pct.iter().zip(&whole.ranked[0].gear_pct).all(|(a, b)| (a - b).abs() < 1e-9));
        prop_assert!(seen.pairs[0].reserve_min_n <= seen.pairs[0].reserve_median_n);
        prop_assert!((seen.pairs[0].slip_pct - whole.ranked[0].slip_pct).abs() < 1e-9);
    }

    #[test]
    fn a_study_has_eight_runs_and_the_nominal_best_is_in_its_own_band(ride in ride()) {
        let bike = Bike::new(3);
        let pairs = [pair(13, 49), pair(14, 48)];
        let runs = with(&bike, &ride, &pairs, |question| study(question, &compare(question).expect("moves")));
        prop_assert_eq!(runs.len(), 8);
        let best = compared(&bike, &ride, &pairs).ranked[0].pair;
        prop_assert!(runs.iter().all(|run| run.best != best || run.in_band));
        prop_assert!((0..4).all(|k| runs.iter().map(|run| run.signs[k]).sum::<i8>() == 0));
    }

    #[test]
    fn forces_scale_and_grip_holds(v in 0.0..40.0_f64, grade in -0.7..0.7_f64, accel in -5.0..5.0_f64, mu in 0.05..1.5_f64) {
        let moment = Moment { speed_mps: v, grade, accel_mps2: accel };
        let ground = Ground { mu, ..GROUND };
        let forces = BODY.forces(&ground, &moment, 0.0);
        prop_assert!(forces.used_n <= forces.grip_n + 1e-9 && forces.used_n <= forces.thrust_n + 1e-9);
        prop_assert!(forces.rear_load_n >= 0.0 && forces.rear_load_n <= forces.resistance.pressing_n);
        let heavy = Body { load: Load { mass_kg: 410.0, ..BODY.load }, ..BODY };
        let twice = heavy.forces(&ground, &moment, 0.0);
        prop_assert!((twice.resistance.grade_n - 2.0 * forces.resistance.grade_n).abs() < 1e-9);
        prop_assert!((twice.resistance.drag_n - forces.resistance.drag_n).abs() < 1e-12);
        let level = forces.resistance.grade_n.hypot(forces.resistance.pressing_n);
        prop_assert!((level - 205.0 * 9.80665).abs() < 1e-9);
    }

    #[test]
    fn more_resistance_is_never_faster(crr in 0.0..0.3_f64, more in 0.001..0.2_f64, grade in -0.1..0.3_f64) {
        let bike = Bike::new(6);
        let machine = bike.machine();
        let totals = bike.gearbox.totals(pair(14, 48));
        let top = |crr: f64| {
            let climb = Climb {
                load: BODY.load, curve: machine.curve, eta: machine.eta, rollout_m: machine.rollout_m,
                slip_rpm: machine.revs.slip_rpm, max_rpm: machine.revs.max_rpm, crr, density_kgm3: 1.2, slip: 0.0,
                power_factor: 1.0, grade,
            };
            top_speed(&climb, &totals)
        };
        let (easy, hard) = (top(crr), top(crr + more));
        prop_assert!(hard.speed_mps <= easy.speed_mps + 1e-9);
        prop_assert!(easy.speed_mps <= easy.geared_mps + 1e-9);
    }

    #[test]
    fn a_better_fact_never_lowers_the_confidence(
        runs in 0..8_u32, flags in prop::array::uniform5(any::<bool>()), moving in 0.0..3000.0_f64, interval in 0.0..10.0_f64,
    ) {
        let level = |facts: &Facts| match confidence(facts).0 {
            Confidence::High => 2,
            Confidence::Medium => 1,
            Confidence::Low => 0,
        };
        let facts = Facts {
            runs_in_band: runs, grade_known: flags[0], curve_given: flags[1], moving_s: moving, saturated: flags[2],
            interval_s: interval, at_edge: flags[3], geometry_only: flags[4],
        };
        let better = [
            Facts { runs_in_band: runs + 1, ..facts }, Facts { grade_known: true, ..facts }, Facts { curve_given: true, ..facts },
            Facts { moving_s: moving + 1200.0, ..facts }, Facts { saturated: false, ..facts }, Facts { interval_s: 1.0, ..facts },
            Facts { at_edge: false, ..facts }, Facts { geometry_only: false, ..facts },
        ];
        prop_assert!(better.iter().all(|better| level(better) >= level(&facts)));
        prop_assert_eq!(confidence(&facts).1.is_empty(), level(&facts) == 2);
    }
}

#[test]
fn what_is_asked_on_an_even_ride_does_not_hang_on_its_length() {
    let bike = Bike::new(6);
    let asked = |samples: usize| compared(&bike, &vec![(8.0, 0.05, 0.0); samples], &[pair(14, 48)]).asked_mean_n;
    let (short, long) = (asked(10), asked(70));
    // Weight up the slope and rolling, without the air: 205 kg, a slope of 5 %, a coefficient of 0.06.
    let least = 205.0 * 9.8 * (0.05_f64.atan().sin() + 0.06 * 0.05_f64.atan().cos());
    assert!((short - long).abs() < 1e-9 * long, "{short} {long}");
    assert!(long > least && long < 1.5 * least, "{long} {least}");
}
