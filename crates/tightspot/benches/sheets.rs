//! How long a printed sheet takes, asked for as a rider asks: over HTTP, each one of another setup, both papers in turn.
//!
//! `cargo bench -p tightspot --bench sheets`. The first one loads typefaces and library and is shown apart; of the others the
//! slowest may take 100 ms. Sent again, a sheet has the same bytes, or the bench fails.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

mod served;

use std::process::Command;
use std::time::Instant;

use served::{Connection, Outcome, Server};

/// The slowest sheet after the first takes no longer.
const BAR_MS: f64 = 100.0;
/// Jobs of a sheet: the final drive, a small one, what goes with it, a large one.
const JOBS: [&str; 4] = ["final-drive-set", "gearbox-oil", "countershaft-seal", "top-end-4t"];
/// Sheets of each job.
const EACH: usize = 12;

fn main() -> Outcome<()> {
    let server = Server::start(Command::new(env!("CARGO_BIN_EXE_tightspot")).args(["--demo", "serve", "--port", "0"]))?;
    let mut connection = Connection::open(&server.address)?;
    let (first, _) = timed(&mut connection, JOBS[0], 0)?;
    println!("the first one: {first:.1} ms");
    let mut worst = 0.0_f64;
    for job in JOBS {
        let mut waits = Vec::new();
        let mut bytes = 0;
        for nth in 0..EACH {
            let (wait, sheet) = timed(&mut connection, job, nth)?;
            bytes = sheet.len();
            waits.push(wait);
            if timed(&mut connection, job, nth)?.1 != sheet {
                return Err(format!("{job}: sent again, it has other bytes").into());
            }
        }
        waits.sort_by(f64::total_cmp);
        let (middle, slowest) = (waits[waits.len() / 2], waits[waits.len() - 1]);
        worst = worst.max(slowest);
        println!("{job:<20} {EACH} sheets, middle {middle:>6.1} ms, slowest {slowest:>6.1} ms, {} KiB", bytes / 1024);
    }
    println!("memory after all of it: {} KiB resident", server.resident_kib()?);
    if worst <= BAR_MS { Ok(()) } else { Err(format!("a sheet took {worst:.1} ms; {BAR_MS} ms is the bar").into()) }
}

/// One sheet: milliseconds and bytes. Each number has its own pair and paper.
fn timed(connection: &mut Connection, job: &str, nth: usize) -> Outcome<(f64, Vec<u8>)> {
    let paper = if nth.is_multiple_of(2) { "a4" } else { "letter" };
    let address = format!("/jobs/plan.pdf?paper={paper}&job={job}&rear_teeth={}", 45 + nth / 2);
    let asked = Instant::now();
    let sheet = connection.ask(&address)?;
    let wait = asked.elapsed().as_secs_f64() * 1000.0;
    if sheet.starts_with(b"%PDF-") { Ok((wait, sheet)) } else { Err(format!("{address}: no sheet").into()) }
}
