//! A copy of the store while it is in use. Copying the file itself is not safe while a program has it open.

use std::fs::File;
use std::path::Path;

use rusqlite::{Connection, OpenFlags};

use crate::{Result, Store, StoreError};

impl Store {
    /// Writes a whole, checked copy to a file that does not exist yet.
    ///
    /// # Errors
    /// The file exists, cannot be written, or the copy does not pass its check.
    pub fn backup(&self, to: &Path) -> Result<()> {
        if to.exists() {
            return Err(StoreError::InTheWay { place: to.to_owned() });
        }
        let cannot = |why| StoreError::CannotCopy { place: to.to_owned(), why };
        let name = to.to_str().ok_or_else(|| cannot(std::io::Error::other("its name is not UTF-8")))?;
        // The database refuses to write into a file that has become there meanwhile.
        crate::sqlite::make_private(to).map_err(cannot)?;
        let written =
            self.db.file.execute("VACUUM INTO ?1", [name]).map_err(StoreError::from).and_then(|_| checked(to));
        let on_disk = written.and_then(|()| File::open(to).and_then(|file| file.sync_all()).map_err(cannot));
        if on_disk.is_err() {
            // Half a copy helps nobody; the error is already the answer.
            let _ = std::fs::remove_file(to);
        }
        crate::sqlite::sync_folder(to);
        on_disk
    }
}

fn checked(copy: &Path) -> Result<()> {
    let db = Connection::open_with_flags(copy, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    let said: String = db.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    if said == "ok" { Ok(()) } else { Err(StoreError::Damaged { what: format!("the copy: {said}") }) }
}
