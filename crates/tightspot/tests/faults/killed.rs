//! Killed at random moments while four clients write: nothing acknowledged is lost, nothing is half there.

use std::collections::BTreeSet;
use std::io::Write as _;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use crate::bench::{Bench, taken};

const CLIENTS: usize = 4;

/// A small generator: the same seed kills at the same moments.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % below
    }
}

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[test]
fn a_server_killed_at_random_loses_nothing_that_it_acknowledged() {
    let bench = Bench::new("kill");
    let (wanted, seed) = (number("FAULTS_WRITES", 160), number("FAULTS_SEED", 4807));
    let mut dice = Dice(seed.max(1));
    let acknowledged: Arc<Mutex<BTreeSet<String>>> = Arc::default();
    // One kill proves little, however much was written before it.
    let (mut kills, mut round) = (0, 0);
    while kills < 2 || (acknowledged.lock().expect("no panic").len() as u64) < wanted {
        round += 1;
        assert!(round < 4 * wanted, "nothing is written");
        let moment = Duration::from_millis(100 + dice.roll(900));
        write_until_killed(&bench, round, moment, &acknowledged);
        kills += 1;
        all_there(&bench, &acknowledged.lock().expect("no panic"));
    }
    let told = acknowledged.lock().expect("no panic").len();
    writeln!(std::io::stdout(), "seed {seed}: {kills} kills, {told} writes acknowledged, nothing lost").expect("told");
}

/// Four clients make bikes as fast as they are answered; the server is killed after a moment.
fn write_until_killed(bench: &Bench, round: u64, moment: Duration, acknowledged: &Arc<Mutex<BTreeSet<String>>>) {
    let mut server = bench.serve();
    let over = Arc::new(AtomicBool::new(false));
    let ready = Arc::new(AtomicUsize::new(0));
    let clients: Vec<_> = (0..CLIENTS)
        .map(|client| {
            let visitor = server.visitor("/bike").expect("a page");
            let (over, ready, told) = (Arc::clone(&over), Arc::clone(&ready), Arc::clone(acknowledged));
            std::thread::spawn(move || {
                ready.fetch_add(1, Ordering::SeqCst);
                for n in 0.. {
                    if over.load(Ordering::SeqCst) {
                        return;
                    }
                    let id = format!("r{round}-c{client}-n{n}");
                    let answer = visitor.post("/bike/new", &format!("key-{id}"), &format!("id={id}&name=Name+{id}"));
                    if taken(answer.as_ref()) {
                        told.lock().expect("no panic").insert(id);
                    }
                }
            })
        })
        .collect();
    while ready.load(Ordering::SeqCst) < CLIENTS {
        std::thread::sleep(Duration::from_millis(1));
    }
    std::thread::sleep(moment);
    server.kill();
    over.store(true, Ordering::SeqCst);
    clients.into_iter().for_each(|client| client.join().expect("a client"));
}

/// Every acknowledged bike is there with its name, and every bike and change has all that belongs to it.
fn all_there(bench: &Bench, acknowledged: &BTreeSet<String>) {
    let document = bench.whole();
    let rows = |table: &str| document["tables"][table].as_array().cloned().unwrap_or_default();
    let word = |row: &serde_json::Value, name: &str| row[name].as_str().unwrap_or_default().to_owned();
    let bikes: BTreeSet<String> = rows("bike").iter().map(|row| word(row, "id")).collect();
    let named: BTreeSet<String> = rows("title")
        .iter()
        .filter(|row| word(row, "bike") == "alder-350" || word(row, "name") == format!("Name {}", word(row, "bike")))
        .map(|row| word(row, "bike"))
        .collect();
    let lost: Vec<&String> = acknowledged.iter().filter(|id| !bikes.contains(*id)).collect();
    assert!(lost.is_empty(), "acknowledged and lost: {lost:?}");
    assert_eq!(bikes, named, "a bike is half there");
    let used: BTreeSet<i64> = rows("title").iter().filter_map(|row| row["change"].as_i64()).collect();
    let changes: BTreeSet<i64> = rows("change").iter().filter_map(|row| row["id"].as_i64()).collect();
    assert_eq!(changes, used, "a change has lost what it changed");
}
