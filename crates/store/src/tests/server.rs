//! A server of many riders: their records beside each other, its tables against those of the file, its rules.
//!
//! The address comes from `TIGHTSPOT_POSTGRES`, which `scripts/postgres` sets; without it every test here fails.

use std::sync::atomic::{AtomicU32, Ordering};

use super::*;

fn address() -> String {
    std::env::var("TIGHTSPOT_POSTGRES").expect("a server: run these tests by scripts/postgres")
}

/// The record of a rider who was never there before.
pub(super) fn rider() -> Store<Postgres> {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    let name = format!("rider {}-{}", std::process::id(), NEXT.fetch_add(1, Ordering::Relaxed));
    Store::on_server(&address(), &name).unwrap()
}

#[test]
fn one_rider_never_meets_the_rows_of_another() {
    let (mut one, mut other) = (rider(), rider());
    one.put_bike(&alder(), &post()).unwrap();
    one.set_setting("theme", "dark", &keyed("k")).unwrap();
    assert!(other.bikes().unwrap().is_empty());
    assert_eq!((other.setting("theme").unwrap(), other.revision().unwrap()), (None, 0));
    // Numbers, keys and names are each rider's own.
    other.put_bike(&Bike::new("alder-350", "Another", false).unwrap(), &post()).unwrap();
    other.set_setting("theme", "light", &keyed("k")).unwrap();
    assert_eq!((other.revision().unwrap(), one.revision().unwrap()), (2, 2));
    assert_eq!(one.bike("alder-350").unwrap(), alder());
    // Not even by a statement that names the other one.
    let theirs: Vec<i64> = one
        .db
        .rows("SELECT id FROM change WHERE rider <> current_setting('tightspot.rider')::bigint", &[], |row| row.get(0))
        .unwrap();
    assert_eq!(theirs, Vec::<i64>::new());
    let first = |store: &Store<Postgres>| {
        store
            .db
            .first("SELECT current_setting('tightspot.rider')::bigint", &[], |row| row.get::<i64>(0))
            .unwrap()
            .unwrap()
    };
    let (mine, theirs) = (first(&other), first(&one));
    for (rider, taken) in [(mine, true), (theirs, false)] {
        let row: &Columns<'_> =
            &[("id", &9_i64), ("at", &"2026-01-01T00:00:00Z"), ("what", &"bike"), ("rider", &rider)];
        assert_eq!(takes(&mut other.db, "change", row), taken);
    }
    other.check().unwrap();
}

#[test]
fn a_connection_turns_from_rider_to_rider() {
    let mut one = alder_on::<Postgres>();
    let name: String = one
        .db
        .first("SELECT name FROM rider WHERE id = current_setting('tightspot.rider')::bigint", &[], |row| row.get(0))
        .unwrap()
        .unwrap();
    one.turn_to(&format!("{name}, a friend")).unwrap();
    assert!(one.bikes().unwrap().is_empty());
    one.put_bike(&Bike::new("b", "B", false).unwrap(), &post()).unwrap();
    one.turn_to(&name).unwrap();
    assert_eq!(one.bikes().unwrap().len(), 1);
    assert_eq!(one.bike("alder-350").unwrap(), alder());
}

#[test]
fn a_document_goes_from_the_file_to_the_server_and_back_byte_for_byte() {
    let mut file = with_alder();
    let about = NewRide {
        hours_h: Some(0.1),
        note: Some("\u{c4}, \"so\"\nsaid he \u{1f3cd}".into()),
        ..NewRide::new("\u{c4}", "2026-07-12".parse().unwrap())
    };
    file.add_ride("alder-350", &about, Some(&[0, 255, 7]), &post()).unwrap();
    let done = file.set_field("alder-350", put("links", Value::Whole(120)), &post()).unwrap();
    file.undo(done.change.unwrap(), &post()).unwrap();
    let text = file.export().unwrap();
    let mut server = rider();
    server.import(&text).unwrap();
    assert_eq!(server.export().unwrap(), text);
    assert_eq!(server.sheets().unwrap(), file.sheets().unwrap());
    assert_eq!(server.past("alder-350").unwrap(), file.past("alder-350").unwrap());
    assert_eq!(server.check().unwrap(), file.check().unwrap());
    let mut again = Store::memory().unwrap();
    again.import(&server.export().unwrap()).unwrap();
    assert_eq!(again.export().unwrap(), text);
}

#[test]
fn every_table_and_column_of_the_file_is_there() {
    let (file, server) = (with_alder(), rider());
    for table in crate::whole::TABLES.iter().chain(&["form_key"]) {
        assert_eq!(server.db.columns(table).unwrap(), file.db.columns(table).unwrap(), "{table}");
    }
    let of_file: Vec<String> = file
        .db
        .rows("SELECT name FROM sqlite_schema WHERE type = 'trigger' ORDER BY name", &[], |row| Ok(row.get(0)?))
        .unwrap();
    let of_server: Vec<String> = server
        .db
        .rows(
            "SELECT tgname::text FROM pg_trigger WHERE NOT tgisinternal
             UNION SELECT conname::text FROM pg_constraint WHERE conname LIKE '%is_possible' ORDER BY 1",
            &[],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(of_server, of_file);
}

#[test]
fn writers_of_one_record_go_one_after_the_other_and_lose_nothing() {
    let name = format!("rider {}, four times", std::process::id());
    nothing_is_lost_by_writers_at_once(|| Store::on_server(&address(), &name).unwrap(), 10);
}

#[test]
fn a_connection_that_is_cut_loses_only_what_was_not_acknowledged() {
    let mut store = alder_on::<Postgres>();
    let rider = store.db.first("SELECT current_setting('tightspot.rider')", &[], |row| row.get::<String>(0)).unwrap();
    let cut = store.once(&post(), "sheet", "x", |to| {
        to.put("setting", &[("name", &"theme"), ("value", &"dark")])?;
        to.db.run("SELECT pg_terminate_backend(pg_backend_pid())", &[])?;
        Ok(())
    });
    assert!(matches!(cut, Err(StoreError::Gone)), "{cut:?}");
    assert!(matches!(store.bikes(), Err(StoreError::Gone)));
    let mut again = self::rider();
    let known = "SELECT name FROM rider WHERE id = ?1::text::bigint";
    let name: String = again.db.first(known, &[&rider.unwrap()], |row| row.get(0)).unwrap().unwrap();
    again.turn_to(&name).unwrap();
    assert_eq!((again.bike("alder-350").unwrap(), again.setting("theme").unwrap()), (alder(), None));
}

#[test]
fn a_statement_that_failed_and_was_passed_over_is_no_success() {
    let mut store = alder_on::<Postgres>();
    let done = store.db.at_once(|db| {
        db.append("setting", &[("id", &70_i64), ("change", &1_i64), ("name", &"theme"), ("value", &"dark")])?;
        let _ = db.append("setting", &[("id", &71_i64), ("change", &1_i64), ("name", &""), ("value", &"")]);
        Ok(())
    });
    assert!(matches!(done, Err(StoreError::Damaged { .. })), "{done:?}");
    assert_eq!(store.setting("theme").unwrap(), None);
}

#[test]
fn a_user_who_sees_every_record_is_refused_and_no_server_is_said() {
    let of_all = address().replace("user=tightspot", "user=postgres");
    assert!(matches!(Store::on_server(&of_all, "x"), Err(StoreError::SeesAll)));
    let why = Store::on_server("host=/nowhere user=tightspot", "x").unwrap_err();
    assert!(matches!(why, StoreError::Gone), "{why:?}");
}
