//! The store from inside: what a test must reach under the surface for.

mod bench;
mod file;
mod record;
mod rides;
#[cfg(feature = "postgres")]
mod server;
mod sheets;
mod supply;
mod whole;

use jiff::Timestamp;
use upkeep::bike::{Bike, Change, Value};

use super::*;

fn now() -> Timestamp {
    "2026-09-24T16:00:00Z".parse().unwrap()
}

fn post() -> Post<'static> {
    Post::at(now())
}

fn keyed(key: &str) -> Post<'_> {
    Post { now: now(), key: Some(key) }
}

fn alder() -> Bike {
    let path = format!("{}/../../data/bikes/alder-350.toml", env!("CARGO_MANIFEST_DIR"));
    Bike::from_toml(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn put(field: &str, value: Value) -> Change {
    Change { field: field.to_owned(), value: Some(value), source: None }
}

fn with_alder() -> Store {
    alder_on::<Sqlite>()
}

/// An engine to try the record on.
trait Trial: Engine {
    /// A record in which nothing is yet.
    fn fresh() -> Store<Self>;

    /// Does to a table what its rules forbid.
    fn spoil(&mut self, table: &str, sql: &str, given: &[&dyn rusqlite::ToSql]);
}

impl Trial for Sqlite {
    fn fresh() -> Store {
        Store::memory().unwrap()
    }

    fn spoil(&mut self, table: &str, sql: &str, given: &[&dyn rusqlite::ToSql]) {
        self.run(&format!("DROP TRIGGER {table}_stays"), &[]).unwrap();
        self.run(sql, given).unwrap();
    }
}

#[cfg(feature = "postgres")]
impl Trial for Postgres {
    fn fresh() -> Store<Self> {
        server::rider()
    }

    fn spoil(&mut self, table: &str, sql: &str, given: &[&dyn rusqlite::ToSql]) {
        let guard = |db: &Self, on: &str| db.run(&format!("ALTER TABLE {table} {on} TRIGGER {table}_stays"), &[]);
        self.at_once(|db| {
            guard(db, "DISABLE")?;
            db.run(sql, given)?;
            guard(db, "ENABLE")
        })
        .unwrap();
    }
}

fn alder_on<E: Trial>() -> Store<E> {
    let mut store = E::fresh();
    store.put_bike(&alder(), &post()).unwrap();
    store
}

/// Whether a row would be taken; it is not kept.
fn takes(db: &mut impl Engine, table: &str, row: &Columns<'_>) -> bool {
    let mut taken = false;
    let _ = db.at_once(|db| {
        taken = db.append(table, row).is_ok();
        Err::<(), _>(StoreError::Busy)
    });
    taken
}

/// Whether a statement would be run; what it does is not kept.
fn runs(db: &mut impl Engine, sql: &str) -> bool {
    let mut ran = false;
    let _ = db.at_once(|db| {
        ran = db.run(sql, &[]).is_ok();
        Err::<(), _>(StoreError::Busy)
    });
    ran
}

/// Four writers at once on one record, each opening it for itself, and none of what they wrote is lost.
fn nothing_is_lost_by_writers_at_once<E: Engine>(open: impl Fn() -> Store<E> + Sync, each: u32) {
    std::thread::scope(|scope| {
        for writer in 0..4_u32 {
            let open = &open;
            scope.spawn(move || {
                // All open, and so make, the same record at once.
                let mut store = open();
                store.put_bike(&Bike::new("b", "B", false).unwrap(), &post()).unwrap();
                for number in 0..each {
                    let source = Some(format!("writer {writer}, {number}"));
                    let change = Change { source, ..put("links", Value::Whole(100 + number)) };
                    store.set_field("b", change, &post()).unwrap();
                }
            });
        }
    });
    let store = open();
    let mut sources: Vec<_> = store.history("b").unwrap().into_iter().filter_map(|fact| fact.source).collect();
    sources.sort();
    sources.dedup();
    assert_eq!(sources.len(), 4 * each as usize);
    assert_eq!(store.bikes().unwrap().len(), 1);
    store.check().unwrap();
}

/// The same tests on each engine.
macro_rules! on_each_engine {
    ($($test:ident),* $(,)?) => {
        mod sqlite {
            $(#[test]
            fn $test() {
                super::$test::<crate::Sqlite>();
            })*
        }
        #[cfg(feature = "postgres")]
        mod postgres {
            $(#[test]
            fn $test() {
                super::$test::<crate::Postgres>();
            })*
        }
    };
}
use on_each_engine;
