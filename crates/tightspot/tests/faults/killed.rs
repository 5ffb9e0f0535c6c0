//! Killed at random moments while four clients write: nothing acknowledged is lost, nothing is half there, and what got no
//! answer can be sent again without being kept twice.

use std::io::Write as _;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use crate::bench::{Bench, Server, ask, taken};
use crate::dice::{Dice, number, seed};
use crate::ledger::Ledger;
use crate::writes;

const CLIENTS: usize = 4;

type Shared = Arc<Mutex<Ledger>>;

#[test]
fn a_server_killed_at_random_loses_nothing_that_it_acknowledged() {
    let bench = Bench::new("kill");
    let wanted = usize::try_from(number("FAULTS_WRITES", 160)).expect("a number of writes");
    let mut dice = Dice::of("kill");
    let ledger = Shared::default();
    // One kill proves little, however much was written before it.
    let (mut kills, mut again) = (0, 0);
    while kills < 2 || ledger.lock().expect("no panic").told() < wanted {
        kills += 1;
        assert!(kills < 4 * wanted, "nothing is written");
        let moment = Duration::from_millis(100 + dice.roll(900));
        write_until_killed(&bench, kills, moment, &ledger);
        whole(&bench, &ledger);
        again += send_again(&bench, &ledger);
        whole(&bench, &ledger);
    }
    let told = ledger.lock().expect("no panic").told();
    let (seed, line) =
        (seed(), format!("{kills} kills, {told} writes acknowledged, {again} of them sent again, 0 lost"));
    writeln!(std::io::stdout(), "seed {seed}: {line}").expect("told");
}

#[test]
fn a_write_that_is_taken_out_of_the_store_is_found_to_be_lost() {
    let bench = Bench::new("taken-out");
    let ledger = Shared::default();
    let server = bench.serve();
    let visitor = server.visitor("/bike").expect("a page");
    for number in 0..6 {
        one(&server, &visitor, &writes::name(number, "x"), &ledger);
    }
    drop(server);
    whole(&bench, &ledger);
    let other = rusqlite::Connection::open(bench.store()).expect("another program");
    // What no program of ours can do: the guards of the table are taken away first.
    other.execute_batch("DROP TRIGGER ride_kept; DELETE FROM ride WHERE name = 't-x-n2'").expect("taken out");
    drop(other);
    let text = bench.done(&["export"]);
    let faults = ledger.lock().expect("no panic").faults(&serde_json::from_str(&text).expect("a document"));
    assert!(faults.contains(&"t-x-n2 was acknowledged and is lost".to_owned()), "{faults:?}");
}

/// Four clients write as fast as they are answered; the server is killed after a moment.
fn write_until_killed(bench: &Bench, round: usize, moment: Duration, ledger: &Shared) {
    let mut server = bench.serve();
    let over = AtomicBool::new(false);
    let ready = AtomicUsize::new(0);
    let visitors: Vec<_> = (0..CLIENTS).map(|_| server.visitor("/bike").expect("a page")).collect();
    let port = server.port;
    std::thread::scope(|scope| {
        let (over, ready) = (&over, &ready);
        for (client, visitor) in visitors.iter().enumerate() {
            scope.spawn(move || {
                ready.fetch_add(1, Ordering::SeqCst);
                for number in client.. {
                    if over.load(Ordering::SeqCst) {
                        return;
                    }
                    let name = writes::name(number, &format!("r{round}-c{client}"));
                    // Whoever gets no answer once would only knock at a closed door from then on.
                    if !sent(port, &writes::request(port, visitor, &name), &name, ledger) {
                        return;
                    }
                }
            });
        }
        while ready.load(Ordering::SeqCst) < CLIENTS {
            std::thread::sleep(Duration::from_millis(1));
        }
        std::thread::sleep(moment);
        server.kill();
        over.store(true, Ordering::SeqCst);
    });
}

/// Sends once and keeps the books; whether it was acknowledged.
fn sent(port: u16, request: &str, name: &str, ledger: &Shared) -> bool {
    ledger.lock().expect("no panic").send(name);
    let told = taken(ask(port, request).as_ref());
    if told {
        ledger.lock().expect("no panic").tell(name);
    }
    told
}

fn one(server: &Server, visitor: &crate::bench::Visitor, name: &str, ledger: &Shared) {
    sent(server.port, &writes::request(server.port, visitor, name), name, ledger);
}

/// Sends everything that got no answer again under its key, and says how much that was.
fn send_again(bench: &Bench, ledger: &Shared) -> usize {
    let open = ledger.lock().expect("no panic").unanswered();
    let server = bench.serve();
    let visitor = server.visitor("/bike").expect("a page");
    for name in &open {
        one(&server, &visitor, name, ledger);
    }
    let left = ledger.lock().expect("no panic").unanswered();
    assert!(left.is_empty(), "sent again and not taken: {left:?}");
    open.len()
}

/// The store opens, every row is read back, and the books agree with it.
fn whole(bench: &Bench, ledger: &Shared) {
    let faults = ledger.lock().expect("no panic").faults(&bench.whole());
    assert!(faults.is_empty(), "seed {}: {}", seed(), faults.join("\n"));
}
