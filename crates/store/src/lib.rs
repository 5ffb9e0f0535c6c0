//! SQLite: facts in, facts out.
//!
//! One file holds bikes with their sheets, rides and settings. Facts are appended and never edited: undoing one is a
//! change of its own, and the current sheet is the latest fact of each field. What goes in is checked by the program and
//! again by the database; what comes out is checked by the program again. This room computes nothing and knows no clock:
//! *now* is an argument. Every write is one transaction, on the disk before it is answered.
//!
//! Layout: [`Store`] opening · `bikes` sheets · `rides` · `log` readings and work · `bench` work orders · `settings` · `change` what was done, keys of forms, undo · `past` every change of a bike ·
//! `value` one value in a column · `schema` numbered steps · `backup` ·
//! `restore` · `whole` one document · `document` its schema · `check`.

mod backup;
mod bench;
mod bikes;
mod change;
mod check;
mod document;
mod error;
mod fitted;
mod log;
mod mark;
mod past;
mod restore;
mod rides;
mod schema;
mod settings;
mod supply;
mod value;
mod whole;

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

pub use bench::{NewBench, NewLines};
pub use bikes::{Listed, Removed};
pub use change::{ChangeId, Done, Fact, Post};
pub use check::Checked;
pub use error::StoreError;
pub use fitted::Fitted;
pub use log::{NewEntry, Noted, log_of};
pub use mark::mark;
pub use past::Past;
pub use rides::{AddedRide, NewRide, ODD, Ride, RideId, TrackClass};
pub use supply::Kept;
pub use value::{from_json, json};
pub use whole::Sheet;

/// What every call of the store answers with.
pub type Result<T> = std::result::Result<T, StoreError>;

/// How long a writer waits for another one.
const PATIENCE: Duration = Duration::from_secs(5);

/// One open store.
#[derive(Debug)]
pub struct Store {
    db: Connection,
    place: PathBuf,
}

impl Store {
    /// Opens the store of a file; makes it if there is none, and brings an older one up to this version.
    ///
    /// # Errors
    /// It cannot be opened, is no store, is newer than this version, or is damaged.
    pub fn open(place: impl Into<PathBuf>) -> Result<Self> {
        let place = place.into();
        let _alone = open_alone(&place);
        if !place.exists() {
            make_private(&place).map_err(|why| StoreError::CannotOpen { place: place.clone(), why })?;
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let db = Connection::open_with_flags(&place, flags).map_err(|why| StoreError::from(why).at(&place))?;
        Self::begin(db, place)
    }

    /// A store that lives as long as the value, for tests and trials.
    ///
    /// # Errors
    /// The database cannot be made.
    pub fn memory() -> Result<Self> {
        Self::begin(Connection::open_in_memory()?, PathBuf::from(":memory:"))
    }

    /// The file.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.place
    }

    fn begin(db: Connection, place: PathBuf) -> Result<Self> {
        db.busy_timeout(PATIENCE)?;
        let mut store = Self { db, place };
        store.check_kind()?;
        store.ready().map_err(|why| why.at(&store.place))?;
        store.migrate()?;
        Ok(store)
    }

    /// Durability before speed: a write is on the disk before it is answered.
    fn ready(&self) -> Result<()> {
        for (name, value) in [("foreign_keys", "ON"), ("trusted_schema", "OFF"), ("cell_size_check", "ON")] {
            self.db.pragma_update(None, name, value)?;
        }
        // Two programs that make one file at once meet here; SQLite does not wait by itself.
        let mut tries = 0;
        while let Err(why) = self.db.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(())) {
            tries += 1;
            let why = StoreError::from(why);
            if !matches!(why, StoreError::Busy) || tries > 100 {
                return Err(why);
            }
            std::thread::sleep(PATIENCE / 100);
        }
        self.db.pragma_update(None, "synchronous", "FULL")?;
        Ok(())
    }
}

/// Lets one program or thread at a time make and prepare a store of a folder, until the returned folder is dropped.
///
/// SQLite's own locks do not cover the making of the file and its switch to a write-ahead log: whoever closes the file
/// in between drops the locks of its whole process. Where a folder cannot be locked, opening goes on without.
fn open_alone(place: &Path) -> Option<std::fs::File> {
    let folder = place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let folder = std::fs::File::open(folder).ok()?;
    folder.lock().ok()?;
    Some(folder)
}

/// Makes an empty file that only its owner can read: rides tell where someone lives.
fn make_private(place: &Path) -> std::io::Result<()> {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(place).map(drop)
}

#[cfg(test)]
mod tests;
