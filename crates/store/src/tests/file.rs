//! The file: opening, older and newer ones, two writers, a full disk, copies.

use std::path::Path;

use super::*;

#[test]
fn a_store_is_there_after_it_was_closed() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    Store::open(&place).unwrap().put_bike(&alder(), &post()).unwrap();
    let store = Store::open(&place).unwrap();
    assert_eq!(store.bike("alder-350").unwrap(), alder());
    assert_eq!(store.check().unwrap(), Checked { bikes: 1, facts: alder().entries().count(), rides: 0, entries: 0 });
}

#[cfg(unix)]
#[test]
fn only_the_owner_can_read_the_file() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = folder();
    let place = folder.path().join("bikes.db");
    Store::open(&place).unwrap();
    assert_eq!(std::fs::metadata(&place).unwrap().permissions().mode() & 0o077, 0);
}

#[test]
fn a_write_is_on_the_disk_before_it_is_answered() {
    let folder = folder();
    let store = Store::open(folder.path().join("bikes.db")).unwrap();
    let pragma = |name: &str| store.db.file.pragma_query_value(None, name, |row| row.get::<_, i64>(0)).unwrap();
    assert_eq!((pragma("synchronous"), pragma("foreign_keys")), (2, 1));
    let mode: String = store.db.file.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
}

#[test]
fn every_table_is_strict() {
    let store = Store::memory().unwrap();
    let loose: Vec<String> = store
        .db
        .file
        .prepare("SELECT name FROM pragma_table_list WHERE type = 'table' AND NOT strict AND name NOT LIKE 'sqlite_%'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<rusqlite::Result<_>>()
        .unwrap();
    assert_eq!(loose, Vec::<String>::new());
}

#[test]
fn another_file_is_refused_and_left_as_it_is() {
    let folder = folder();
    let text = folder.path().join("notes.txt");
    std::fs::write(&text, "shopping: chain oil, rags, a new brush and two tyres\n".repeat(40)).unwrap();
    let before = std::fs::read(&text).unwrap();
    assert!(matches!(Store::open(&text), Err(StoreError::NotAStore { .. })));
    assert_eq!(std::fs::read(&text).unwrap(), before);
    let foreign = folder.path().join("foreign.db");
    rusqlite::Connection::open(&foreign).unwrap().execute_batch("CREATE TABLE x (y)").unwrap();
    assert!(matches!(Store::open(&foreign), Err(StoreError::NotAStore { .. })));
    assert!(matches!(Store::open(folder.path()), Err(StoreError::CannotOpen { .. })));
    assert!(matches!(Store::open(folder.path().join("no/such/folder.db")), Err(StoreError::CannotOpen { .. })));
}

#[test]
fn a_newer_file_is_refused_and_left_as_it_is() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    Store::open(&place).unwrap().db.file.pragma_update(None, "user_version", schema::NEWEST + 1).unwrap();
    let why = Store::open(&place).unwrap_err();
    assert!(matches!(why, StoreError::Newer { found, known, .. } if found == known + 1), "{why}");
    let raw = rusqlite::Connection::open(&place).unwrap();
    let version: u32 = raw.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    assert_eq!(version, schema::NEWEST + 1);
}

/// A store of schema 1 with the rows of a file that schema 1 wrote.
fn old(place: &Path) {
    let mut store = Store { db: Sqlite { file: rusqlite::Connection::open(place).unwrap(), place: place.to_owned() } };
    store.db.ready().unwrap();
    store.migrate_to(1).unwrap();
    store.db.file.execute_batch(include_str!("../../tests/old/schema_1.sql")).unwrap();
}

#[test]
fn a_file_of_schema_1_is_copied_aside_and_brought_up_with_all_its_facts() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    old(&place);
    let mut store = Store::open(&place).unwrap();
    assert_eq!(store.version().unwrap(), schema::NEWEST);
    let bike = store.bike("old-one").unwrap();
    assert_eq!((bike.whole("front_teeth"), bike.number("limit_pct"), bike.entries().count()), (Some(14), None, 9));
    assert_eq!(bike.get("slack_place").unwrap().source.as_deref(), Some("manual, p. 12"));
    assert_eq!(bike.get("gears").unwrap().value.to_string(), "2.4 · 1.85 · 14:20");
    assert_eq!(store.setting("theme").unwrap().as_deref(), Some("dark"));
    assert_eq!(store.check().unwrap(), Checked { bikes: 2, facts: 12, rides: 0, entries: 0 });
    store.add_ride("second", &NewRide::new("A", "2026-01-01".parse().unwrap()), None, &post()).unwrap();
    let meter = upkeep::record::Fact::Meter(upkeep::record::Meter::read(3.1).unwrap());
    store.note("second", &[NewEntry::new("2026-01-01T18:00:00".parse().unwrap(), meter)], &post()).unwrap();
    assert_eq!(store.check().unwrap().entries, 1);
    let aside = folder.path().join("bikes.db.before-schema-2-1");
    let raw = rusqlite::Connection::open(aside).unwrap();
    let version: u32 = raw.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
}

#[test]
fn a_step_that_fails_leaves_the_file_as_it_was() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    old(&place);
    rusqlite::Connection::open(&place).unwrap().execute_batch("CREATE TABLE ride_track (x)").unwrap();
    assert!(Store::open(&place).is_err());
    let raw = rusqlite::Connection::open(&place).unwrap();
    let version: u32 = raw.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    let rides: i64 =
        raw.query_row("SELECT count(*) FROM sqlite_schema WHERE name = 'ride'", [], |row| row.get(0)).unwrap();
    assert_eq!((version, rides), (1, 0));
}

#[test]
fn two_writers_at_once_lose_nothing() {
    let folder = folder();
    nothing_is_lost_by_writers_at_once(|| Store::open(folder.path().join("bikes.db")).unwrap(), 30);
}

#[test]
fn a_writer_that_holds_the_file_too_long_is_named() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    let first = Store::open(&place).unwrap();
    let mut second = Store::open(&place).unwrap();
    second.db.file.busy_timeout(Duration::from_millis(20)).unwrap();
    first.db.file.execute_batch("BEGIN IMMEDIATE").unwrap();
    assert!(matches!(second.put_bike(&alder(), &post()), Err(StoreError::Busy)));
    first.db.file.execute_batch("ROLLBACK").unwrap();
    second.put_bike(&alder(), &post()).unwrap();
}

#[test]
fn a_full_disk_is_said_and_takes_nothing_that_was_stored() {
    let folder = folder();
    let mut store = Store::open(folder.path().join("bikes.db")).unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    let pages: i64 = store.db.file.pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
    store.db.file.query_row(&format!("PRAGMA max_page_count = {}", pages + 8), [], |_| Ok(())).unwrap();
    let noise: Vec<u8> = (0..3000u32).map(|step| (step.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
    let mut stored = 0;
    let why = loop {
        let about = NewRide::new(format!("ride {stored}"), "2026-01-01".parse().unwrap());
        match store.add_ride("alder-350", &about, Some(&noise), &post()) {
            Ok(_) => stored += 1,
            Err(why) => break why,
        }
        assert!(stored < 1000, "the disk never fills");
    };
    assert!(matches!(why, StoreError::Full), "{why}");
    assert!(stored > 0);
    assert_eq!(store.check().unwrap().rides, stored);
    store.db.file.query_row("PRAGMA max_page_count = 100000", [], |_| Ok(())).unwrap();
    store
        .add_ride("alder-350", &NewRide::new("room again", "2026-01-02".parse().unwrap()), Some(&noise), &post())
        .unwrap();
    assert_eq!(store.check().unwrap().rides, stored + 1);
}

#[test]
fn a_file_that_may_only_be_read_says_so() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    let mut store = Store::open(&place).unwrap();
    store.db.file.pragma_update(None, "query_only", "ON").unwrap();
    assert!(matches!(store.put_bike(&alder(), &post()), Err(StoreError::ReadOnly)));
}

#[test]
fn a_copy_is_whole_and_overwrites_nothing() {
    let folder = folder();
    let mut store = Store::open(folder.path().join("bikes.db")).unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    let to = folder.path().join("copy.db");
    store.backup(&to).unwrap();
    assert!(matches!(store.backup(&to), Err(StoreError::InTheWay { .. })));
    assert_eq!(Store::open(&to).unwrap().bike("alder-350").unwrap(), alder());
    let nowhere = folder.path().join("no/such/copy.db");
    assert!(matches!(store.backup(&nowhere), Err(StoreError::CannotCopy { .. })));
}

#[test]
fn bytes_that_went_bad_are_found() {
    let folder = folder();
    let place = folder.path().join("bikes.db");
    let mut store = Store::open(&place).unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    drop(store);
    let mut bytes = std::fs::read(&place).unwrap();
    let middle = bytes.len() / 2;
    for byte in &mut bytes[middle..] {
        *byte = !*byte;
    }
    std::fs::write(&place, bytes).unwrap();
    let answer = Store::open(&place).and_then(|store| store.check());
    assert!(matches!(answer, Err(StoreError::Damaged { .. })), "{answer:?}");
}

#[test]
fn no_statement_of_the_database_reaches_a_person() {
    let store = Store::memory().unwrap();
    for sql in ["SELECT nothing FROM nowhere", "INSERT INTO bike (id) VALUES ('A B')"] {
        let why = StoreError::from(store.db.file.execute(sql, []).unwrap_err()).to_string();
        assert!(!why.contains("nowhere") && !why.contains("CHECK") && !why.to_lowercase().contains("select"), "{why}");
    }
}

#[test]
fn an_empty_file_is_no_copy_and_what_it_would_replace_stays() {
    let folder = folder();
    let (place, empty) = (folder.path().join("bikes.db"), folder.path().join("half.copy"));
    let mut store = Store::open(&place).unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    drop(store);
    std::fs::write(&empty, "").unwrap();
    for said in [Store::look_over(&empty).map(drop), Store::restore(&empty, &place).map(drop)] {
        assert!(matches!(said, Err(StoreError::NotAStore { .. })), "{said:?}");
    }
    assert_eq!(Store::open(&place).unwrap().bike("alder-350").unwrap(), alder());
}
