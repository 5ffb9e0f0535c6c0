//! Back to a copy: checked before anything moves, the present store kept aside, changed over in one step.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};

use crate::sqlite::{alone_in_folder, close_log, make_private, sync_folder};
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
        store.migrate()?;
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
        let shut = |store: Self| close_log(&store.db.file);
        let done =
            vacuum(copy, &new).and_then(|()| Self::open(&new)).and_then(shut).and_then(|()| exchange(&new, place));
        if done.is_err() {
            // Half a copy helps nobody; the error is already the answer.
            let _ = fs::remove_file(&new);
        }
        done
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
pub(crate) fn exchange(new: &Path, place: &Path) -> Result<Option<PathBuf>> {
    let moved = |why| StoreError::CannotCopy { place: place.to_owned(), why };
    // Nobody opens it meanwhile: the log that they would begin for the old file would lie beside the new one.
    let _alone = alone_in_folder(place);
    if !place.exists() {
        fs::rename(new, place).map_err(moved)?;
        sync_folder(place);
        return Ok(None);
    }
    if in_use(place) {
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
    sync_folder(place);
    Ok(Some(aside))
}

/// Whether another program has a file open, whichever version of this one it is. What is damaged or something else is
/// just what somebody restores over.
fn in_use(place: &Path) -> bool {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let file = Connection::open_with_flags(place, flags).map_err(StoreError::from);
    matches!(file.and_then(|file| close_log(&file)), Err(StoreError::Busy))
}

/// A name beside a file that is not there yet.
fn beside(place: &Path, what: &str) -> Result<PathBuf> {
    let name = |number: u32| PathBuf::from(format!("{}.{what}-{number}", place.display()));
    (1..1000).map(name).find(|path| !path.exists()).ok_or_else(|| StoreError::InTheWay { place: place.to_owned() })
}
