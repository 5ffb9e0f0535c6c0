//! Connections cut at random bytes: half a request changes nothing, a lost answer can be asked for again, nothing stays open.

use std::io::Write as _;
use std::net::{Shutdown, TcpStream};
use std::time::{Duration, Instant};

use crate::bench::{Bench, Server, ask, taken};
use crate::dice::{Dice, seed};
use crate::ledger::Ledger;
use crate::writes;

const CUT: usize = 45;

/// Sends some bytes and hangs up; nobody waits for an answer.
fn hang_up(server: &Server, bytes: &[u8], rudely: bool) {
    let mut stream = TcpStream::connect(("127.0.0.1", server.port)).expect("it listens");
    stream.write_all(bytes).expect("sent");
    if rudely {
        let _ = stream.shutdown(Shutdown::Both);
    }
}

#[test]
fn half_a_request_changes_nothing_and_a_lost_answer_is_had_by_asking_again() {
    let bench = Bench::new("cut");
    let server = bench.serve();
    let visitor = server.visitor("/bike").expect("a page");
    let (mut dice, mut halves, mut ledger) = (Dice::of("cut"), Ledger::default(), Ledger::default());
    let open = server.open();
    for number in 0..CUT {
        let (half, all) = (writes::name(number, "half"), writes::name(number, "all"));
        let bytes = writes::request(server.port, &visitor, &half);
        let until = usize::try_from(dice.roll(bytes.len() as u64 - 1)).expect("a place in it");
        hang_up(&server, &bytes.as_bytes()[..until], dice.roll(2) == 0);
        halves.send(&half);
        // All of it arrives, and nobody is there for the answer.
        hang_up(&server, writes::request(server.port, &visitor, &all).as_bytes(), dice.roll(2) == 0);
        ledger.send(&all);
    }
    for name in ledger.unanswered() {
        let answer = ask(server.port, &writes::request(server.port, &visitor, &name));
        assert!(taken(answer.as_ref()), "seed {}: {name}: {answer:?}", seed());
        ledger.tell(&name);
    }
    // The ledger knows nothing of the halves: had one been kept, nobody would have sent it.
    let faults = ledger.faults(&bench.whole());
    assert!(faults.is_empty(), "seed {}: {}", seed(), faults.join("\n"));
    assert_eq!(halves.unanswered().len(), CUT);
    let began = Instant::now();
    while server.open() > open && began.elapsed() < Duration::from_secs(20) {
        std::thread::sleep(Duration::from_millis(50));
    }
    assert!(server.open() <= open, "{} stay open, {open} before", server.open());
}

#[test]
fn whoever_says_half_a_word_and_waits_keeps_nobody_else_waiting() {
    let bench = Bench::new("slow");
    let server = bench.serve();
    let slow: Vec<TcpStream> = (0..64)
        .map(|_| {
            let mut stream = TcpStream::connect(("127.0.0.1", server.port)).expect("it listens");
            stream.write_all(b"POST /bike/new HTTP/1.1\r\nHost: 127").expect("sent");
            stream
        })
        .collect();
    let began = Instant::now();
    let visitor = server.visitor("/bike").expect("a page");
    let answer = visitor.post("/bike/new", "key", "id=b-1&name=Name+b-1");
    assert!(taken(answer.as_ref()), "{answer:?}");
    assert!(began.elapsed() < Duration::from_secs(5), "{:?}", began.elapsed());
    drop(slow);
}
