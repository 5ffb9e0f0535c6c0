//! The worked examples of riders' needs as tests read them, and the bike that they are told of.

use std::path::Path;

use serde_json::Value;
use upkeep::bike::Bike;

/// A file of the repository.
fn root(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(file);
    std::fs::read_to_string(&path).expect("the file is there")
}

/// Every example.
pub(crate) fn all() -> Vec<Value> {
    serde_json::from_str(&root("checks/needs/examples.json")).expect("a list")
}

/// The examples of a need; one at least.
pub(crate) fn examples(need: u64) -> Vec<Value> {
    let found: Vec<Value> = all().into_iter().filter(|example| example["need"] == need).collect();
    assert!(!found.is_empty(), "no example of need {need}");
    found
}

/// The base case.
pub(crate) fn alder() -> Bike {
    Bike::from_toml(&root("data/bikes/alder-350.toml")).expect("the demo bike reads")
}
