//! Thirty-two clients read pages and answers for programs and write to one store, beside the bare hello in the same run.
//!
//! `scripts/load SECONDS` makes a store and runs it. Every client asks page after page over a connection that stays open, and
//! writes now and then: a slack reading as programs send it, or a ride by its form; `LOAD_WRITES` is how many writes a second
//! all of them make together. Before and after, the same clients ask the bare server. Fails on any answer that is an error,
//! and if memory grows.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

mod rival;
mod served;

use std::collections::BTreeMap;
use std::process::Command;
use std::time::{Duration, Instant};

use rival::{bare, ours, visits};
use served::{Connection, Outcome, Server};

const CLIENTS: u32 = 32;
/// Answers for programs that are read beside the pages.
const ANSWERS: [&str; 6] = [
    "/api/v1/ready",
    "/api/v1/drive",
    "/api/v1/rides?limit=50",
    "/api/v1/entries?limit=50",
    "/api/v1/jobs",
    "/api/v1/bikes",
];
/// What an old server may hold more than a new one on the same record, in KiB: room for what is kept of larger answers.
const AGE_KIB: u64 = 16 * 1024;

fn main() -> Outcome<()> {
    if std::env::args().any(|arg| arg == "--bare") {
        return bare();
    }
    let seconds = std::env::args().skip(1).find_map(|arg| arg.parse::<u64>().ok()).unwrap_or(20);
    let writes = std::env::var("LOAD_WRITES").ok().map_or(Ok(4), |text| text.parse::<u32>())?;
    let span = Duration::from_secs(seconds.max(1));
    let rival = Server::start(Command::new(std::env::current_exe()?).arg("--bare"))?;
    let server = Server::start(&mut ours())?;
    let before = alone(&rival, span / 20)?;
    let pages: Vec<String> =
        visits(&server)?.into_iter().map(|page| page.address).chain(ANSWERS.map(str::to_owned)).collect();
    let load = Load {
        address: server.address.clone(),
        pages,
        pause: (writes > 0).then(|| Duration::from_secs(1) * CLIENTS / writes),
    };
    let warm = load.run(span / 10, 0)?;
    let begin_kib = server.resident_kib()?;
    let seen = load.run(span - span / 10, 1)?;
    let end_kib = server.resident_kib()?;
    drop(server);
    let young = Server::start(&mut ours())?;
    Load { address: young.address.clone(), ..load }.run(span / 10, 2)?;
    let young_kib = young.resident_kib()?;
    let after = alone(&rival, span / 20)?;
    let bare_waits: Vec<f64> = before.into_iter().chain(after).collect();
    report(&seen, warm.values().map(Vec::len).sum(), &bare_waits);
    println!("memory: {begin_kib} KiB resident after a tenth of the time, {end_kib} KiB at its end");
    println!("        {young_kib} KiB a server started then on the same record, after as long as the first line's");
    if end_kib > young_kib + AGE_KIB { Err("memory grows with the server's age".into()) } else { Ok(()) }
}

/// Waits in milliseconds by what was asked.
type Waits = BTreeMap<String, Vec<f64>>;

/// Who asks what, and how long a client rests between two writes, where it writes at all.
struct Load {
    address: String,
    pages: Vec<String>,
    pause: Option<Duration>,
}

impl Load {
    /// All clients at once for so long.
    fn run(&self, span: Duration, round: u32) -> Outcome<Waits> {
        let told = std::thread::scope(|scope| {
            let asking: Vec<_> = (0..CLIENTS).map(|who| scope.spawn(move || self.client(who, round, span))).collect();
            asking.into_iter().map(|one| one.join().map_err(|_| "a client died")).collect::<Vec<_>>()
        });
        let mut all = Waits::new();
        for one in told {
            for (what, waits) in one?? {
                all.entry(what).or_default().extend(waits);
            }
        }
        Ok(all)
    }

    /// One client: page after page, beginning at another one than its neighbour, and a write whenever its pause is over.
    fn client(&self, who: u32, round: u32, span: Duration) -> Outcome<Waits> {
        let mut connection = Connection::open(&self.address)?;
        let (mut waits, began) = (Waits::new(), Instant::now());
        let mut next_write = self.pause.map(|pause| pause * who / CLIENTS);
        let mut number = 0;
        for page in self.pages.iter().cycle().skip(who as usize) {
            if began.elapsed() >= span {
                break;
            }
            let asked = Instant::now();
            connection.ask(page)?;
            waits.entry(page.clone()).or_default().push(millis(asked));
            if next_write.is_some_and(|at| began.elapsed() >= at) {
                number += 1;
                next_write = next_write.zip(self.pause).map(|(at, pause)| at + pause);
                let (what, wait) = write(&mut connection, &format!("load-{round}-{who}-{number}"), number % 2 == 0)?;
                waits.entry(what.to_owned()).or_default().push(wait);
            }
        }
        Ok(waits)
    }
}

fn millis(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1000.0
}

/// One write, by a form or as a program sends it; what it was and how long its answer took.
fn write(connection: &mut Connection, key: &str, by_form: bool) -> Outcome<(&'static str, f64)> {
    if by_form {
        let text = String::from_utf8(connection.ask("/rides/log")?)?;
        let token = text.split_once("name=\"form_token\" value=\"").and_then(|(_, rest)| rest.split_once('"'));
        let token = token.ok_or("a form without its token")?.0;
        let body =
            format!("form_token={token}&form_key={key}&at=&hours=2&ground=loam&other_ground=&wet=dry&odd=&note={key}");
        let lines = format!(
            "Sec-Fetch-Site: same-origin\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
            body.len()
        );
        let asked = Instant::now();
        let answer = connection.send("POST /rides/log", &lines, body.as_bytes())?;
        return expected(303, answer.status).map(|()| ("write a ride (form)", millis(asked)));
    }
    let body = format!("{{\"slack_mm\": [84, 86, 88], \"note\": \"{key}\"}}");
    let long = body.len();
    let lines = format!("Content-Type: application/json\r\nIdempotency-Key: {key}\r\nContent-Length: {long}\r\n");
    let asked = Instant::now();
    let answer = connection.send("POST /api/v1/entries/slack", &lines, body.as_bytes())?;
    expected(201, answer.status).map(|()| ("write slack (API)", millis(asked)))
}

fn expected(wanted: u16, status: u16) -> Outcome<()> {
    if status == wanted { Ok(()) } else { Err(format!("a write was answered {status}").into()) }
}

/// The bare server under the same clients.
fn alone(rival: &Server, span: Duration) -> Outcome<Vec<f64>> {
    let load = Load { address: rival.address.clone(), pages: vec!["/".to_owned()], pause: None };
    Ok(load.run(span, 0)?.into_values().flatten().collect())
}

fn at(waits: &mut [f64], part: usize) -> f64 {
    waits.sort_by(f64::total_cmp);
    waits.get(waits.len() * part / 100).copied().unwrap_or(f64::NAN)
}

fn report(seen: &Waits, warm: usize, bare: &[f64]) {
    println!("{:<38} {:>9} {:>9} {:>9}", "asked", "answers", "p50 ms", "p99 ms");
    let line = |what: &str, waits: &[f64]| {
        let mut waits = waits.to_vec();
        let (p50, p99) = (at(&mut waits, 50), at(&mut waits, 99));
        println!("{what:<38} {:>9} {p50:>9.2} {p99:>9.2}", waits.len());
        (p50, p99)
    };
    for (what, waits) in seen {
        line(what, waits);
    }
    let is_write = |what: &str| what.starts_with("write");
    let all = |writes: bool| -> Vec<f64> {
        seen.iter().filter(|(what, _)| is_write(what) == writes).flat_map(|(_, waits)| waits).copied().collect()
    };
    let (reads, writes) = (all(false), all(true));
    let read = line("all that was read", &reads);
    let written = line("all that was written", &writes);
    let bare = line("bare hello, the same clients", bare);
    println!("p50 of reading {:.1} and p99 {:.1} times that of the bare hello", read.0 / bare.0, read.1 / bare.1);
    println!("p50 of writing {:.1} and p99 {:.1} times that of the bare hello", written.0 / bare.0, written.1 / bare.1);
    println!("{} answers, {warm} before the count began, 0 errors", reads.len() + writes.len());
}
