//! Every row of every check file is held, or listed in `gaps.csv` with its reason; the ledger is a snapshot.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use checks::carried::Carried;
use checks::ledger;

#[test]
fn every_row_is_held_or_listed_as_a_gap() {
    let carried = Carried::unpack().expect("unpacks");
    let tallies = ledger::run(&carried, "").expect("every file is read");
    let wrong: Vec<_> = tallies
        .iter()
        .flat_map(|(path, tally)| {
            let missed = tally.missed.iter().map(move |miss| format!("{path} {miss}"));
            missed.chain(tally.healed.iter().map(move |case| format!("{path} {case}: listed as a gap, but holds")))
        })
        .collect();
    assert!(wrong.is_empty(), "{} rows:\n{}", wrong.len(), wrong.join("\n"));
    insta::assert_snapshot!("ledger", ledger::text(&tallies));
}

#[test]
fn every_file_on_disk_is_carried() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let carried = Carried::unpack().expect("unpacks");
    let carried: BTreeSet<_> = carried.checks().map(|(path, _)| path.to_owned()).collect();
    let mut on_disk = BTreeSet::new();
    for domain in ["chain", "slack", "ride", "wear", "workshop"] {
        for entry in fs::read_dir(here.join(domain)).expect("folder") {
            let name = entry.expect("entry").file_name().into_string().expect("name");
            if name.ends_with(".csv") || name.ends_with(".json") {
                on_disk.insert(format!("{domain}/{name}"));
            }
        }
    }
    assert_eq!(on_disk, carried);
}
