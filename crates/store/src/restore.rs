//! Back to a copy: checked before anything moves, the present store kept aside, changed over in one step.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};

use crate::sqlite::make_private;
use crate::{Checked, Result, Store, StoreError};

impl Store {
    /// Looks a copy over without touching it: opened, brought up to this version and checked as a copy of its own.
    ///
    /// # Errors
    /// It is no whole store, or a newer one.
    pub fn look_over(copy: &Path) -> Result<Checked> {
        let mut store = Self::memory()?;
        let from = read_only(copy)?;
        rusqlite::backup::Backup::new(&from, &mut store.db.file)?
            .run_to_completion(1000, std::time::Duration::ZERO, None)
            .map_err(|why| StoreError::from(why).at(copy))?;
        store.db.place = copy.to_owned();
        // An empty file is a new store to whoever opens it, and no copy of any: a copy that was broken off may be empty.
        if store.version()? == 0 {
            return Err(StoreError::NotAStore { place: copy.to_owned() });
        }
        store.check_kind()?;
        store.migrate_in_memory()?;
        store.check()
    }

    /// Puts a copy into the place of the present store. The present one is kept beside it under the name returned.
    ///
    /// # Errors
    /// The copy is no whole store, another program has the present one open, or a file cannot be moved.
    pub fn restore(copy: &Path, place: &Path) -> Result<Option<PathBuf>> {
        Self::look_over(copy)?;
        let new = beside(place, "restoring")?;
        let cannot = |why| StoreError::CannotCopy { place: new.clone(), why };
        make_private(&new).map_err(cannot)?;
        let done = vacuum(copy, &new).and_then(|()| Self::open(&new)?.shut()).and_then(|()| exchange(&new, place));
        if done.is_err() {
            // Half a copy helps nobody; the error is already the answer.
            let _ = fs::remove_file(&new);
        }
        done
    }

    /// Brings a copy in memory up to this version.
    fn migrate_in_memory(&mut self) -> Result<()> {
        self.migrate()
    }

    /// Closes the file so that everything is in it and nothing beside it.
    fn shut(self) -> Result<()> {
        let mode: String = self.db.file.pragma_update_and_check(None, "journal_mode", "DELETE", |row| row.get(0))?;
        if mode == "delete" { Ok(()) } else { Err(StoreError::Busy) }
    }
}

fn read_only(place: &Path) -> Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Connection::open_with_flags(place, flags).map_err(|why| StoreError::from(why).at(place))
}

fn vacuum(copy: &Path, new: &Path) -> Result<()> {
    let name = new.to_str().ok_or_else(|| StoreError::CannotCopy {
        place: new.to_owned(),
        why: io::Error::other("its name is not UTF-8"),
    })?;
    read_only(copy)?.execute("VACUUM INTO ?1", [name])?;
    Ok(())
}

/// Changes the present store over for the new one; what was there keeps another name.
fn exchange(new: &Path, place: &Path) -> Result<Option<PathBuf>> {
    let moved = |why| StoreError::CannotCopy { place: place.to_owned(), why };
    if !place.exists() {
        fs::rename(new, place).map_err(moved)?;
        return Ok(None);
    }
    // A store that is damaged is just what somebody restores over.
    if let Err(StoreError::Busy) = Store::open(place).and_then(Store::shut) {
        return Err(StoreError::Busy);
    }
    let aside = beside(place, "before-restore")?;
    fs::hard_link(place, &aside).or_else(|_| fs::copy(place, &aside).map(drop)).map_err(moved)?;
    for end in ["-wal", "-shm"] {
        let name = |path: &Path| PathBuf::from(format!("{}{end}", path.display()));
        if name(place).exists() {
            fs::rename(name(place), name(&aside)).map_err(moved)?;
        }
    }
    fs::rename(new, place).map_err(moved)?;
    if let Some(folder) = place.parent().and_then(|folder| fs::File::open(folder).ok()) {
        // Where a folder cannot be synced, the change is still made.
        let _ = folder.sync_all();
    }
    Ok(Some(aside))
}

/// A name beside a file that is not there yet.
fn beside(place: &Path, what: &str) -> Result<PathBuf> {
    let name = |number: u32| PathBuf::from(format!("{}.{what}-{number}", place.display()));
    (1..1000).map(name).find(|path| !path.exists()).ok_or_else(|| StoreError::InTheWay { place: place.to_owned() })
}
