//! What every view says over a range of records and bikes, kept as text that was read once: words, their order, which of
//! them stands in which state. Of a later state only what changed is written. Numbers are held by the check rows.

mod on_bikes;
mod on_drive;
mod on_edges;
mod on_limits;
mod on_pairs;
mod on_records;
mod on_rides;
mod on_sums;
mod records;
mod tell;
#[path = "../tracks/mod.rs"]
mod tracks;

use tell::one_after_another;

/// Holds the states' lines to the text that was read.
fn held(name: &str, states: &[(String, Vec<String>)]) {
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!(name, one_after_another(states));
    });
}
