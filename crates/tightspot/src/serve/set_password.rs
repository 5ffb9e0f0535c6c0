//! `tightspot serve password`: from a file or a pipe, never from the command line, where others could read it.

use std::io::{self, IsTerminal as _, Read as _, Write as _};
use std::path::Path;

use super::gate::password::{self, Kept};
use crate::problem::Problem;

/// The most that is read: two long lines.
const MOST_BYTES: u64 = 16 << 10;

/// Sets the password, or changes it where the present one is given too.
///
/// # Errors
/// It is not given, not taken, or the present one is wrong.
pub(crate) fn run(file: Option<&Path>) -> Result<(), Problem> {
    let text = read(file)?;
    let mut lines = text.lines();
    let present = Kept::read()?;
    if let Some(present) = &present {
        let given = lines.next().unwrap_or_default();
        if !present.is(given) {
            return Err(Problem::failed(
                "password: one is set, and the first line is not it. Give the present one on the first line and the new \
                 one on the next. Nothing was changed.",
            ));
        }
    }
    let new = lines.next().unwrap_or_default();
    if lines.next().is_some() {
        return Err(Problem::usage("password: there are more lines than one password needs. Nothing was changed."));
    }
    password::check(new).map_err(|why| Problem::usage(format!("password: {why} Nothing was changed.")))?;
    let place = Kept::new(new).map_err(Problem::failed)?.write()?;
    let mut out = io::stdout().lock();
    writeln!(out, "The password is set; only its hash is kept: {}", place.display())?;
    if let Some(advice) = password::advice(new) {
        writeln!(out, "{advice}")?;
    }
    writeln!(out, "Next: tightspot serve --bind ADDRESS --tls")?;
    Ok(())
}

fn read(file: Option<&Path>) -> Result<String, Problem> {
    let mut bytes = Vec::new();
    match file.filter(|file| *file != Path::new("-")) {
        Some(file) => {
            let told = |why: io::Error| Problem::failed(format!("{}: {why}. Name another file.", file.display()));
            std::fs::File::open(file).and_then(|open| open.take(MOST_BYTES).read_to_end(&mut bytes)).map_err(told)?;
        }
        None if io::stdin().is_terminal() => {
            return Err(Problem::Usage(vec![
                "password: it is read from a file or a pipe, so that nobody sees it typed.".to_owned(),
                "With a prompt that shows nothing: read -rsp 'Password: ' p; printf '%s' \"$p\" | tightspot serve password"
                    .to_owned(),
            ]));
        }
        None => drop(io::stdin().lock().take(MOST_BYTES).read_to_end(&mut bytes)?),
    }
    String::from_utf8(bytes).map_err(|_| Problem::usage("password: it is not UTF-8. Nothing was changed."))
}
