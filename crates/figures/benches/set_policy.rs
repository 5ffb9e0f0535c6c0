//! The decision about chain and sprockets with three couplings against the clock and against the numpy reference of the
//! check rows, which is started in the same run.
//!
//! Fails if the reference did not run, if any lost money differs, or if a bar is missed. Needs `python3` with `numpy`
//! and `scipy`.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

use std::hint::black_box;
use std::process::{Command, ExitCode};
use std::time::Instant;

use serde_json::{Map, Value, json};

/// Bars: one whole answer, and how many times faster than the reference.
const WHOLE_S: f64 = 0.020;
const TIMES_FASTER: f64 = 10.0;
/// Lost money agrees to this many minor units.
const SAME_MINOR: f64 = 0.05;
const ROUNDS: u32 = 20;

/// Runs the reference and prints its seconds, then its answer as JSON.
const RIVAL: &str = "import json, sys, time
sys.path.insert(0, sys.argv[1])
import core
given = json.loads(sys.argv[2])
start = time.perf_counter(); answer = core.set_policy(given)
print(time.perf_counter() - start); print(json.dumps(answer['by_coupling']))";

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            println!("FAILED: {why}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), String> {
    let given = json!({
        "chain_life_h": 60, "front_life_h": 80, "rear_life_h": 120,
        "chain_price_minor": 9000, "front_price_minor": 2500, "rear_price_minor": 6000,
        "labour_minor": 3000, "trail_minor": 20_000, "currency": "EUR",
        "chain_level": 5, "front_level": 4, "rear_level": 2, "coupling": [0.5, 1, 2],
    });
    let asked: Map<String, Value> = given.as_object().cloned().ok_or("no object")?;
    let ask = || figures::ask("life.set_policy", &asked, &figures::NoTracks);
    let ours = ask().map_err(|refusal| refusal.text)?;
    let (rival_s, rows) = rival(&given)?;
    let mine = ours.at("by_coupling").and_then(Value::as_array).cloned().unwrap_or_default();
    agree(&mine, &rows)?;
    let seconds = (0..ROUNDS).fold(f64::INFINITY, |best, _| {
        let start = Instant::now();
        black_box(ask().is_ok());
        best.min(start.elapsed().as_secs_f64())
    });
    let ratio = rival_s / seconds;
    println!("three couplings  {:8.2} ms (bar {:.0})", 1e3 * seconds, 1e3 * WHOLE_S);
    println!("numpy reference  {:8.2} ms, lost money agrees within {SAME_MINOR} minor units", 1e3 * rival_s);
    println!("ratio            {ratio:8.0} times faster (bar {TIMES_FASTER})");
    match (seconds <= WHOLE_S, ratio >= TIMES_FASTER) {
        (true, true) => Ok(()),
        (false, _) => Err("one answer takes longer than its bar".to_owned()),
        (_, false) => Err("the ratio to the reference is below its bar".to_owned()),
    }
}

fn rival(given: &Value) -> Result<(f64, Vec<Value>), String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../checks/wear");
    // One thread: on a busy machine its library's threads wait for each other and take four times as long.
    let mut python = Command::new("python3");
    let told = python.args(["-c", RIVAL, folder, &given.to_string()]).env("OPENBLAS_NUM_THREADS", "1").output();
    let told = told.map_err(|why| format!("the reference did not run: {why}"))?;
    let text = String::from_utf8_lossy(&told.stdout);
    let (seconds, rows) = text.split_once('\n').ok_or_else(|| {
        format!("the reference did not answer (numpy and scipy?): {}", String::from_utf8_lossy(&told.stderr))
    })?;
    let seconds = seconds.trim().parse().map_err(|_| "its time cannot be read")?;
    Ok((seconds, serde_json::from_str(rows).map_err(|why| why.to_string())?))
}

fn agree(ours: &[Value], theirs: &[Value]) -> Result<(), String> {
    if ours.len() != 3 || theirs.len() != 3 {
        return Err("not three couplings on both sides".to_owned());
    }
    for (mine, reference) in ours.iter().zip(theirs) {
        let lost = mine["lost_minor"].as_object().ok_or("no lost money")?;
        for (action, minor) in lost {
            let other = &reference["lost_minor"][action];
            let same = match (minor.as_f64(), other.as_f64()) {
                (Some(minor), Some(other)) => (minor - other).abs() <= SAME_MINOR,
                (mine, other) => mine.is_none() && other.is_none(),
            };
            if !same {
                return Err(format!("{action}: {minor} here, {other} by the reference"));
            }
        }
    }
    Ok(())
}
