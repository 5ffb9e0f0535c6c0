//! Every page under load beside a bare hello of the same framework in the same run, on whatever store is named.
//!
//! `STORE=FILE cargo bench -p tightspot --bench pages` measures a rider's own store; without it, the demo. Sixteen connections
//! ask uncompressed and kept alive, first the bare server, then each page, then the bare server again; one connection asks
//! alone. Each page is asked of a server that keeps its answers, of one that works each out anew, and, on a copy of the store,
//! right after a write. The bars are those of the pages that list what is recorded, by the router's own word, as the server
//! answers them: it keeps an answer until somebody writes. What the same page costs anew stands beside it, with the mark that it
//! would get, so that nobody takes the one for the other. Pages named as arguments are measured alone.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

mod rival;
mod served;

use std::process::Command;
use std::time::{Duration, Instant};

use rival::{Visited, bare, on, ours, visits};
use served::{Connection, Outcome, Server};

/// Connections of the crowd.
const CONNECTIONS: usize = 16;
/// How long each page is asked.
const SPAN: Duration = Duration::from_millis(400);
/// A list reaches this share of the bare rate as it is served, or the bench fails.
const SHARE: f64 = 0.05;
/// One connection alone waits no longer than this at the median for a list.
const P50_MS: f64 = 1.0;
/// How often a page is asked right after a write.
const WRITES: usize = 9;

fn main() -> Outcome<()> {
    if std::env::args().any(|arg| arg == "--bare") {
        return bare();
    }
    let bare = Server::start(Command::new(std::env::current_exe()?).arg("--bare"))?;
    let asked = Asked::start()?;
    let before = crowd(&bare.address, "/")?.rate;
    println!("bare hello: {before:.0} answers/s, p50 {:.3} ms alone", single(&bare.address, "/")?.p50_ms);
    println!("{:<34} {:>4}   {:>17}   {:>17}   {:>7}", "", "", "kept", "anew", "written");
    let columns = ["share", "p50 ms", "share", "p50 ms", "p50 ms", "KiB"];
    println!(
        "{:<34} {:>4} {:>9} {:>9} {:>9} {:>9} {:>4} {:>9} {:>8}",
        "page", "bar", columns[0], columns[1], columns[2], columns[3], "", columns[4], columns[5]
    );
    let (mut missed, mut slow_anew) = (Vec::new(), Vec::new());
    let named: Vec<String> = std::env::args().skip(1).filter(|arg| arg.starts_with('/')).collect();
    let pages = visits(&asked.keeping)?.into_iter().filter(|page| named.is_empty() || named.contains(&page.address));
    for page in pages {
        let held = asked.one(&page, before)?;
        if page.list && !held.anew {
            slow_anew.push(page.address.clone());
        }
        if page.list && !held.served {
            missed.push(page.address);
        }
    }
    let after = crowd(&bare.address, "/")?.rate;
    println!("bare hello again: {after:.0} answers/s, {:.2} of the first time", after / before);
    println!("memory of ours after all of it: {} KiB resident", asked.keeping.resident_kib()?);
    println!("lists that would miss the bars if no answer were kept: {slow_anew:?}");
    if missed.is_empty() {
        Ok(())
    } else {
        let many = missed.len();
        Err(format!("{many} lists under {SHARE} of the bare rate or over {P50_MS} ms alone: {missed:?}").into())
    }
}

/// Whether a page holds the bars of a list.
struct Held {
    /// As the server answers.
    served: bool,
    /// If it kept no answer.
    anew: bool,
}

/// The three ways in which the program is asked.
struct Asked {
    /// It keeps its answers.
    keeping: Server,
    /// It keeps none.
    forgetting: Server,
    /// It is written to, so on a copy.
    written: Server,
}

impl Asked {
    fn start() -> Outcome<Self> {
        let copy = std::env::var_os("STORE")
            .map(|file| {
                let copy = std::env::temp_dir().join(format!("pages-{}.db", std::process::id()));
                std::fs::copy(file, &copy).map(|_| copy.into_os_string())
            })
            .transpose()?;
        Ok(Self {
            keeping: Server::start(&mut ours())?,
            forgetting: Server::start(ours().arg("--forget"))?,
            written: Server::start(&mut on(copy))?,
        })
    }

    /// Measures one page and prints its line.
    fn one(&self, page: &Visited, bare: f64) -> Outcome<Held> {
        let address = &page.address;
        let (kept, alone) = (crowd(&self.keeping.address, address)?, single(&self.keeping.address, address)?);
        let (anew, anew_alone) =
            (crowd(&self.forgetting.address, address)?, single(&self.forgetting.address, address)?);
        let written = after_writes(&self.written.address, address)?;
        let holds = |crowd: &Seen, alone: &Seen| crowd.rate / bare >= SHARE && alone.p50_ms <= P50_MS;
        let held = Held { served: holds(&kept, &alone), anew: holds(&anew, &anew_alone) };
        let mark = |held| match (page.list, held) {
            (false, _) => "none",
            (true, true) => "held",
            (true, false) => "MISS",
        };
        println!(
            "{address:<34} {:>4} {:>9.3} {:>9.3} {:>9.3} {:>9.3} {:>4} {written:>9.3} {:>8.1}",
            mark(held.served),
            kept.rate / bare,
            alone.p50_ms,
            anew.rate / bare,
            anew_alone.p50_ms,
            mark(held.anew),
            kept.bytes / 1024.0
        );
        Ok(held)
    }
}

/// How long a page takes right after something was written, ms: the middle of a few.
fn after_writes(address: &str, page: &str) -> Outcome<f64> {
    let mut connection = Connection::open(address)?;
    connection.ask(page)?;
    let mut waits = Vec::new();
    for number in 0..WRITES {
        let key = format!("{}-{number}-{page}", std::process::id());
        let body = format!("{{\"slack_mm\": [84, 86, 88], \"note\": \"{key}\"}}");
        let long = body.len();
        let lines = format!("Content-Type: application/json\r\nIdempotency-Key: {key}\r\nContent-Length: {long}\r\n");
        let answer = connection.send("POST /api/v1/entries/slack", &lines, body.as_bytes())?;
        if answer.status != 201 {
            return Err(format!("a write was answered {}", answer.status).into());
        }
        let asked = Instant::now();
        connection.ask(page)?;
        waits.push(asked.elapsed().as_secs_f64() * 1000.0);
    }
    waits.sort_by(f64::total_cmp);
    Ok(waits.get(WRITES / 2).copied().unwrap_or(f64::NAN))
}

/// What a crowd or one alone saw.
struct Seen {
    rate: f64,
    p50_ms: f64,
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
    Ok(Seen { rate: waits.len() as f64 / SPAN.as_secs_f64(), p50_ms: at(50), bytes: bytes as f64 })
}
