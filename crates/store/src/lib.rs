//! The record: facts in, facts out.
//!
//! It holds bikes with their sheets, rides, readings and work, work orders, the shelf and settings. Facts are appended and
//! never edited: undoing one is a change of its own, and the current sheet is the latest fact of each field. What goes in is checked by the program and
//! again by the database; what comes out is checked by the program again. This room computes nothing and knows no clock:
//! *now* is an argument. Every write is one transaction, on the disk before it is answered.
//!
//! What the record asks of a database is [`Engine`]: one SQLite file ([`Sqlite`]), or with the feature `postgres` a
//! server for many riders.
//!
//! Layout: [`Store`] · `engine` what a database must do · `sqlite` opening a file · `postgres` a server · `bikes` sheets ·
//! `rides`, `fitted` what they were ridden on · `log` readings and work · `bench` work orders · `supply` the shelf · `settings` ·
//! `change` what was done, keys of forms, undo · `past` every change of a bike · `value` one value in a column · `mark` whether
//! two are the same · `schema` numbered steps · `backup` · `restore` · `whole` one document · `document` its schema · `check`.

mod backup;
mod bench;
mod bikes;
mod change;
mod check;
mod document;
mod engine;
mod error;
mod fitted;
mod log;
mod mark;
mod past;
#[cfg(feature = "postgres")]
mod postgres;
mod restore;
mod rides;
mod schema;
mod settings;
mod sqlite;
mod supply;
mod value;
mod whole;

use std::time::Duration;

pub use bench::{NewBench, NewLines};
pub use bikes::{Listed, Removed};
pub use change::{ChangeId, Done, Fact, Post};
pub use check::Checked;
pub use engine::{Column, Columns, Engine, Row};
pub use error::{Cause, StoreError};
pub use fitted::Fitted;
pub use log::{NewEntry, Noted, log_of};
pub use mark::mark;
pub use past::Past;
#[cfg(feature = "postgres")]
pub use postgres::{Answer, Postgres};
pub use rides::{AddedRide, NewRide, ODD, Ride, RideId, TrackClass};
pub use sqlite::Sqlite;
pub use supply::Kept;
pub use value::{from_json, json};
pub use whole::Sheet;

/// What every call of the store answers with.
pub type Result<T> = std::result::Result<T, StoreError>;

/// How long a writer waits for another one.
const PATIENCE: Duration = Duration::from_secs(5);

/// One open record.
#[derive(Debug)]
pub struct Store<E = Sqlite> {
    db: E,
}

#[cfg(test)]
mod tests;
