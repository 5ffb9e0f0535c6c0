//! The schema in numbered steps. Each step is one transaction; a file with rows is copied aside before it is changed.

use std::path::PathBuf;

use rusqlite::TransactionBehavior;

use crate::{Result, Store, StoreError};

/// The steps, in order; step *n* makes schema *n*.
pub(crate) const STEPS: [&str; 11] = [
    include_str!("../schema/0001_bikes.sql"),
    include_str!("../schema/0002_rides.sql"),
    include_str!("../schema/0003_record.sql"),
    include_str!("../schema/0004_ride_fitted.sql"),
    include_str!("../schema/0005_slack_none.sql"),
    include_str!("../schema/0006_bench.sql"),
    include_str!("../schema/0007_shelf.sql"),
    include_str!("../schema/0008_supply.sql"),
    include_str!("../schema/0009_room.sql"),
    include_str!("../schema/0010_sets.sql"),
    include_str!("../schema/0011_used.sql"),
];

/// The mark of this tool's files, kept by SQLite in the file's head: "TIGH".
const APPLICATION_ID: i32 = 0x5449_4748;

/// The newest schema.
#[expect(clippy::cast_possible_truncation, reason = "a handful of steps")]
pub(crate) const NEWEST: u32 = STEPS.len() as u32;

impl Store {
    /// Refuses a file that is something else or newer, before anything is written to it.
    pub(crate) fn check_kind(&self) -> Result<()> {
        let pragma = |name: &str| self.db.file.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
        let found = || -> rusqlite::Result<(i64, i64, i64)> {
            let tables = self.db.file.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
            Ok((pragma("application_id")?, pragma("user_version")?, tables))
        };
        let (mark, version, tables) = found().map_err(|why| StoreError::from(why).at(&self.db.place))?;
        let fresh = mark == 0 && version == 0 && tables == 0;
        if !fresh && mark != i64::from(APPLICATION_ID) {
            return Err(StoreError::NotAStore { place: self.db.place.clone() });
        }
        match u32::try_from(version) {
            Ok(version) if version <= NEWEST => Ok(()),
            Ok(found) => Err(StoreError::Newer { place: self.db.place.clone(), found, known: NEWEST }),
            Err(_) => Err(StoreError::Damaged { what: format!("its schema has the number {version}") }),
        }
    }

    /// Brings the file to the newest schema.
    pub(crate) fn migrate(&mut self) -> Result<()> {
        self.migrate_to(NEWEST)
    }

    pub(crate) fn migrate_to(&mut self, target: u32) -> Result<()> {
        while self.version()? < target {
            let version = self.version()?;
            if version > 0 {
                self.copy_aside(version)?;
            }
            self.step(version)?;
        }
        Ok(())
    }

    pub(crate) fn version(&self) -> Result<u32> {
        Ok(self.db.file.pragma_query_value(None, "user_version", |row| row.get(0))?)
    }

    /// Takes one step, unless another program took it meanwhile.
    fn step(&mut self, from: u32) -> Result<()> {
        let step = self.db.file.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let version: u32 = step.pragma_query_value(None, "user_version", |row| row.get(0))?;
        let Some(sql) = STEPS.get(from as usize).filter(|_| version == from) else { return Ok(()) };
        step.execute_batch(sql)?;
        step.pragma_update(None, "application_id", APPLICATION_ID)?;
        step.pragma_update(None, "user_version", from + 1)?;
        step.commit()?;
        Ok(())
    }

    /// Copies a file beside itself before its schema changes.
    fn copy_aside(&self, version: u32) -> Result<()> {
        if self.db.file.path().is_none_or(str::is_empty) {
            return Ok(());
        }
        let mut number = 1;
        loop {
            let mut name = self.db.place.as_os_str().to_owned();
            name.push(format!(".before-schema-{}-{number}", version + 1));
            match self.backup(&PathBuf::from(name)) {
                Err(StoreError::InTheWay { .. }) if number < 100 => number += 1,
                done => return done,
            }
        }
    }
}
