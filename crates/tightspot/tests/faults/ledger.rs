//! What was sent and what was acknowledged, held against the record: nothing lost, nothing half there, nothing twice,
//! nothing that nobody sent. The ledger itself is tested by records that are wrong in each of these ways.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// The names of the writes of one store; a name says by its first letter what was written.
#[derive(Default)]
pub(crate) struct Ledger {
    sent: BTreeSet<String>,
    told: BTreeSet<String>,
}

impl Ledger {
    /// Something goes out; it may arrive or not.
    pub(crate) fn send(&mut self, name: &str) {
        self.sent.insert(name.to_owned());
    }

    /// The answer says that it is kept.
    pub(crate) fn tell(&mut self, name: &str) {
        assert!(self.sent.contains(name), "{name} is told before it is sent");
        self.told.insert(name.to_owned());
    }

    /// How many were acknowledged.
    pub(crate) fn told(&self) -> usize {
        self.told.len()
    }

    /// What was sent and never answered.
    pub(crate) fn unanswered(&self) -> Vec<String> {
        self.sent.difference(&self.told).cloned().collect()
    }

    /// Everything in a record that is not as it must be.
    pub(crate) fn faults(&self, document: &Value) -> Vec<String> {
        let found = pieces(document);
        let mut faults: Vec<String> = self
            .told
            .iter()
            .filter(|name| !found.contains_key(*name))
            .map(|name| format!("{name} was acknowledged and is lost"))
            .collect();
        for (name, mut pieces) in found {
            pieces.sort_unstable();
            if pieces != whole(&name) {
                faults.push(format!("{name} is there as {pieces:?}, not once and whole"));
            }
            if !self.sent.contains(&name) {
                faults.push(format!("{name} is there and nobody sent it"));
            }
        }
        faults.extend(empty_changes(document));
        faults
    }
}

/// All that belongs to a write, in the order of the alphabet.
fn whole(name: &str) -> &'static [&'static str] {
    match name.get(..1) {
        Some("b") => &["bike", "title"],
        Some("s") => &["meter", "meter entry", "slack", "slack entry"],
        Some("t") => &["ride"],
        _ => &[],
    }
}

fn rows<'d>(document: &'d Value, table: &str) -> impl Iterator<Item = &'d Value> {
    document["tables"][table].as_array().into_iter().flatten()
}

fn word(row: &Value, field: &str) -> String {
    row[field].as_str().unwrap_or_default().to_owned()
}

/// The rows of each write by its name. The bike that was there before is nobody's write.
fn pieces(document: &Value) -> BTreeMap<String, Vec<&'static str>> {
    let mut found: BTreeMap<String, Vec<&'static str>> = BTreeMap::new();
    let mut put = |name: String, piece| found.entry(name).or_default().push(piece);
    rows(document, "bike").map(|row| word(row, "id")).filter(|id| id != "alder-350").for_each(|id| put(id, "bike"));
    for row in rows(document, "title").filter(|row| row["bike"] != "alder-350") {
        let right = word(row, "name") == format!("Name {}", word(row, "bike"));
        put(word(row, "bike"), if right { "title" } else { "wrong title" });
    }
    rows(document, "ride").for_each(|row| put(word(row, "name"), "ride"));
    // The note stands at the slack; the meter came in the same change.
    let names: BTreeMap<i64, String> = rows(document, "entry")
        .filter(|row| row["note"].is_string())
        .filter_map(|row| Some((row["change"].as_i64()?, word(row, "note"))))
        .collect();
    for row in rows(document, "entry") {
        let name = row["change"].as_i64().and_then(|change| names.get(&change)).cloned().unwrap_or_default();
        let (head, table) = match row["kind"].as_str() {
            Some("meter") => ("meter entry", "meter"),
            Some("slack") => ("slack entry", "slack"),
            _ => ("entry of another kind", "entry"),
        };
        put(name.clone(), head);
        rows(document, table).filter(|part| part["entry"] == row["id"]).for_each(|_| put(name.clone(), table));
    }
    found
}

/// Changes to which nothing belongs any more.
fn empty_changes(document: &Value) -> Vec<String> {
    let used: BTreeSet<i64> = ["title", "entry", "ride", "fact"]
        .iter()
        .flat_map(|table| rows(document, table))
        .filter_map(|row| row["change"].as_i64())
        .collect();
    rows(document, "change")
        .filter_map(|row| row["id"].as_i64())
        .filter(|id| !used.contains(id))
        .map(|id| format!("change {id} has lost what it changed"))
        .collect()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    /// A ledger of one write of each sort, and the record in which all of it stands.
    fn kept() -> (Ledger, Value) {
        let mut ledger = Ledger::default();
        for name in ["b-1", "s-1", "t-1"] {
            ledger.send(name);
            ledger.tell(name);
        }
        ledger.send("b-2");
        let record = json!({"tables": {
            "change": [{"id": 1}, {"id": 2}, {"id": 3}, {"id": 4}],
            "bike": [{"id": "alder-350"}, {"id": "b-1"}],
            "title": [
                {"change": 1, "bike": "alder-350", "name": "Alder 350"},
                {"change": 2, "bike": "b-1", "name": "Name b-1"},
            ],
            "entry": [
                {"id": 1, "change": 3, "kind": "meter"},
                {"id": 2, "change": 3, "kind": "slack", "note": "s-1"},
            ],
            "meter": [{"entry": 1}],
            "slack": [{"entry": 2}],
            "ride": [{"id": 1, "change": 4, "name": "t-1"}],
        }});
        (ledger, record)
    }

    /// What the ledger says once a row is gone.
    fn without(table: &str, at: usize) -> String {
        let (ledger, mut record) = kept();
        record["tables"][table].as_array_mut().expect("a table").remove(at);
        ledger.faults(&record).join("; ")
    }

    #[test]
    fn a_record_in_which_all_stands_has_no_fault_and_the_unanswered_may_be_missing() {
        let (ledger, record) = kept();
        assert_eq!(ledger.faults(&record), [""; 0]);
        assert_eq!((ledger.told(), ledger.unanswered()), (3, vec!["b-2".to_owned()]));
    }

    #[test]
    fn an_acknowledged_write_that_is_lost_is_a_fault() {
        assert!(without("ride", 0).contains("t-1 was acknowledged and is lost"));
        let (ledger, mut record) = kept();
        for table in ["bike", "title"] {
            record["tables"][table].as_array_mut().expect("a table").remove(1);
        }
        assert!(ledger.faults(&record).join("; ").contains("b-1 was acknowledged and is lost"));
        record["tables"]["entry"] = json!([]);
        assert!(ledger.faults(&record).join("; ").contains("s-1 was acknowledged and is lost"));
    }

    #[test]
    fn a_write_that_is_half_there_is_a_fault_whichever_half_is_missing() {
        for (table, at) in [("bike", 1), ("title", 1), ("meter", 0), ("slack", 0), ("entry", 0), ("entry", 1)] {
            assert!(without(table, at).contains("not once and whole"), "{table}: {}", without(table, at));
        }
        let (ledger, mut record) = kept();
        record["tables"]["title"][1]["name"] = json!("Name b");
        assert!(ledger.faults(&record).join("; ").contains("wrong title"));
    }

    #[test]
    fn a_write_kept_twice_or_sent_by_nobody_and_an_empty_change_are_faults() {
        let (ledger, mut record) = kept();
        let ride = json!({"id": 2, "change": 4, "name": "t-1"});
        record["tables"]["ride"].as_array_mut().expect("a table").push(ride);
        assert!(ledger.faults(&record).join("; ").contains("not once and whole"));
        record["tables"]["ride"][1]["name"] = json!("t-9");
        assert!(ledger.faults(&record).join("; ").contains("t-9 is there and nobody sent it"));
        record["tables"]["ride"] = json!([]);
        assert!(ledger.faults(&record).join("; ").contains("change 4 has lost what it changed"));
    }
}
