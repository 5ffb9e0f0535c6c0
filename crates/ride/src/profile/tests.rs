//! The smoothers by rides whose truth is plain to see.

use super::*;

fn samples(count: u32, at: impl Fn(f64) -> (f64, f64, Option<f64>)) -> Samples {
    let t_s: Vec<f64> = (0..count).map(f64::from).collect();
    let found: Vec<_> = t_s.iter().map(|t| at(*t)).collect();
    Samples {
        origin: None,
        x_m: found.iter().map(|one| one.0).collect(),
        y_m: found.iter().map(|one| one.1).collect(),
        ele_m: found.iter().map(|one| one.2).collect(),
        t_s,
    }
}

fn profile(samples: Samples) -> Profile {
    of_samples(Class::Timed, [samples], &Tuning::USUAL)
}

#[test]
fn a_steady_ride_up_a_steady_slope_has_its_speed_and_grade() {
    let ride = profile(samples(120, |t| (6.0 * t, 8.0 * t, Some(-80.0 + t))));
    let part = &ride.parts[0];
    assert!((part.speed_mps[60] - 10.0).abs() < 1e-3 && part.accel_mps2[60].abs() < 1e-3);
    assert!((part.distance.m() - 1190.0).abs() < 1.0);
    let height = part.height.as_ref().expect("elevations everywhere");
    assert!((height.grade[60] - 0.1).abs() < 1e-4 && (height.ele_m[60] + 20.0).abs() < 0.01);
}

#[test]
fn one_wild_sample_moves_the_gated_ride_little() {
    let wild = samples(60, |t| (10.0 * t, if (t - 30.0).abs() < 0.5 { 80.0 } else { 0.0 }, None));
    let gated = profile(wild.clone());
    let plane = PlaneTuning { gate: false, ..PlaneTuning::USUAL };
    let open = of_samples(Class::Timed, [wild], &Tuning { plane, ..Tuning::USUAL });
    assert!(gated.parts[0].y_m[30].abs() * 3.0 < open.parts[0].y_m[30].abs());
}

#[test]
fn standing_still_makes_no_slope() {
    let ride = profile(samples(300, |t| (10.0 * t.min(150.0), 0.0, Some(100.0 + (t * 7.0).sin()))));
    let height = ride.parts[0].height.as_ref().expect("known");
    assert!(height.grade.iter().all(|grade| grade.abs() < 0.05));
}

#[test]
fn a_grade_is_unknown_where_elevations_are_sparse() {
    let none = profile(samples(60, |t| (10.0 * t, 0.0, None)));
    let few = profile(samples(60, |t| (10.0 * t, 0.0, (t < 20.0).then_some(5.0))));
    let gappy = profile(samples(60, |t| (10.0 * t, 0.0, ((t % 15.0) > 0.5).then_some(5.0))));
    assert!(none.parts[0].height.is_none() && few.parts[0].height.is_none() && gappy.parts[0].height.is_none());
    assert!(!none.grade_known());
}

#[test]
fn an_elevation_that_jumps_is_taken_as_missing_and_counted() {
    let ride = profile(samples(60, |t| (10.0 * t, 0.0, Some(if (t - 30.0).abs() < 0.5 { 60.0 } else { 0.0 }))));
    assert_eq!(ride.elevation_jumps, 1);
    let height = ride.parts[0].height.as_ref().expect("known");
    assert!(height.ele_m.iter().all(|ele| ele.abs() < 1e-6));
}

#[test]
fn the_grid_keeps_ends_and_never_runs_backwards() {
    let ride = profile(samples(31, |t| (if t < 15.0 { 0.0 } else { 4.0 * (t - 15.0) }, 0.0, None)));
    let grid = ride.on_grid(0.25).expect("small");
    let part = &grid.parts[0];
    assert_eq!(part.t_s.len(), 121);
    assert!(part.speed_mps.iter().all(|speed| *speed >= 0.0));
    assert!((part.s_m[120] - ride.parts[0].s_m[30]).abs() < 1e-9);
    assert!(ride.on_grid(0.0).is_none() && ride.on_grid(f64::NAN).is_none() && ride.on_grid(1e-6).is_none());
}

#[test]
fn a_kept_ride_comes_back_as_it_was() {
    let ride = profile(samples(200, |t| (7.0 * t, (t / 9.0).sin(), Some(t / 20.0)))).on_grid(1.0).expect("small");
    let origin = Place::new(45.0, 7.0);
    let ride = Profile { parts: ride.parts.into_iter().map(|part| Part { origin, ..part }).collect(), ..ride };
    for keep in [Keep::Motion, Keep::MotionAndPlaces] {
        let blob = Blob::of(&ride, 1.0, keep);
        let bytes = blob.encode();
        assert_eq!(Blob::decode(&bytes).as_ref(), Ok(&blob));
        assert_eq!(blob.legs[0].places.is_some(), keep == Keep::MotionAndPlaces);
    }
    let bytes = Blob::of(&ride, 1.0, Keep::Motion).encode();
    assert!(bytes.len() < 200 * 20, "{} bytes", bytes.len());
    assert!((0..bytes.len()).all(|end| Blob::decode(&bytes[..end]).is_err()), "a cut blob is refused");
    assert_eq!(Blob::decode(b"GPX?"), Err(BlobFault::Foreign));
    assert_eq!(Blob::decode(b"RIDE\x09\x00"), Err(BlobFault::Version(9)));
}

#[test]
fn what_was_left_out_or_held_is_counted_over_all_parts() {
    let steep = || samples(60, |t| (10.0 * t, 0.0, Some(9.9 * t)));
    let jumps =
        |from: f64| samples(60, move |t| (10.0 * t, 0.0, Some(if t >= from && t < from + 2.0 { 60.0 } else { 0.0 })));
    let ride = of_samples(Class::Timed, [steep(), jumps(20.0), steep(), jumps(31.0)], &Tuning::USUAL);
    let clamped = |part: &Part| {
        part.height.as_ref().map_or(0, |height| height.grade.iter().filter(|grade| grade.abs() == 0.7).count())
    };
    let each: Vec<usize> = ride.parts.iter().map(clamped).collect();
    assert!(each[0] > 30 && each[0] == each[2] && each[1] + each[3] == 0, "{each:?}");
    assert_eq!((ride.grade_clamped, ride.elevation_jumps), (each[0] * 2, 4));
    let one = of_samples(Class::Timed, [steep()], &Tuning::USUAL);
    assert!((ride.distance() - one.distance() * 4.0).mm().abs() < 5e3 && ride.distance() > one.distance() * 3.9);
    let (moving_s, stopped_s) = ride.moving_and_stopped_s();
    assert!((moving_s + stopped_s - 4.0 * 59.0).abs() < 1e-9);
    assert!(ride.grade_known() && !of_samples(Class::Timed, [], &Tuning::USUAL).grade_known());
    let bare = samples(60, |t| (10.0 * t, 0.0, None));
    assert!(!of_samples(Class::Timed, [steep(), bare], &Tuning::USUAL).grade_known());
}

#[test]
fn a_grid_of_as_many_points_as_the_limit_is_made_and_one_of_more_is_not() {
    let long = |seconds: f64| {
        let ride = profile(samples(3, |t| (t, 0.0, None)));
        let part = Part { t_s: vec![0.0, seconds], ..ride.parts[0].clone() };
        let cut = |values: &[f64]| values[..2].to_vec();
        let part = Part {
            x_m: cut(&part.x_m),
            y_m: cut(&part.y_m),
            s_m: cut(&part.s_m),
            speed_mps: cut(&part.speed_mps),
            accel_mps2: cut(&part.accel_mps2),
            sd_speed_mps: cut(&part.sd_speed_mps),
            ..part
        };
        Profile { parts: vec![part], ..ride }
    };
    assert!(long(MOST_GRID_POINTS).on_grid(1.0).is_none(), "one point more than seconds");
    assert!(long(MOST_GRID_POINTS * 0.5).on_grid(0.5).is_none() && long(99.0).on_grid(-1.0).is_none());
    assert_eq!(long(99.0).on_grid(1.0).map(|ride| ride.parts[0].t_s.len()), Some(100));
}
