//! Laws of the smoothers, of stops, of the grid and of the kept ride.

use proptest::prelude::*;
use ride::profile::{Blob, HeightTuning, Keep, Part, Profile, Samples, Tuning, grade, of_samples, stops};
use ride::track::{Class, Place};

/// A ride by increments: seconds, metres east, metres north, elevation.
fn samples() -> impl Strategy<Value = Samples> {
    let step = (
        prop_oneof![4 => Just(1.0), 1 => 0.1..60.0_f64],
        -20.0..20.0_f64,
        -20.0..20.0_f64,
        prop_oneof![6 => (-30.0..30.0_f64).prop_map(Some), 1 => Just(None)],
    );
    prop::collection::vec(step, 3..80).prop_map(|steps| {
        let mut samples = Samples { origin: None, t_s: vec![], x_m: vec![], y_m: vec![], ele_m: vec![] };
        let (mut t, mut x, mut y) = (0.0, 0.0, 0.0);
        for (dt, dx, dy, ele) in steps {
            samples.t_s.push(t);
            samples.x_m.push(x);
            samples.y_m.push(y);
            samples.ele_m.push(ele);
            (t, x, y) = (t + dt, x + dx, y + dy);
        }
        samples
    })
}

fn smoothed(samples: Samples) -> Profile {
    of_samples(Class::Timed, [samples], &Tuning::USUAL)
}

fn only(profile: &Profile) -> &Part {
    &profile.parts[0]
}

fn close(a: &[f64], b: &[f64], tolerance: f64) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= tolerance * (1.0 + a.abs()))
}

proptest! {
    #[test]
    fn every_number_is_finite_and_distance_never_falls(samples in samples()) {
        let profile = smoothed(samples);
        let part = only(&profile);
        for list in [&part.x_m, &part.y_m, &part.s_m, &part.speed_mps, &part.accel_mps2, &part.sd_speed_mps] {
            prop_assert!(list.len() == part.t_s.len() && list.iter().all(|value| value.is_finite()));
        }
        prop_assert!(part.s_m.windows(2).all(|pair| pair[0] <= pair[1]));
        if let Some(height) = &part.height {
            prop_assert!(height.grade.iter().all(|grade| grade.abs() <= 0.7));
        }
    }

    #[test]
    fn a_turned_and_shifted_ride_is_the_same_ride(samples in samples(), angle in 0.0..6.3_f64, off in -1e4..1e4_f64) {
        let (sin, cos) = angle.sin_cos();
        let turned = Samples {
            t_s: samples.t_s.iter().map(|t| t + off.round()).collect(),
            x_m: samples.x_m.iter().zip(&samples.y_m).map(|(x, y)| cos * x - sin * y + off).collect(),
            y_m: samples.x_m.iter().zip(&samples.y_m).map(|(x, y)| sin * x + cos * y - off).collect(),
            ..samples.clone()
        };
        let (one, other) = (smoothed(samples), smoothed(turned));
        prop_assert!(close(&only(&one).speed_mps, &only(&other).speed_mps, 1e-5));
        prop_assert!(close(&only(&one).s_m, &only(&other).s_m, 1e-5));
    }

    #[test]
    fn a_ride_on_a_line_stays_on_it(count in 3_u32..60, vx in -20.0..20.0_f64, vy in -20.0..20.0_f64) {
        let t_s: Vec<f64> = (0..count).map(f64::from).collect();
        let along = |v: f64| t_s.iter().map(|t| v * t).collect::<Vec<f64>>();
        let ele_m = vec![None; t_s.len()];
        let profile = smoothed(Samples { origin: None, x_m: along(vx), y_m: along(vy), ele_m, t_s });
        let part = only(&profile);
        for (x, y) in part.x_m.iter().zip(&part.y_m) {
            prop_assert!((x * vy - y * vx).abs() < 1e-6 * (1.0 + x.abs() + y.abs()) * 20.0);
        }
    }

    #[test]
    fn a_straight_slope_is_its_own_smoothing(slope in -0.5..0.5_f64, base in -80.0..4000.0_f64, step in 1.0..60.0_f64) {
        let s_m: Vec<f64> = (0..80).map(|k| step * f64::from(k)).collect();
        let ele_m: Vec<_> = s_m.iter().map(|s| Some(base + slope * s)).collect();
        let height = grade(&s_m, &ele_m, &HeightTuning::USUAL).expect("elevations");
        // the first guess, grade 0 ± 1, pulls a little
        prop_assert!(height.grade.iter().all(|grade| (grade - slope).abs() < 0.01 + 0.05 / step));
    }

    #[test]
    fn moving_and_stopped_time_make_the_whole(samples in samples()) {
        let profile = smoothed(samples);
        let part = only(&profile);
        let (moving_s, stopped_s) = profile.moving_and_stopped_s();
        prop_assert!((moving_s + stopped_s - (part.t_s[part.t_s.len() - 1] - part.t_s[0])).abs() < 1e-6);
        prop_assert!(moving_s >= -1e-9 && stopped_s >= 0.0);
    }

    #[test]
    fn stops_are_in_order_and_apart(speeds in prop::collection::vec(prop_oneof![Just(0.0), Just(1.0), Just(2.0)], 1..80)) {
        let t_s: Vec<f64> = (0_u32..).take(speeds.len()).map(f64::from).collect();
        let found = stops(&t_s, &speeds);
        prop_assert!(found.spans_s.iter().all(|[begin, end]| begin < end));
        prop_assert!(found.spans_s.windows(2).all(|pair| pair[0][1] < pair[1][0]));
    }

    #[test]
    fn the_grid_meets_the_samples(samples in samples(), step_s in 0.1..5.0_f64) {
        let profile = smoothed(samples);
        let grid = profile.on_grid(step_s).expect("small");
        let (fine, part) = (only(&grid), only(&profile));
        prop_assert!((fine.speed_mps[0] - part.speed_mps[0]).abs() < 1e-9);
        let last = fine.t_s[fine.t_s.len() - 1];
        let end = part.t_s[part.t_s.len() - 1];
        prop_assert!(last <= end + 1e-6 && last > end - step_s - 1e-6);
        prop_assert!(fine.s_m.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9));
    }

    #[test]
    fn a_kept_ride_is_read_back(samples in samples(), places in any::<bool>()) {
        let samples = Samples { origin: Place::new(46.0, 11.0), ..samples };
        let keep = if places { Keep::MotionAndPlaces } else { Keep::Motion };
        let blob = Blob::of(&smoothed(samples).on_grid(1.0).expect("small"), 1.0, keep);
        let bytes = blob.encode();
        prop_assert_eq!(Blob::decode(&bytes), Ok(blob));
    }

    #[test]
    fn a_kept_ride_has_every_value_to_seven_digits(samples in samples()) {
        let grid = smoothed(samples).on_grid(1.0).expect("small");
        let blob = Blob::of(&grid, 1.0, Keep::Motion);
        let (part, leg) = (only(&grid), &blob.legs[0]);
        for (exact, kept) in [(&part.speed_mps, &leg.speed_mps), (&part.accel_mps2, &leg.accel_mps2), (&part.s_m, &leg.s_m)] {
            prop_assert_eq!(exact.len(), kept.len());
            prop_assert!(exact.iter().zip(kept).all(|(exact, kept)| (exact - f64::from(*kept)).abs() <= 1e-7 * exact.abs() + 1e-30));
        }
    }

    #[test]
    fn a_damaged_kept_ride_never_panics(samples in samples(), at in any::<u16>(), byte in any::<u8>()) {
        let blob = Blob::of(&smoothed(samples).on_grid(1.0).expect("small"), 1.0, Keep::Motion);
        let mut bytes = blob.encode();
        let at = usize::from(at) % bytes.len();
        bytes[at] = byte;
        let _ = Blob::decode(&bytes);
    }
}
