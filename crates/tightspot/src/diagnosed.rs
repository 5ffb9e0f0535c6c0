//! `--debug`: what whoever looks for a cause wants to know, on standard error and never in an answer.

use std::error::Error;
use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use crate::args::Args;
use crate::garage::place_of;
use crate::settings::Holding;

/// Whether causes are told; off unless asked for.
static TOLD: AtomicBool = AtomicBool::new(false);

/// Runs a command; with `--debug` says before it where everything is, and after it how it ended and how long it took.
pub(crate) fn around(args: &Args, holding: &[Holding], run: impl FnOnce() -> ExitCode) -> ExitCode {
    if !args.place.debug {
        return run();
    }
    TOLD.store(true, Ordering::Relaxed);
    let began = Instant::now();
    for line in before(args, holding) {
        say(&line);
    }
    let status = run();
    let word = if status == ExitCode::SUCCESS { "well" } else { "not well" };
    say(&format!("ended {word} after {:.1} ms", began.elapsed().as_secs_f64() * 1000.0));
    status
}

/// What a fault was caused by, for its last line; nothing unless it was asked for.
pub(crate) fn cause(why: &(dyn Error + 'static)) -> Option<String> {
    TOLD.load(Ordering::Relaxed).then(|| {
        let mut words = vec![format!("{why:?}")];
        let mut below = why.source();
        while let Some(one) = below {
            words.push(format!("{one:?}"));
            below = one.source();
        }
        format!("debug: {}", words.join(" ← "))
    })
}

fn before(args: &Args, holding: &[Holding]) -> Vec<String> {
    let mut lines = vec![format!(
        "tightspot {} on {} {}, {}",
        env!("CARGO_PKG_VERSION"),
        std::env::consts::OS,
        std::env::consts::ARCH,
        if cfg!(debug_assertions) { "with its own checks" } else { "optimised" }
    )];
    let store = if args.place.demo {
        Ok("none: a throw-away one".to_owned())
    } else {
        place_of(&args.place).map(|file| in_words(&file))
    };
    lines.push(format!("store: {}", store.unwrap_or_else(|why| why.lines().join(" "))));
    lines.extend(holding.iter().map(|one| format!("{} = {} ({})", one.known.name, one.value, one.origin)));
    lines
}

fn in_words(file: &std::path::Path) -> String {
    match std::fs::metadata(file) {
        Ok(about) => format!("{}, {} bytes", file.display(), about.len()),
        Err(why) => format!("{}, {why}", file.display()),
    }
}

fn say(line: &str) {
    use std::io::Write as _;
    let _ = writeln!(std::io::stderr().lock(), "debug: {line}");
}
