//! The invented ride whose motion is known: what is read from its noisy recording gives the answer that its truth gives.
//!
//! The truth, second by second, stands in `truth.txt`, made by `checks/ride/gen_truth.py` with the noise left out. How
//! near the smoothed motion comes to it is a check row (`ride.profile`, "against the truth").

use drive::engine::Curve;
use drive::gearing::{Gearbox, Pair, Ratio};
use ride::profile::{Tuning, smooth};
use ride::replay::{Body, Comparison, Ground, Load, Machine, Motion, Question, Ranked, Revs, Riding, Weights, compare};
use ride::track::{Limits, read};

const RECORDED: [&str; 2] = [
    include_str!("../../../data/gpx/synthetic_single_track.gpx"),
    include_str!("../../../data/gpx/synthetic_single_track_clean.gpx"),
];
const TRUTH: &str = include_str!("truth.txt");
/// Costs within this factor of the best are as good: the flat optimum.
const AS_GOOD: f64 = 1.03;

/// Lists of one length, a second apart within each part.
#[derive(Default)]
struct Moved {
    t_s: Vec<f64>,
    speed_mps: Vec<f64>,
    grade: Vec<f64>,
    accel_mps2: Vec<f64>,
}

fn truth() -> Moved {
    let mut moved = Moved::default();
    for line in TRUTH.lines() {
        let numbers: Vec<f64> = line.split(' ').map(|number| number.parse().expect("a number")).collect();
        let [t_s, speed_mps, accel_mps2, grade]: [f64; 4] = numbers.try_into().expect("four numbers a line");
        moved.t_s.push(t_s);
        moved.speed_mps.push(speed_mps);
        moved.accel_mps2.push(accel_mps2);
        moved.grade.push(grade);
    }
    moved
}

fn recorded(text: &str) -> Moved {
    let track = read(text, &Limits::USUAL).expect("is read");
    let profile = smooth(&track, &Tuning::USUAL).on_grid(1.0).expect("a grid");
    let mut moved = Moved::default();
    for part in profile.parts {
        moved.t_s.extend(&part.t_s);
        moved.speed_mps.extend(&part.speed_mps);
        moved.accel_mps2.extend(&part.accel_mps2);
        moved.grade.extend(&part.height.as_ref().expect("the heights are known").grade);
    }
    moved
}

/// An invented bike: primary, six gears, a curve of its own.
fn replayed(moved: &Moved, crr: f64, mass_kg: f64) -> Comparison {
    let gears = [2.40, 1.85, 1.45, 1.20, 1.03, 0.90].map(|ratio| Ratio::of_decimal(ratio).expect("a ratio"));
    let gearbox = Gearbox::new(Ratio::of_decimal(3.10).expect("a ratio"), gears.to_vec()).expect("falls");
    let points = [[2000.0, 17.0], [3500.0, 25.5], [5000.0, 32.0], [6500.0, 35.0], [8000.0, 36.0], [11_000.0, 26.0]];
    let curve = Curve::new(points.to_vec()).expect("rises");
    let pairs: Vec<Pair> =
        (12..=15).flat_map(|front| (44..=53).map(move |rear| Pair::of(front, rear).expect("teeth"))).collect();
    compare(&Question {
        machine: Machine {
            gearbox: &gearbox,
            curve: &curve,
            eta: 0.93,
            rollout_m: 2.1,
            revs: Revs { slip_rpm: 2600.0, lo_rpm: 4000.0, hi_rpm: 9000.0, max_rpm: 10_500.0, hard_rpm: 11_000.0 },
        },
        idle_rpm: 1800.0,
        body: Body {
            load: Load { mass_kg, cda_m2: 0.5 },
            wheels_kgm2: 1.0,
            rollout_m: 2.1,
            wheelbase_m: 1.483,
            cg_from_front_m: 0.764,
            cg_height_m: 0.93,
            aero_height_m: 1.0,
        },
        ground: Ground { crr, mu: 0.6, density_kgm3: 1.2 },
        riding: Riding { slip: 0.06, power_factor: 1.0, step_s: 1.0 },
        motion: Motion {
            t_s: &moved.t_s,
            speed_mps: &moved.speed_mps,
            grade: &moved.grade,
            accel_mps2: &moved.accel_mps2,
        },
        pairs: &pairs,
        weights: Weights::OURS,
    })
    .expect("it moves")
}

fn of_pair(all: &Comparison, pair: Pair) -> &Ranked {
    all.ranked.iter().find(|one| one.pair == pair).expect("every pair is ranked")
}

#[test]
fn the_answer_from_the_recording_is_the_one_from_the_truth_within_its_flat_optimum() {
    let moved = truth();
    for (name, text) in ["with defects", "clean"].iter().zip(RECORDED) {
        let read = recorded(text);
        for (crr, mass_kg) in [(0.03, 180.0), (0.06, 205.0), (0.12, 230.0)] {
            let (known, found) = (replayed(&moved, crr, mass_kg), replayed(&read, crr, mass_kg));
            let (best, advised) = (&known.ranked[0], &found.ranked[0]);
            let really = of_pair(&known, advised.pair);
            assert!(really.feasible == best.feasible, "{name}: {:?} does not keep what it must", advised.pair);
            assert!(
                really.cost_per_km <= AS_GOOD * best.cost_per_km,
                "{name}, crr {crr}: advised {:?} costs {} by the truth, the best {:?} {}",
                advised.pair,
                really.cost_per_km,
                best.pair,
                best.cost_per_km
            );
            assert!(of_pair(&found, best.pair).as_good, "{name}: the truth's best is not among those as good");
        }
    }
}

#[test]
fn another_ride_gives_another_answer() {
    // So that the test above can fail: at twice the speed the pair advised is far from as good.
    let moved = truth();
    let fast = Moved { speed_mps: moved.speed_mps.iter().map(|v| 2.0 * v).collect(), ..truth() };
    let (known, found) = (replayed(&moved, 0.06, 205.0), replayed(&fast, 0.06, 205.0));
    assert!(!of_pair(&known, found.ranked[0].pair).as_good, "{:?} suits both", found.ranked[0].pair);
}
