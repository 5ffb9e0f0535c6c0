//! What can go wrong with a store: what, where, what to do. No statement of the database reaches a person.

use std::io;
use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;
use upkeep::bike::Fault;

/// What went wrong.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// The file cannot be opened or made.
    #[error("The store {} cannot be opened: {why}. Check the folder and its rights, or name another file.", place.display())]
    CannotOpen {
        /// The file.
        place: PathBuf,
        /// Why not.
        why: io::Error,
    },
    /// The file is something else.
    #[error("{} is no store of this tool, and is left as it is. Name another file.", place.display())]
    NotAStore {
        /// The file.
        place: PathBuf,
    },
    /// The file was written by a newer version.
    #[error(
        "{} has schema {found}; this version knows {known} and leaves it as it is. Use the version that wrote it, or a newer one.",
        place.display()
    )]
    Newer {
        /// The file.
        place: PathBuf,
        /// Its schema.
        found: u32,
        /// The newest schema known here.
        known: u32,
    },
    /// A row or the file itself cannot be trusted.
    #[error(
        "The store is damaged: {what}. Nothing was shown from there. Go back to the last backup, and keep this file."
    )]
    Damaged {
        /// Which row, or what the file's own check says.
        what: String,
    },
    /// Another program holds the file.
    #[error("Another program is writing to the store and did not finish in time. Nothing was written; try again.")]
    Busy,
    /// No room.
    #[error("The disk is full. Nothing was written; make room and try again.")]
    Full,
    /// The disk refused a write without saying that it is full.
    #[error(
        "The disk did not take it (code {code}): it may be full or failing. Nothing was written; check the disk, then try again."
    )]
    Disk {
        /// The database's number for it.
        code: i32,
    },
    /// The file may not be written.
    #[error("The store may only be read: file, folder or disk is write-protected. Nothing was written.")]
    ReadOnly,
    /// There is no bike of that id.
    #[error("There is no bike \"{id}\". {}", known_bikes(known))]
    NoSuchBike {
        /// The id asked for.
        id: String,
        /// The bikes there are.
        known: Vec<String>,
    },
    /// There is no ride of that number.
    #[error("There is no ride {id}. The rides of a bike are listed under Rides.")]
    NoSuchRide {
        /// The number asked for.
        id: i64,
    },
    /// There is no work order of that number.
    #[error("There is no work order {id}. The open ones are listed under Jobs.")]
    NoSuchBench {
        /// The number asked for.
        id: i64,
    },
    /// Somebody else wrote to the order since it was looked at.
    #[error("Work order {bench} was changed meanwhile. Nothing was written; look at it again.")]
    Meanwhile {
        /// The order.
        bench: i64,
    },
    /// There is no change of that number.
    #[error("There is no change {id} to undo. The history lists what can be undone.")]
    NoSuchChange {
        /// The number asked for.
        id: i64,
    },
    /// The change is undone already.
    #[error("Change {id} is undone already. To bring it back, undo change {by}.")]
    UndoneAlready {
        /// The change.
        id: i64,
        /// The change that undid it.
        by: i64,
    },
    /// The sheet does not take it.
    #[error("{}", faults(.0))]
    Faults(Vec<Fault>),
    /// A ride does not take it.
    #[error("{field} of the ride is {given}; possible: {possible}. Nothing was written.")]
    Ride {
        /// The part of the ride at fault.
        field: &'static str,
        /// What was given.
        given: String,
        /// What is possible.
        possible: &'static str,
    },
    /// An entry of the record does not take it.
    #[error("{field} of the entry is {given}; possible: {possible}. Nothing was written.")]
    Entry {
        /// The part of the entry at fault.
        field: &'static str,
        /// What was given.
        given: String,
        /// What is possible.
        possible: &'static str,
    },
    /// A document is none of the record.
    #[error("The document cannot be read: {what}. Nothing was written.")]
    Document {
        /// What is wrong with it.
        what: String,
    },
    /// A document is read into an empty store only.
    #[error("There is a record here already, and it is not mixed with another. Name an empty store with --store FILE.")]
    NotEmpty,
    /// A setting does not take it.
    #[error(
        "The setting \"{name}\" cannot be kept: a name has 1 to 60 characters, a value up to 4000. Nothing was written."
    )]
    Setting {
        /// The name given.
        name: String,
    },
    /// A form's key is none.
    #[error("The form's key is empty or longer than 200 characters. Load the page again and send it once more.")]
    Key,
    /// A form's key came back with something else.
    #[error(
        "This form was sent before with other entries; the first ones are kept. Load the page again to change them."
    )]
    KeyReused,
    /// The copy's file is there already.
    #[error("{} exists already and is not overwritten. Name another file.", place.display())]
    InTheWay {
        /// The file.
        place: PathBuf,
    },
    /// A copy cannot be written.
    #[error("The copy {} cannot be written: {why}.", place.display())]
    CannotCopy {
        /// The file.
        place: PathBuf,
        /// Why not.
        why: io::Error,
    },
    /// The database's own check refused what this program let through.
    #[error(
        "The store's own check refused the entry; nothing was written. This is a fault of the program: please report it."
    )]
    Refused(#[source] Cause),
    /// The server's user is one to whom the lines between riders do not apply.
    #[error(
        "The user of this address may read and write every rider's record. Give the tool a user of its own, without such rights."
    )]
    SeesAll,
    /// The server's tables are those of another version.
    #[error(
        "The server's tables have schema {found}; this version knows {known}. Carry each record over as a document: export with the version that wrote it, import with this one into a new database."
    )]
    OtherTables {
        /// Their schema.
        found: i64,
        /// The one known here.
        known: u32,
    },
    /// The server cannot be reached, or stopped answering.
    #[error(
        "The server does not answer. What it did not acknowledge may not be written: try again, the same form is one entry."
    )]
    Gone,
    /// Anything else that the database reports.
    #[error("The store could not do it (code {code}); nothing was written. Check the disk, then try again.")]
    Other {
        /// The database's number for it.
        code: i32,
        /// The database's own error, for whoever looks for the cause.
        #[source]
        source: Cause,
    },
}

/// The database's own error, whichever database it is.
pub type Cause = Box<dyn std::error::Error + Send + Sync>;

fn known_bikes(known: &[String]) -> String {
    if known.is_empty() {
        "There is none yet: bring one in with `tightspot bike import FILE`.".to_owned()
    } else {
        format!("There are: {}.", known.join(", "))
    }
}

fn faults(faults: &[Fault]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

impl From<rusqlite::Error> for StoreError {
    fn from(source: rusqlite::Error) -> Self {
        match source.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::ReadOnly) => Self::ReadOnly,
            Some(ErrorCode::SystemIoFailure) if refused_write(&source) => Self::Disk { code: code(&source) },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { what: "the file contradicts itself".to_owned() },
            Some(ErrorCode::ConstraintViolation) => Self::Refused(source.into()),
            _ => Self::Other { code: code(&source), source: source.into() },
        }
    }
}

/// The database's own number for what went wrong.
fn code(source: &rusqlite::Error) -> i32 {
    source.sqlite_error().map_or(0, |error| error.extended_code)
}

/// Whether the disk failed while something was written, flushed or made longer.
fn refused_write(source: &rusqlite::Error) -> bool {
    use rusqlite::ffi;
    let writes = [
        ffi::SQLITE_IOERR_WRITE,
        ffi::SQLITE_IOERR_FSYNC,
        ffi::SQLITE_IOERR_DIR_FSYNC,
        ffi::SQLITE_IOERR_TRUNCATE,
        ffi::SQLITE_IOERR_SHMSIZE,
    ];
    writes.contains(&code(source))
}

impl StoreError {
    /// The same error, with the file where only the opener knows it.
    pub(crate) fn at(self, place: &Path) -> Self {
        match self {
            Self::Other { ref source, .. } => {
                match source.downcast_ref().and_then(rusqlite::Error::sqlite_error_code) {
                    Some(ErrorCode::NotADatabase) => Self::NotAStore { place: place.to_owned() },
                    Some(ErrorCode::CannotOpen) => Self::CannotOpen {
                        place: place.to_owned(),
                        why: io::Error::other("the database cannot open it"),
                    },
                    _ => self,
                }
            }
            other => other,
        }
    }

    pub(crate) fn row(table: &str, id: i64, why: &str) -> Self {
        Self::Damaged { what: format!("row {id} of {table}: {why}") }
    }
}
