//! Brings tracks in, one or a season of them: each file is kept whole or not at all, and a bad one stops nothing.

use std::io::{self, IsTerminal as _, Read as _, Write as _};
use std::path::{Path, PathBuf};

use advice::Setup;
use jiff::Timestamp;
use ride::profile::Keep;
use store::{AddedRide, Fitted, Post};
use upkeep::bike::Bike;

use super::args::ImportArgs;
use super::interrupt::Interrupt;
use crate::asked::{Door, ground};
use crate::garage::{Garage, track_text};
use crate::problem::Problem;
use crate::recorded::Recorded;
use crate::terminal::harmless;

/// What became of the files.
#[derive(Default)]
struct Tally {
    kept: Vec<String>,
    there: usize,
    bad: Vec<String>,
}

/// Reads every file and keeps the good ones; stops between two files where that is asked for.
pub(super) fn run(garage: &mut Garage, bike: &Bike, args: &ImportArgs) -> Result<(), Problem> {
    if let Some(word) = args.ground.as_deref() {
        ground(Some(word))?;
    }
    let fitted = ridden_on(bike, args)?;
    let files = listed(&args.files)?;
    if args.name.is_some() && files.len() != 1 {
        let text =
            format!("--name is for one file; {} are given. Leave it out: each keeps its file's name.", files.len());
        return Err(Problem::usage(text));
    }
    let interrupt = Interrupt::watch();
    let progress = Progress::new(files.len());
    let mut tally = Tally::default();
    let mut left = 0;
    for (n, file) in files.iter().enumerate() {
        if interrupt.asked() {
            left = files.len() - n;
            break;
        }
        progress.at(n, file);
        if let Err(why) = one(garage, (bike, fitted), file, args, &mut tally) {
            tally.bad.push(why);
        }
    }
    progress.done();
    told(&tally, files.len(), left, args.dry_run)
}

/// What was fitted on these rides: what was said, else what the sheet says; none if it says nothing.
fn ridden_on(bike: &Bike, args: &ImportArgs) -> Result<Option<Fitted>, Problem> {
    let mut door = Door::default();
    let Setup { front_teeth, rear_teeth, links } = match door.wanted(bike, &args.setup) {
        Ok(setup) => setup,
        Err(_) if args.setup.pair.is_none() && args.setup.links.is_none() => return Ok(None),
        Err(gap) => return Err(gap.into()),
    };
    door.closed()?;
    Ok(Some(Fitted { front_teeth, rear_teeth, links }))
}

/// The files named, folders opened, each once.
fn listed(named: &[PathBuf]) -> Result<Vec<PathBuf>, Problem> {
    let mut files: Vec<PathBuf> = Vec::new();
    for path in named {
        let told = |why: &dyn std::fmt::Display| Problem::failed(format!("{}: {why}.", path.display()));
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let mut inside: Vec<PathBuf> = std::fs::read_dir(path)
            .map_err(|why| told(&why))?
            .filter_map(|entry| entry.ok().map(|entry| entry.path()))
            .filter(|file| kind(file).is_some() && file.is_file())
            .collect();
        inside.sort();
        if inside.is_empty() {
            return Err(told(&"there is no .gpx and no .csv file in it"));
        }
        files.extend(inside);
    }
    let mut seen = std::collections::HashSet::new();
    files.retain(|file| seen.insert(file.clone()));
    Ok(files)
}

fn kind(file: &Path) -> Option<&'static str> {
    let ending = file.extension()?.to_str()?.to_ascii_lowercase();
    ["gpx", "csv"].into_iter().find(|known| *known == ending)
}

/// Reads one file and keeps it; the error is a sentence that names it.
fn one(
    garage: &mut Garage,
    (bike, fitted): (&Bike, Option<Fitted>),
    file: &Path,
    args: &ImportArgs,
    tally: &mut Tally,
) -> Result<(), String> {
    let piped = file == Path::new("-");
    let called = if piped { "standard input".to_owned() } else { file.display().to_string() };
    let named = |why: &dyn std::fmt::Display| format!("{called}: {why}");
    let text = if piped { standard_input() } else { track_text(file) };
    let text = text.map_err(|why| named(&format_args!("{why}.")))?;
    let stem = file.file_stem().and_then(|stem| stem.to_str()).filter(|stem| *stem != "-").unwrap_or("ride");
    let name = args.name.as_deref().unwrap_or(stem);
    let recorded = Recorded::of_file(&file.to_string_lossy(), &text).map_err(|why| named(&format_args!("{why}.")))?;
    let now = Timestamp::now();
    let keep = if args.places { Keep::MotionAndPlaces } else { Keep::Motion };
    let (about, blob) = recorded.kept(name, now, keep);
    let mut about = about.from_file(file.display().to_string(), text.as_bytes());
    about.ground.clone_from(&args.ground);
    about.fitted = fitted;
    let places = if args.places { "with its places" } else { "no places" };
    let notes = recorded.notes().iter().map(|note| format!("  {note}\n")).collect::<String>();
    if args.dry_run {
        let size = blob.len();
        tally.kept.push(format!("Would keep \"{name}\" of {}: {size} bytes of motion, {places}.\n{notes}", about.day));
        return Ok(());
    }
    let post = Post::at(now);
    match garage.store_mut().add_ride(&bike.id, &about, Some(&blob), &post).map_err(|why| named(&why))? {
        AddedRide::New(id) => {
            tally.kept.push(format!(
                "Kept \"{name}\" of {} as ride {id}: speed, grade and time, {places}.\n{notes}",
                about.day
            ));
        }
        AddedRide::AlreadyThere { ride, bike } => {
            tally.there += 1;
            tally.kept.push(format!("\"{name}\" is there already: ride {ride} of {bike}.\n"));
        }
    }
    Ok(())
}

fn standard_input() -> Result<String, String> {
    let mut bytes = Vec::new();
    if io::stdin().is_terminal() {
        return Err("nothing is piped in; give a file, or see: tightspot ride import --help".to_owned());
    }
    io::stdin().lock().read_to_end(&mut bytes).map_err(|why| why.to_string())?;
    ride::track::decoded(bytes).map_err(|why| why.to_string())
}

/// Says what was kept, what was not, and what to do next; fails where a file was bad or files are left.
fn told(tally: &Tally, all: usize, left: usize, dry_run: bool) -> Result<(), Problem> {
    let mut out = io::stdout().lock();
    for line in &tally.kept {
        write!(out, "{}", harmless(line))?;
    }
    let new = tally.kept.len() - tally.there;
    if all > 1 {
        let would = if dry_run { "would be " } else { "" };
        writeln!(out, "{new} of {all} {would}kept, {} there already, {} bad.", tally.there, tally.bad.len())?;
    }
    if new > 0 && !dry_run {
        writeln!(out, "Next: tightspot gearing --all")?;
    }
    out.flush()?;
    let mut problems = tally.bad.clone();
    if left > 0 {
        problems.push(format!(
            "Stopped as asked: {left} files were not read. What was kept stays; bring in the rest the same way."
        ));
    }
    if problems.is_empty() { Ok(()) } else { Err(Problem::Failed(problems)) }
}

/// How far it is, on standard error and only for somebody who looks at it.
struct Progress {
    all: usize,
    shown: bool,
}

impl Progress {
    fn new(all: usize) -> Self {
        Self { all, shown: all > 1 && io::stderr().is_terminal() }
    }

    fn at(&self, n: usize, file: &Path) {
        if self.shown {
            let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            let name: String = name.chars().filter(|c| !c.is_control()).take(50).collect();
            let _ = write!(io::stderr(), "\r\x1b[K{} of {}: {name}", n + 1, self.all);
        }
    }

    fn done(&self) {
        if self.shown {
            let _ = write!(io::stderr(), "\r\x1b[K");
        }
    }
}
