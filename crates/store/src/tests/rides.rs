//! Rides and their tracks.

use super::*;

on_each_engine!(
    a_ride_comes_out_as_it_went_in_and_its_track_is_packed,
    a_ride_of_which_little_is_known_is_kept_so,
    the_same_file_is_told_and_not_stored_twice,
    a_ride_sent_twice_by_one_form_is_one_ride,
    a_ride_is_taken_back_by_undo_and_its_file_may_come_again_once,
    rides_are_listed_by_day_newest_first,
    a_part_of_a_ride_that_is_not_possible_is_named,
);

fn ride(name: &str) -> NewRide {
    NewRide {
        began: Some("2026-07-12T07:30:15.25Z".parse().unwrap()),
        hours_h: Some(2.4),
        ground: Some("moor".into()),
        wet: Some(true),
        note: Some("clunk over roots".into()),
        class: Some(TrackClass::PartlyTimed),
        distance_m: Some(41_250.5),
        moving_s: Some(8000.0),
        stopped_s: Some(640.0),
        points: Some(5000),
        fitted: Some(Fitted { front_teeth: 13, rear_teeth: 48, links: 118 }),
        ..NewRide::new(name, "2026-07-12".parse().unwrap())
    }
}

fn track() -> Vec<u8> {
    (0..200_000u32).flat_map(|step| (step / 7).to_le_bytes()).collect()
}

fn a_ride_comes_out_as_it_went_in_and_its_track_is_packed<E: Trial>() {
    let mut store = alder_on::<E>();
    let about = ride("Tarnel Moor").from_file("moor.gpx", b"<gpx/>");
    let AddedRide::New(id) = store.add_ride("alder-350", &about, Some(&track()), &post()).unwrap() else {
        panic!("it is new")
    };
    let stored = store.ride(id).unwrap();
    assert_eq!((stored.about, stored.bike.as_str(), stored.has_track), (about, "alder-350", true));
    assert_eq!(store.ride_track(id).unwrap(), Some(track()));
    let packed: Option<i64> = store.db.first("SELECT length(packed) FROM ride_track", &[], |row| row.get(0)).unwrap();
    let packed = packed.unwrap();
    assert!(packed < 800_000 / 3, "{packed} bytes");
}

fn a_ride_of_which_little_is_known_is_kept_so<E: Trial>() {
    let mut store = alder_on::<E>();
    let about = NewRide::new("Round the hill", "2026-08-01".parse().unwrap());
    let AddedRide::New(id) = store.add_ride("alder-350", &about, None, &post()).unwrap() else { panic!("it is new") };
    assert_eq!(store.ride(id).unwrap().about, about);
    assert_eq!(store.ride_track(id).unwrap(), None);
}

fn the_same_file_is_told_and_not_stored_twice<E: Trial>() {
    let mut store = alder_on::<E>();
    store.put_bike(&Bike::new("second", "Second", false).unwrap(), &post()).unwrap();
    let about = ride("A").from_file("a.gpx", b"one file");
    let AddedRide::New(first) = store.add_ride("alder-350", &about, None, &post()).unwrap() else {
        panic!("it is new")
    };
    let there = AddedRide::AlreadyThere { ride: first, bike: "alder-350".into() };
    let renamed = ride("B").from_file("b.gpx", b"one file");
    for bike in ["alder-350", "second"] {
        assert_eq!(store.add_ride(bike, &renamed, None, &keyed(bike)).unwrap(), there);
        assert_eq!(store.add_ride(bike, &renamed, None, &keyed(bike)).unwrap(), there);
    }
    assert_eq!(store.rides("alder-350").unwrap().len(), 1);
}

fn a_ride_sent_twice_by_one_form_is_one_ride<E: Trial>() {
    let mut store = alder_on::<E>();
    let AddedRide::New(id) = store.add_ride("alder-350", &ride("A"), None, &keyed("k")).unwrap() else {
        panic!("it is new")
    };
    let again = store.add_ride("alder-350", &ride("A"), None, &keyed("k")).unwrap();
    assert_eq!(again, AddedRide::AlreadyThere { ride: id, bike: "alder-350".into() });
    assert!(matches!(store.add_ride("alder-350", &ride("B"), None, &keyed("k")), Err(StoreError::KeyReused)));
    assert!(matches!(store.add_ride("alder-350", &ride("A"), None, &post()), Ok(AddedRide::New(_))));
}

fn a_ride_is_taken_back_by_undo_and_its_file_may_come_again_once<E: Trial>() {
    let mut store = alder_on::<E>();
    let about = ride("A").from_file("a.gpx", b"one file");
    let AddedRide::New(id) = store.add_ride("alder-350", &about, Some(b"t"), &post()).unwrap() else {
        panic!("it is new")
    };
    let undo = store.undo(store.ride(id).unwrap().change, &post()).unwrap().change.unwrap();
    assert!(matches!(store.ride(id), Err(StoreError::NoSuchRide { .. })));
    assert!(matches!(store.ride_track(id), Err(StoreError::NoSuchRide { .. })));
    assert!(matches!(store.add_ride("alder-350", &about, None, &post()), Ok(AddedRide::New(_))));
    assert!(matches!(store.undo(undo, &post()), Err(StoreError::Ride { field: "source_mark", .. })));
    assert_eq!(store.rides("alder-350").unwrap().len(), 1);
}

fn rides_are_listed_by_day_newest_first<E: Trial>() {
    let mut store = alder_on::<E>();
    for day in ["2026-07-01", "2026-09-01", "2025-12-31"] {
        store.add_ride("alder-350", &NewRide::new(day, day.parse().unwrap()), None, &post()).unwrap();
    }
    let days: Vec<_> = store.rides("alder-350").unwrap().into_iter().map(|ride| ride.about.name).collect();
    assert_eq!(days, ["2026-09-01", "2026-07-01", "2025-12-31"]);
}

fn a_part_of_a_ride_that_is_not_possible_is_named<E: Trial>() {
    let mut store = alder_on::<E>();
    for (wrong, field) in [
        (NewRide { hours_h: Some(-1.0), ..ride("A") }, "hours_h"),
        (NewRide { hours_h: Some(f64::NAN), ..ride("A") }, "hours_h"),
        (NewRide { distance_m: Some(f64::INFINITY), ..ride("A") }, "distance_m"),
        (NewRide { name: String::new(), ..ride("A") }, "name"),
        (NewRide { ground: Some("x".repeat(201)), ..ride("A") }, "ground"),
        (NewRide { note: Some("a\0b".into()), ..ride("A") }, "note"),
        (NewRide { fitted: Some(Fitted { front_teeth: 7, rear_teeth: 48, links: 118 }), ..ride("A") }, "front_teeth"),
        (NewRide { fitted: Some(Fitted { front_teeth: 13, rear_teeth: 48, links: 251 }), ..ride("A") }, "links"),
    ] {
        let why = store.add_ride("alder-350", &wrong, None, &post()).unwrap_err();
        assert!(matches!(why, StoreError::Ride { field: named, .. } if named == field), "{why}");
    }
    assert!(store.rides("alder-350").unwrap().is_empty());
    assert!(matches!(store.add_ride("no", &ride("A"), None, &post()), Err(StoreError::NoSuchBike { .. })));
}

#[test]
fn a_track_that_went_bad_is_an_error_and_not_a_short_track() {
    let mut store = with_alder();
    let AddedRide::New(id) = store.add_ride("alder-350", &ride("A"), Some(&track()), &post()).unwrap() else {
        panic!("it is new")
    };
    store.db.file.execute_batch("DROP TRIGGER ride_track_stays").unwrap();
    for spoil in
        ["bytes = bytes - 4", "bytes = bytes + 4, packed = packed", "packed = substr(packed, 1, 100)", "bytes = -1"]
    {
        store.db.file.execute_batch("SAVEPOINT s").unwrap();
        if store.db.file.execute(&format!("UPDATE ride_track SET {spoil}"), []).is_ok() {
            assert!(matches!(store.ride_track(id), Err(StoreError::Damaged { .. })), "{spoil}");
            assert!(matches!(store.check(), Err(StoreError::Damaged { .. })), "{spoil}");
        }
        store.db.file.execute_batch("ROLLBACK TO s; RELEASE s").unwrap();
    }
    assert!(store.check().is_ok());
}
