//! The rider's own folder of jobs and cautions, laid over the carried library: `--jobs FOLDER` or the setting `jobs`, else the
//! folder `jobs` beside the tool's own settings, if there is one.

use std::path::{Path, PathBuf};

use advice::Block;
use upkeep::job::handbook::{self, HandbookFault, Source};

use crate::args::{Command, JobArgs, JobPart, Place};
use crate::folders;
use crate::problem::Problem;

/// Most files of one folder; more is some other folder.
const MOST_FILES: usize = 400;
/// The longest file.
const LONGEST_BYTES: u64 = 1 << 20;

/// One file: the name that errors give it, and its text.
type Read = (String, String);

/// Takes the rider's folder in, for as long as the program runs; not where the command is about to hold one to the light.
///
/// # Errors
/// It cannot be read, or does not hold: every fault with file and line.
pub(crate) fn take(place: &Place, command: &Command) -> Result<(), Problem> {
    if let Command::Job(JobArgs { part: JobPart::Check(args) }) = command
        && args.checks.iter().any(|one| Path::new(one).is_dir())
    {
        return Ok(());
    }
    let Some(folder) = place.own_jobs.clone().or_else(own_folder) else { return Ok(()) };
    let files = read(&folder)?;
    handbook::take_own(&sources(&files)).map_err(|faults| told(&faults))
}

/// Holds a folder against the carried library and says what is in it.
///
/// # Errors
/// Every fault with file and line.
pub(crate) fn check(place: &Place, folder: &Path) -> Result<(), Problem> {
    let files = read(folder)?;
    handbook::with_own(&sources(&files)).map_err(|faults| told(&faults))?;
    let names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
    let text = format!("{} holds over the carried library: {}.", folder.display(), names.join(", "));
    crate::commands::show(place, &names, &[Block::Text(text)])
}

fn told(faults: &[HandbookFault]) -> Problem {
    Problem::Failed(faults.iter().map(ToString::to_string).collect())
}

fn sources(files: &[Read]) -> Vec<Source<'_>> {
    files.iter().map(|(name, text)| Source { name, text }).collect()
}

/// The folder beside the tool's own settings, if there is one.
fn own_folder() -> Option<PathBuf> {
    let folder = folders::config_place().ok()?.join("jobs");
    let holds = |entry: std::fs::DirEntry| entry.path().extension().is_some_and(|end| end == "toml");
    std::fs::read_dir(&folder).ok()?.filter_map(Result::ok).any(holds).then_some(folder)
}

/// The job files of a folder, by name.
fn read(folder: &Path) -> Result<Vec<Read>, Problem> {
    let wrong = |what: &Path, why: &dyn std::fmt::Display| Problem::failed(format!("{}: {why}.", what.display()));
    let entries = std::fs::read_dir(folder).map_err(|why| wrong(folder, &why))?;
    let mut paths: Vec<PathBuf> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    paths.sort();
    if paths.is_empty() {
        return Err(wrong(folder, &"no .toml file is in it; one file a job, or _access.toml and cautions.toml"));
    }
    if paths.len() > MOST_FILES {
        return Err(wrong(folder, &format!("{} files are more than {MOST_FILES}", paths.len())));
    }
    paths
        .into_iter()
        .map(|path| {
            let size = std::fs::metadata(&path).map_err(|why| wrong(&path, &why))?.len();
            if size > LONGEST_BYTES {
                return Err(wrong(&path, &"it is longer than 1 MiB"));
            }
            let text = std::fs::read_to_string(&path).map_err(|why| wrong(&path, &why))?;
            Ok((path.display().to_string(), text))
        })
        .collect()
}
