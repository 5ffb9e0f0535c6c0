//! `tightspot figures`: JSON Lines in, JSON Lines out.

use std::fs::File;
use std::io::{self, BufRead, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use figures::Tracks;

use crate::api::describe;
use crate::args::{FiguresArgs, Place};
use crate::commands::not_typed;
use crate::figures_list;
use crate::garage::track_text;

/// Tracks in a folder of this machine, for whoever sits at it.
struct Folder(PathBuf);

impl Tracks for Folder {
    fn text(&self, name: &str) -> Result<String, String> {
        track_text(&self.0.join(name))
    }
}

/// Answers every line; the exit status is 0 whenever each got its answer or refusal.
pub(crate) fn run(place: &Place, args: &FiguresArgs) -> ExitCode {
    let from_pipe = args.file.as_deref().is_none_or(|path| path == Path::new("-"));
    if from_pipe
        && !args.list
        && let Err(problem) = not_typed("figures", "one question a line")
    {
        return problem.tell();
    }
    let done = if args.list { list(place) } else { answer_all(args) };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        // Whoever read had enough of it: no failure of ours.
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(why) => {
            let _ = writeln!(io::stderr(), "figures: {why}");
            ExitCode::FAILURE
        }
    }
}

fn list(place: &Place) -> io::Result<()> {
    let mut out = BufWriter::new(io::stdout().lock());
    if place.json {
        writeln!(out, "{}", describe::all())?;
    } else {
        figures_list::print(&mut out)?;
    }
    out.flush()
}

fn answer_all(args: &FiguresArgs) -> io::Result<()> {
    let file = args.file.as_deref().filter(|path| *path != Path::new("-"));
    let beside = file.and_then(Path::parent).map(Path::to_path_buf);
    let tracks = Folder(args.base.clone().or(beside).unwrap_or_default());
    let input: Box<dyn BufRead> = match file {
        Some(path) => Box::new(BufReader::new(File::open(path)?)),
        None => Box::new(io::stdin().lock()),
    };
    let mut out = BufWriter::new(io::stdout().lock());
    for (number, line) in input.split(b'\n').enumerate() {
        let line = line?;
        let text = String::from_utf8_lossy(&line);
        if text.trim().is_empty() {
            continue;
        }
        writeln!(out, "{}", figures::line::answer(&text, number + 1, &tracks))?;
    }
    out.flush()
}
