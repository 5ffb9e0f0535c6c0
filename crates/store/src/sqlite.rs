//! The engine that is always there: one SQLite file of one rider's own, in the program itself.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::config::DbConfig;
use rusqlite::types::{FromSql, ValueRef};
use rusqlite::{Connection, OpenFlags, ToSql, Transaction, TransactionBehavior};

use crate::engine::{Column, Columns, Engine, Row, insertion};
use crate::{PATIENCE, Result, Store, StoreError};

/// One open file.
#[derive(Debug)]
pub struct Sqlite {
    pub(crate) file: Connection,
    pub(crate) place: PathBuf,
}

impl Store {
    /// Opens the store of a file; makes it if there is none, and brings an older one up to this version.
    ///
    /// # Errors
    /// It cannot be opened, is no store, is newer than this version, or is damaged.
    pub fn open(place: impl Into<PathBuf>) -> Result<Self> {
        let place = place.into();
        let _alone = alone_in_folder(&place);
        if !place.exists() {
            make_private(&place).map_err(|why| StoreError::CannotOpen { place: place.clone(), why })?;
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let file = Connection::open_with_flags(&place, flags).map_err(|why| StoreError::from(why).at(&place))?;
        Self::begin(Sqlite { file, place })
    }

    /// A store that lives as long as the value, for tests and trials.
    ///
    /// # Errors
    /// The database cannot be made.
    pub fn memory() -> Result<Self> {
        static BLANK: Mutex<Option<Store>> = Mutex::new(None);
        let open = || -> Result<Sqlite> {
            Ok(Sqlite { file: Connection::open_in_memory()?, place: PathBuf::from(":memory:") })
        };
        let mut db = open()?;
        // The steps are taken once; every further store is a copy of what they made.
        let mut blank = BLANK.lock().unwrap_or_else(PoisonError::into_inner);
        let made = match blank.take() {
            Some(made) => made,
            None => Self::begin(open()?)?,
        };
        Backup::new(&made.db.file, &mut db.file)?.run_to_completion(i32::MAX, Duration::ZERO, None)?;
        *blank = Some(made);
        Self::begin(db)
    }

    /// The file.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.db.place
    }

    fn begin(db: Sqlite) -> Result<Self> {
        db.file.busy_timeout(PATIENCE)?;
        let mut store = Self { db };
        store.check_kind()?;
        store.db.ready().map_err(|why| why.at(&store.db.place))?;
        store.migrate()?;
        Ok(store)
    }
}

impl Sqlite {
    /// Durability before speed: a write is on the disk before it is answered.
    pub(crate) fn ready(&self) -> Result<()> {
        for (name, value) in [("foreign_keys", "ON"), ("trusted_schema", "OFF"), ("cell_size_check", "ON")] {
            self.file.pragma_update(None, name, value)?;
        }
        // How a question is answered does not hang on the values in it: or it would be laid out anew for each of them.
        self.file.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
        // Two programs that make one file at once meet here; SQLite does not wait by itself.
        let mut tries = 0;
        while let Err(why) = self.file.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(())) {
            tries += 1;
            let why = StoreError::from(why);
            if !matches!(why, StoreError::Busy) || tries > 100 {
                return Err(why);
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        self.file.pragma_update(None, "synchronous", "FULL")?;
        Ok(())
    }
}

impl Engine for Sqlite {
    type Row<'r> = rusqlite::Row<'r>;

    fn rows<T>(
        &self,
        sql: &str,
        given: &[&dyn ToSql],
        mut read: impl FnMut(&Self::Row<'_>) -> Result<T>,
    ) -> Result<Vec<T>> {
        let mut query = self.file.prepare_cached(sql)?;
        let mut found = query.query(given)?;
        let mut all = Vec::new();
        while let Some(row) = found.next()? {
            all.push(read(row)?);
        }
        Ok(all)
    }

    fn rows_beside<T>(
        &self,
        table: &str,
        column: &str,
        numbers: &[i64],
        mut read: impl FnMut(&Self::Row<'_>) -> Result<T>,
    ) -> Result<Vec<T>> {
        // One look a row: nothing lies between the program and its file. All of them under one lock of it.
        self.in_one_view(|db| {
            let mut query = db.file.prepare_cached(&format!("SELECT * FROM {table} WHERE {column} = ?1"))?;
            let mut all = Vec::with_capacity(numbers.len());
            for number in numbers {
                let mut found = query.query([number])?;
                while let Some(row) = found.next()? {
                    all.push(read(row)?);
                }
            }
            Ok(all)
        })
    }

    fn in_one_view<T>(&self, read: impl FnOnce(&Self) -> Result<T>) -> Result<T> {
        // Within a transaction its own view holds already.
        let alone = self.file.is_autocommit();
        let _view = alone.then(|| Transaction::new_unchecked(&self.file, TransactionBehavior::Deferred)).transpose()?;
        read(self)
    }

    fn run(&self, sql: &str, given: &[&dyn ToSql]) -> Result<usize> {
        Ok(self.file.prepare_cached(sql)?.execute(given)?)
    }

    fn numbered(&self, table: &str, row: &Columns<'_>) -> Result<i64> {
        let given: Vec<&dyn ToSql> = row.iter().map(|(_, value)| *value).collect();
        self.run(&insertion(table, row), &given)?;
        Ok(self.file.last_insert_rowid())
    }

    fn at_once<T>(&mut self, write: impl FnOnce(&Self) -> Result<T>) -> Result<T> {
        // Taken back by itself unless it is committed, also when `write` panics.
        let change = Transaction::new_unchecked(&self.file, TransactionBehavior::Immediate)?;
        let done = write(self)?;
        change.commit()?;
        Ok(done)
    }

    fn columns(&self, table: &str) -> Result<Vec<Column>> {
        let sql = "SELECT name, type = 'BLOB', pk = 1 AND type = 'INTEGER' AND
                 (SELECT max(pk) FROM pragma_table_info(?1)) = 1
             FROM pragma_table_info(?1) ORDER BY cid";
        self.rows(sql, &[&table], |row| Ok(Column { name: row.get(0)?, bytes: row.get(1)?, key: row.get(2)? }))
    }

    fn faults(&self) -> Result<Vec<String>> {
        let mut said: Vec<String> = self.rows("PRAGMA integrity_check", &[], |row| Ok(row.get(0)?))?;
        said.retain(|line| line != "ok");
        let dangling: Vec<String> = self.rows("PRAGMA foreign_key_check", &[], |row| Ok(row.get(0)?))?;
        said.extend(dangling.into_iter().map(|table| format!("a row of {table} points at nothing")));
        Ok(said)
    }
}

impl Row for rusqlite::Row<'_> {
    fn cell(&self, at: usize) -> Result<ValueRef<'_>> {
        Ok(self.get_ref(at)?)
    }

    fn get<T: FromSql>(&self, at: usize) -> Result<T> {
        Ok(rusqlite::Row::get(self, at)?)
    }
}

/// Lets one program or thread at a time make, prepare or change over a store of a folder, until the returned folder is
/// dropped.
///
/// SQLite's own locks do not cover the making of the file and its switch to a write-ahead log: whoever closes the file
/// in between drops the locks of its whole process. Where a folder cannot be locked, opening goes on without.
pub(crate) fn alone_in_folder(place: &Path) -> Option<std::fs::File> {
    let folder = folder_of(place)?;
    folder.lock().ok()?;
    Some(folder)
}

/// Has the names in a file's folder written to the disk. Where a folder cannot be synced, what was done is still done.
pub(crate) fn sync_folder(place: &Path) {
    let _ = folder_of(place).map(|folder| folder.sync_all());
}

fn folder_of(place: &Path) -> Option<std::fs::File> {
    let folder = place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::File::open(folder).ok()
}

/// Brings all of a file's log into it, so that nothing of it stands beside it.
///
/// # Errors
/// Another program has the file open.
pub(crate) fn close_log(file: &Connection) -> Result<()> {
    let mode: String = file.pragma_update_and_check(None, "journal_mode", "DELETE", |row| row.get(0))?;
    if mode == "delete" { Ok(()) } else { Err(StoreError::Busy) }
}

/// Makes an empty file that only its owner can read: rides tell where someone lives.
pub(crate) fn make_private(place: &Path) -> std::io::Result<()> {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(place).map(drop)
}
