//! The record in one document and back, as tables, and back to a copy.

use upkeep::record::{Fact, Meter};

use super::*;

on_each_engine!(
    a_document_read_into_an_empty_store_gives_the_same_document,
    a_document_that_is_none_changes_nothing,
    tables_are_quoted_and_run_nothing,
);

fn full<E: Trial>() -> Store<E> {
    let mut store = alder_on::<E>();
    let done = store.set_field("alder-350", put("links", Value::Whole(120)), &post()).unwrap();
    store.undo(done.change.unwrap(), &post()).unwrap();
    store.set_setting("theme", "dark", &keyed("k")).unwrap();
    let about = NewRide {
        hours_h: Some(0.1),
        note: Some("=1+1, \"so\"\nsaid he".into()),
        ..NewRide::new("Ä", "2026-07-12".parse().unwrap())
    };
    let meter = NewEntry::new("2026-07-12T18:00:00".parse().unwrap(), Fact::Meter(Meter::read(142.3).unwrap()));
    store.log_ride("alder-350", &about, Some(&[0, 255, 7]), &[meter], &post()).unwrap();
    store
}

fn a_document_read_into_an_empty_store_gives_the_same_document<E: Trial>() {
    let store = full::<E>();
    let text = store.export().unwrap();
    let mut again = E::fresh();
    again.import(&text).unwrap();
    assert_eq!(again.export().unwrap(), text);
    assert_eq!(again.check().unwrap(), store.check().unwrap());
    assert_eq!(again.bike("alder-350").unwrap(), alder());
    assert_eq!(again.log("alder-350").unwrap(), store.log("alder-350").unwrap());
    assert_eq!(again.ride_track(1).unwrap(), Some(vec![0, 255, 7]));
    // What comes next does not take a number that is taken.
    assert!(again.set_setting("theme", "light", &post()).unwrap().change > Some(4));
}

#[test]
fn no_table_is_left_out_of_the_document() {
    let store = Store::memory().unwrap();
    let mut all: Vec<String> = store
        .db
        .file
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<rusqlite::Result<_>>()
        .unwrap();
    // Bounds are the program's, and keys of forms are forgotten anyway.
    all.retain(|name| !["bound", "form_key"].contains(&name.as_str()));
    all.sort();
    let mut told = crate::whole::TABLES.to_vec();
    told.sort_unstable();
    assert_eq!(told, all);
}

fn a_document_that_is_none_changes_nothing<E: Trial>() {
    let text = full::<E>().export().unwrap();
    let mut store = E::fresh();
    let version = |number: u32| format!("\"schema_version\": {number}");
    let newer = schema::NEWEST + 1;
    for (wrong, named) in [
        ("{".to_owned(), "no JSON"),
        ("{}".to_owned(), "no record"),
        (text.replace(&version(schema::NEWEST), &version(newer)), &*format!("schema {newer}")),
        (text.replace("\"meter\": [", "\"mood\": ["), "mood"),
        (text.replace("\"read_h\":142.3", "\"read_h\":-1.0"), "row 1 of meter"),
        (text.replace("\"read_h\":142.3", "\"read\":142.3"), "read is not known"),
        (text.replace("\"packed\":\"", "\"packed\":\"0"), "ride_track"),
        (text.replace("\"bike\":\"alder-350\",\"kind\"", "\"bike\":\"nobody\",\"kind\""), "row 1 of entry"),
    ] {
        assert_ne!(wrong, text, "{named}");
        let why = store.import(&wrong).unwrap_err();
        assert!(matches!(why, StoreError::Document { .. }) && why.to_string().contains(named), "{named}: {why}");
        assert!(store.bikes().unwrap().is_empty());
    }
    let older = text.replace(&version(schema::NEWEST), &version(4));
    store.import(&older).unwrap();
    assert!(matches!(store.import(&text), Err(StoreError::NotEmpty)));
}

fn tables_are_quoted_and_run_nothing<E: Trial>() {
    let sheets = full::<E>().sheets().unwrap();
    let ride = &sheets.iter().find(|sheet| sheet.name == "ride").unwrap().text;
    let (head, row) = ride.split_once("\r\n").unwrap();
    assert!(head.starts_with("id,change,bike,name,day,began,hours_h,"), "{head}");
    assert!(row.contains("Ä") && row.contains("\"'=1+1, \"\"so\"\"\nsaid he\"") && row.ends_with("\r\n"), "{row}");
    assert!(sheets.iter().all(|sheet| sheet.name != "ride_track" && sheet.text.ends_with("\r\n")));
    let meter = &sheets.iter().find(|sheet| sheet.name == "meter").unwrap().text;
    assert_eq!(meter, "entry,read_h,swap_old_h,swap_new_h\r\n1,142.3,,\r\n");
}

#[test]
fn a_copy_is_put_back_and_what_was_there_is_kept() {
    let folder = folder();
    let (place, copy) = (folder.path().join("bikes.db"), folder.path().join("copy.db"));
    let mut store = Store::open(&place).unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    store.backup(&copy).unwrap();
    store.put_bike(&Bike::new("second", "Second", false).unwrap(), &post()).unwrap();
    assert!(matches!(Store::restore(&copy, &place), Err(StoreError::Busy)), "it is open");
    drop(store);
    let aside = Store::restore(&copy, &place).unwrap().expect("kept aside");
    assert_eq!(Store::open(&place).unwrap().bikes().unwrap().len(), 1);
    assert_eq!(Store::open(&aside).unwrap().bikes().unwrap().len(), 2);
    let left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains("restoring"))
        .collect();
    assert_eq!(left, Vec::<String>::new());
}

#[test]
fn a_store_that_a_newer_program_has_open_is_not_changed_over() {
    let folder = folder();
    let (place, copy) = (folder.path().join("bikes.db"), folder.path().join("copy.db"));
    let newer = Store::open(&place).unwrap();
    newer.backup(&copy).unwrap();
    newer.db.file.pragma_update(None, "user_version", schema::NEWEST + 1).unwrap();
    assert!(matches!(Store::restore(&copy, &place), Err(StoreError::Busy)), "it is open");
    drop(newer);
    let aside = Store::restore(&copy, &place).unwrap().expect("kept aside");
    assert!(matches!(Store::open(&aside), Err(StoreError::Newer { .. })));
    assert_eq!(Store::open(&place).unwrap().version().unwrap(), schema::NEWEST);
}

#[test]
fn nobody_opens_a_store_while_it_is_changed_over() {
    let folder = folder();
    let (place, new) = (folder.path().join("bikes.db"), folder.path().join("new.db"));
    Store::open(&place).unwrap().backup(&new).unwrap();
    let opening = crate::sqlite::alone_in_folder(&place).expect("a folder to hold");
    std::thread::scope(|scope| {
        let changing = scope.spawn(|| crate::restore::exchange(&new, &place).unwrap());
        std::thread::sleep(Duration::from_millis(200));
        assert!(!changing.is_finished() && new.exists(), "it is changed over while somebody opens it");
        drop(opening);
        assert!(changing.join().unwrap().is_some());
    });
    assert!(!new.exists());
}

#[test]
fn a_document_told_while_somebody_writes_fits_together() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    let mut writer = Store::open(&place).unwrap();
    writer.put_bike(&alder(), &post()).unwrap();
    let over = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut number = 0;
            while !over.load(std::sync::atomic::Ordering::Relaxed) {
                let about = NewRide::new(format!("ride {number}"), "2026-01-01".parse().unwrap());
                writer.add_ride("alder-350", &about, None, &post()).unwrap();
                number += 1;
            }
        });
        let reader = Store::open(&place).unwrap();
        let told: Vec<String> = (0..60).map(|_| reader.export().unwrap()).collect();
        over.store(true, std::sync::atomic::Ordering::Relaxed);
        for text in &told {
            Store::memory().unwrap().import(text).unwrap();
        }
        assert!(told.windows(2).any(|two| two[0] != two[1]), "nobody wrote meanwhile: this proves nothing");
    });
}

#[test]
fn what_is_no_whole_copy_is_not_put_back() {
    let folder = folder();
    let (place, copy) = (folder.path().join("bikes.db"), folder.path().join("copy.db"));
    let mut store = Store::open(&place).unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    store.backup(&copy).unwrap();
    drop(store);
    let before = Store::open(&place).unwrap().export().unwrap();
    let mut bytes = std::fs::read(&copy).unwrap();
    let middle = bytes.len() / 2;
    for byte in &mut bytes[middle..] {
        *byte = !*byte;
    }
    std::fs::write(&copy, bytes).unwrap();
    assert!(Store::restore(&copy, &place).is_err());
    std::fs::write(&copy, "no store at all, but long enough to be looked at as one, surely").unwrap();
    assert!(matches!(Store::restore(&copy, &place), Err(StoreError::NotAStore { .. })));
    assert!(Store::restore(&folder.path().join("none.db"), &place).is_err());
    assert_eq!(Store::open(&place).unwrap().export().unwrap(), before);
}

#[test]
fn a_damaged_store_is_restored_over_and_kept() {
    let folder = folder();
    let (place, copy) = (folder.path().join("bikes.db"), folder.path().join("copy.db"));
    with_alder().backup(&copy).unwrap();
    std::fs::write(&place, "what the disk made of it, long enough to be looked at as a store").unwrap();
    let aside = Store::restore(&copy, &place).unwrap().expect("kept aside");
    assert!(std::fs::read_to_string(aside).unwrap().starts_with("what the disk"));
    assert_eq!(Store::open(&place).unwrap().bike("alder-350").unwrap(), alder());
    let fresh = folder.path().join("fresh.db");
    assert_eq!(Store::restore(&copy, &fresh).unwrap(), None);
    assert_eq!(Store::open(&fresh).unwrap().bikes().unwrap().len(), 1);
}
