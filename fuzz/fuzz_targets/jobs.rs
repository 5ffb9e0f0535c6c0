//! A rider's own file laid over a small library: a job, shared entries (a first line `# access`) or cautions
//! (`# cautions`). Every fault names a file and a line of it; a file without one can be ordered.
//!
//! The small library has every kind of entry: the carried one is planned whole on every look, two hundred times slower, and
//! holds nothing of another kind.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use upkeep::job::handbook::{Handbook, Source, lint_over};
use upkeep::job::{Order, plan};

const BELOW: [Source<'static>; 3] = [
    Source { name: "_access.toml", text: include_str!("../base/_access.toml") },
    Source { name: "cautions.toml", text: include_str!("../base/cautions.toml") },
    Source { name: "base-job.toml", text: include_str!("../base/base-job.toml") },
];

/// Read once, and held once: a fault of its own would stand in every answer.
static BASE: LazyLock<Handbook> = LazyLock::new(|| {
    let base = Handbook::read(&BELOW).expect("the small library is read");
    lint_over(&base, &BELOW, &[]).expect("the small library holds")
});

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let name = match text.lines().next() {
        Some("# access") => "_access.toml",
        Some("# cautions") => "cautions.toml",
        _ => "own-job.toml",
    };
    match lint_over(&BASE, &BELOW, &[Source { name, text }]) {
        Ok(book) => {
            for file in book.jobs() {
                if let Ok(order) = Order::build(book.library(), &[&file.job.id], &[("pins", "rivet")]) {
                    let _ = plan(&order);
                }
            }
        }
        Err(faults) => {
            assert!(!faults.is_empty());
            for fault in &faults {
                assert!(!fault.file.is_empty() && !fault.why.is_empty() && fault.line >= 1, "{fault:?}");
            }
        }
    }
});
