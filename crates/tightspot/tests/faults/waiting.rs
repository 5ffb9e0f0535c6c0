//! Writes that wait for another program's: whoever only looks is answered meanwhile.

use std::thread;
use std::time::{Duration, Instant};

use crate::bench::{Bench, ask, page, taken};
use crate::writes::{name, request};

/// More writes at once than this machine has threads to serve with.
const WRITES: usize = 12;
/// Longer than a look takes on a busy machine, far less than a write is patient for.
const SOON: Duration = Duration::from_secs(2);

#[test]
fn writes_that_wait_keep_no_reader_waiting() {
    let bench = Bench::new("waiting");
    let server = bench.serve();
    let visitor = server.visitor("/bike").expect("a page");
    let style = visitor.page.split("href=\"/assets/").nth(1).and_then(|rest| rest.split('"').next()).expect("a style");
    let style = format!("/assets/{style}");
    let looks = ["/", "/drive", "/rides", "/api/v1/entries?bike=alder-350", &style];
    let look = |path: &str| ask(server.port, &page(server.port, path)).expect("an answer");
    for path in looks {
        assert!(look(path).starts_with("HTTP/1.1 200"), "{path}");
    }
    let other = rusqlite::Connection::open(bench.store()).expect("another program");
    other.execute_batch("BEGIN IMMEDIATE").expect("it writes");
    thread::scope(|scope| {
        let writes: Vec<_> = (0..WRITES)
            .map(|number| request(server.port, &visitor, &name(number, "waits")))
            .map(|request| scope.spawn(move || ask(server.port, &request)))
            .collect();
        thread::sleep(Duration::from_millis(500));
        let began = Instant::now();
        for path in looks {
            let (asked, told) = (Instant::now(), look(path));
            assert!(told.starts_with("HTTP/1.1 200"), "{path}: {told}");
            assert!(asked.elapsed() < SOON, "{path} waited for {:?}", asked.elapsed());
        }
        assert!(writes.iter().all(|write| !write.is_finished()), "they had done, {:?} after", began.elapsed());
        other.execute_batch("ROLLBACK").expect("it is done");
        for write in writes {
            let told = write.join().expect("a thread");
            assert!(taken(told.as_ref()), "{told:?}");
        }
    });
    bench.whole();
}
