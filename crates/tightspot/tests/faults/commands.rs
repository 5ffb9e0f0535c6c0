//! Commands killed at random moments: all of what they do, or nothing of it.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::bench::{Bench, binary, said};
use crate::dice::{Dice, seed};

const KILLS: u64 = 8;

fn on(store: &Path) -> Command {
    let mut command = Command::new(binary());
    command.arg("--store").arg(store);
    command
}

/// How long a command takes when it is left alone.
fn time(command: &mut Command) -> Duration {
    let began = Instant::now();
    let said = said(command);
    assert_eq!(said.status, Some(0), "{}", said.err);
    began.elapsed()
}

/// Starts a command and kills it at a random moment of the time that it takes.
fn killed(command: &mut Command, takes: Duration, dice: &mut Dice) {
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("it starts");
    let most = u64::try_from(takes.as_micros()).expect("not that long").max(1);
    std::thread::sleep(Duration::from_micros(dice.roll(most)));
    let _ = child.kill();
    let _ = child.wait();
}

#[test]
fn a_document_brought_in_is_there_whole_or_not_at_all() {
    let bench = Bench::new("import-killed");
    let text = bench.done(&["export"]);
    let document = bench.folder.join("record.json");
    std::fs::write(&document, &text).expect("a file");
    let name = document.to_str().expect("a name");
    let takes = time(on(&bench.folder.join("first.db")).args(["import", name]));
    let mut dice = Dice::of("import");
    for kill in 0..KILLS {
        let store = bench.folder.join(format!("import-{kill}.db"));
        killed(on(&store).args(["import", name]), takes, &mut dice);
        let there = said(on(&store).arg("doctor"));
        assert_eq!(there.status, Some(0), "seed {}: {}", seed(), there.err);
        let found = said(on(&store).arg("export")).out;
        if found != text {
            assert!(!found.contains("alder-350"), "seed {}: half of it is there", seed());
            assert_eq!(said(on(&store).args(["import", name])).status, Some(0));
            assert_eq!(said(on(&store).arg("export")).out, text);
        }
    }
}

#[test]
fn a_copy_or_a_way_back_that_was_killed_leaves_the_store_as_it_is_and_no_half_copy_is_taken() {
    let bench = Bench::new("copy-killed");
    let before = bench.done(&["export"]);
    let copy = |name: String| bench.folder.join(name).to_str().expect("a name").to_owned();
    let whole = copy("whole.copy".to_owned());
    let takes = time(bench.command().args(["backup", &whole]));
    let back = time(bench.command().args(["restore", &whole, "--yes"]));
    let mut dice = Dice::of("copy");
    for kill in 0..KILLS {
        let half = copy(format!("{kill}.copy"));
        killed(bench.command().args(["backup", &half]), takes, &mut dice);
        let looked = bench.run(&["restore", &half, "--dry-run"]);
        let store = bench.folder.join(format!("from-{kill}.db"));
        let taken = said(on(&store).args(["restore", &half, "--yes"]));
        assert_eq!(looked.status, taken.status, "seed {}: {}{}", seed(), looked.err, taken.err);
        if taken.status == Some(0) {
            assert_eq!(said(on(&store).arg("export")).out, before, "seed {}", seed());
        } else {
            assert!(!store.exists(), "seed {}: a refused copy became a store", seed());
        }
        killed(bench.command().args(["restore", &whole, "--yes"]), back, &mut dice);
        assert_eq!(bench.done(&["export"]), before, "seed {}", seed());
        bench.whole();
    }
}
