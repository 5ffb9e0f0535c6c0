//! The tool's own folders, by the rules of the desktop: data and settings of the person who runs it.

use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use etcetera::{AppStrategy as _, AppStrategyArgs, choose_app_strategy};

use crate::problem::Problem;

/// The folder of the record, made if there is none.
///
/// # Errors
/// There is no home to put it in, or it cannot be made.
pub(crate) fn data() -> Result<PathBuf, Problem> {
    made(strategy()?.data_dir())
}

/// The folder of settings, made if there is none.
///
/// # Errors
/// As [`data`].
pub(crate) fn config() -> Result<PathBuf, Problem> {
    made(config_place()?)
}

/// Where settings would stand; nothing is made.
///
/// # Errors
/// There is no home.
pub(crate) fn config_place() -> Result<PathBuf, Problem> {
    Ok(strategy()?.config_dir())
}

fn strategy() -> Result<impl etcetera::AppStrategy, Problem> {
    let strategy = choose_app_strategy(AppStrategyArgs {
        top_level_domain: String::new(),
        author: String::new(),
        app_name: "tightspot".to_owned(),
    });
    strategy.map_err(|why| Problem::failed(format!("No data folder: {why}. Name a file with --store.")))
}

fn made(folder: PathBuf) -> Result<PathBuf, Problem> {
    fs::create_dir_all(&folder).map_err(|why| Problem::failed(format!("{}: {why}.", folder.display())))?;
    Ok(folder)
}

/// Writes a file that only its owner can read: whole beside its place, then put there.
///
/// # Errors
/// The folder cannot be written.
pub(crate) fn write_private(file: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut beside = file.as_os_str().to_owned();
    beside.push(format!(".new-{}", std::process::id()));
    let beside = PathBuf::from(beside);
    // What a program of the same number left there is nobody's, and may be open to others.
    let _ = fs::remove_file(&beside);
    write_new(&beside, bytes)?;
    fs::rename(&beside, file).inspect_err(|_| drop(fs::remove_file(&beside)))
}

/// Writes a file that is not there yet, and that only its owner can read: the whole of it, or none.
///
/// # Errors
/// It is there, or it cannot be written.
pub(crate) fn write_new(file: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut out = options.open(file)?;
    let written = out.write_all(bytes).and_then(|()| out.sync_all());
    written.inspect_err(|_| drop(fs::remove_file(file)))
}

/// Makes a folder that is not there yet, and that only its owner can open.
///
/// # Errors
/// It is there, or it cannot be made.
pub(crate) fn make_new(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}
