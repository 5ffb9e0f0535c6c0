//! The store from inside: what a test must reach under the surface for.

mod bench;
mod file;
mod record;
mod rides;
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

fn put(field: &str, value: Value) -> Change {
    Change { field: field.to_owned(), value: Some(value), source: None }
}

fn with_alder() -> Store {
    let mut store = Store::memory().unwrap();
    store.put_bike(&alder(), &post()).unwrap();
    store
}
