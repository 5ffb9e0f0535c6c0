//! A rider's own job file laid over the shipped library: every fault names the file and a line of it; a file without
//! one can be ordered.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use upkeep::job::handbook::{Handbook, Source, lint_over};
use upkeep::job::{Order, plan};

/// The shipped library: name and text of each file.
static SHIPPED: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../data");
    let jobs = std::fs::read_dir(format!("{folder}/jobs")).expect("the job files").map(|file| file.expect("a file").path());
    jobs.chain([format!("{folder}/cautions.toml").into()])
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).expect("a text"))
        })
        .collect()
});

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let below: Vec<Source<'_>> = SHIPPED.iter().map(|(name, text)| Source { name, text }).collect();
    let own = [Source { name: "own-job.toml", text }];
    let faults = lint_over(&below, &own);
    for fault in &faults {
        assert!(!fault.file.is_empty() && !fault.why.is_empty() && fault.line >= 1, "{fault:?}");
    }
    if faults.is_empty() {
        let book = Handbook::read_over(&below, &own).expect("what the lint found right is read");
        if let Ok(order) = Order::build(book.library(), &["own-job"], &[]) {
            let _ = plan(&order);
        }
    }
});
