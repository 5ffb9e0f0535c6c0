//! A writer that is killed in the middle loses nothing that it was told is written.
//!
//! Run without arguments this is the test; it starts itself as the writer, kills it and reads what is there.

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::time::Duration;

use jiff::Timestamp;
use store::{Post, Store};
use upkeep::bike::{Bike, Change, Value};

const ROUNDS: u64 = 6;

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    match (args.next().as_deref(), args.next()) {
        (Some("write-until-killed"), Some(place)) => write_until_killed(Path::new(&place)),
        (Some("--list"), _) => listed(),
        _ => test(),
    }
}

/// Names the one test to a runner that asks.
fn listed() -> ExitCode {
    let _ = writeln!(std::io::stdout(), "a_killed_writer_loses_nothing_acknowledged: test");
    ExitCode::SUCCESS
}

/// Counts up in one field and says each number once it is stored.
fn write_until_killed(place: &Path) -> ExitCode {
    let mut store = Store::open(place).expect("the store opens");
    let mut out = std::io::stdout().lock();
    let first = acknowledged(&store) + 1;
    for number in first.. {
        let source = Some(format!("write {number}"));
        let change = Change { field: "links".into(), value: Some(Value::Whole(100 + number % 2)), source };
        store.set_field("b", change, &Post::at(Timestamp::UNIX_EPOCH)).expect("the write is taken");
        writeln!(out, "{number}").and_then(|()| out.flush()).expect("someone listens");
    }
    ExitCode::SUCCESS
}

/// The last number in the store.
fn acknowledged(store: &Store) -> u32 {
    let history = store.history("b").expect("the history reads");
    let latest = history.first().and_then(|fact| fact.source.clone());
    latest.and_then(|source| source.strip_prefix("write ")?.parse().ok()).unwrap_or(0)
}

fn test() -> ExitCode {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("bikes.db");
    let mut store = Store::open(&place).expect("the store opens");
    store.put_bike(&Bike::new("b", "B", false).expect("a bike"), &Post::at(Timestamp::UNIX_EPOCH)).expect("put");
    drop(store);
    let mut before = 0;
    for round in 0..ROUNDS {
        let told = killed_writer(&place, round);
        let store = Store::open(&place).expect("the store opens after a kill");
        let kept = acknowledged(&store);
        assert!(kept >= told, "{told} was acknowledged, {kept} is there");
        assert!(kept <= told + 1, "{kept} is there, only {told} was acknowledged and one more begun");
        assert!(kept > before, "round {round} wrote nothing: the test proves nothing");
        let checked = store.check().expect("the store is whole after a kill");
        assert_eq!(checked.facts as u64, u64::from(kept), "each write is one fact");
        before = kept;
    }
    let _ = writeln!(std::io::stdout(), "{ROUNDS} kills, {before} writes, nothing lost");
    ExitCode::SUCCESS
}

/// Starts a writer, kills it while it writes, and answers the last number it said.
fn killed_writer(place: &Path, round: u64) -> u32 {
    let program = std::env::current_exe().expect("this program");
    let mut writer = Command::new(program)
        .arg("write-until-killed")
        .arg(place)
        .stdout(Stdio::piped())
        .spawn()
        .expect("the writer starts");
    let mut lines = BufReader::new(writer.stdout.take().expect("its output")).lines();
    let mut told = lines.next().and_then(Result::ok).and_then(|line| line.parse().ok()).expect("a first number");
    // Another moment in each round.
    std::thread::sleep(Duration::from_millis(20 + 7 * round));
    writer.kill().expect("it is killed");
    for line in lines.map_while(Result::ok) {
        told = line.parse().unwrap_or(told);
    }
    writer.wait().expect("it is gone");
    told
}
