//! Every page under load beside a bare hello of the same framework in the same run, on whatever store is named.
//!
//! `STORE=FILE cargo bench -p tightspot --bench pages` measures a rider's own store; without it, the demo. Sixteen connections
//! ask uncompressed and kept alive, first the bare server, then each page, then the bare server again; then one connection
//! asks alone. Fails if a page does not reach its share of the bare rate. Pages named as arguments are measured alone.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

mod rival;
mod served;

use std::process::Command;
use std::time::{Duration, Instant};

use rival::{bare, ours, visits};
use served::{Connection, Outcome, Server};

/// Connections of the crowd.
const CONNECTIONS: usize = 16;
/// How long each page is asked.
const SPAN: Duration = Duration::from_millis(1500);
/// A page reaches this share of the bare rate, or the bench fails.
const SHARE: f64 = 0.05;
/// One connection alone waits no longer than this at the median.
const P50_MS: f64 = 1.0;

fn main() -> Outcome<()> {
    if std::env::args().any(|arg| arg == "--bare") {
        return bare();
    }
    let bare = Server::start(Command::new(std::env::current_exe()?).arg("--bare"))?;
    let ours = Server::start(&mut ours())?;
    let before = crowd(&bare.address, "/")?.rate;
    let alone = single(&bare.address, "/")?;
    println!("{:<34} {:>10} {:>8} {:>9} {:>9} {:>9}", "page", "answers/s", "share", "p99 ms", "p50 ms", "KiB");
    println!("{:<34} {before:>10.0} {:>8} {:>9} {:>9.3}", "bare hello", "1", "", alone.p50_ms);
    let mut slow = Vec::new();
    let named: Vec<String> = std::env::args().skip(1).filter(|arg| arg.starts_with('/')).collect();
    for page in if named.is_empty() { visits(&ours)? } else { named } {
        let (crowd, single) = (crowd(&ours.address, &page)?, single(&ours.address, &page)?);
        let share = crowd.rate / before;
        let (p99, p50, kib) = (crowd.p99_ms, single.p50_ms, crowd.bytes / 1024.0);
        println!("{page:<34} {:>10.0} {share:>8.3} {p99:>9.2} {p50:>9.3} {kib:>9.1}", crowd.rate);
        if share < SHARE || p50 > P50_MS {
            slow.push(page);
        }
    }
    let after = crowd(&bare.address, "/")?.rate;
    println!("bare hello again: {after:.0} answers/s, {:.2} of the first time", after / before);
    println!("memory of ours after all of it: {} KiB resident", ours.resident_kib()?);
    if slow.is_empty() {
        Ok(())
    } else {
        Err(format!("under {SHARE} of the bare rate or over {P50_MS} ms alone: {slow:?}").into())
    }
}

/// What a crowd or one alone saw.
struct Seen {
    rate: f64,
    p50_ms: f64,
    p99_ms: f64,
    bytes: f64,
}

fn crowd(address: &str, page: &str) -> Outcome<Seen> {
    many(address, page, CONNECTIONS)
}

fn single(address: &str, page: &str) -> Outcome<Seen> {
    many(address, page, 1)
}

fn many(address: &str, page: &str, connections: usize) -> Outcome<Seen> {
    let ask = || -> Outcome<(Vec<f64>, usize)> {
        let mut connection = Connection::open(address)?;
        connection.ask(page)?;
        let (began, mut waits, mut bytes) = (Instant::now(), Vec::new(), 0);
        while began.elapsed() < SPAN {
            let asked = Instant::now();
            bytes = connection.ask(page)?.len();
            waits.push(asked.elapsed().as_secs_f64() * 1000.0);
        }
        Ok((waits, bytes))
    };
    let told = std::thread::scope(|scope| {
        let asking: Vec<_> = (0..connections).map(|_| scope.spawn(ask)).collect();
        asking.into_iter().map(|one| one.join().map_err(|_| "an asking thread died")).collect::<Vec<_>>()
    });
    let (mut waits, mut bytes) = (Vec::new(), 0);
    for one in told {
        let (more, size) = one??;
        waits.extend(more);
        bytes = size;
    }
    waits.sort_by(f64::total_cmp);
    let at = |part: usize| waits.get(waits.len() * part / 100).copied().unwrap_or(f64::NAN);
    Ok(Seen { rate: waits.len() as f64 / SPAN.as_secs_f64(), p50_ms: at(50), p99_ms: at(99), bytes: bytes as f64 })
}
