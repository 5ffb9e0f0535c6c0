//! One write after another, of three sorts in turn: a bike by a form, slack with its meter and a ride as programs send them.

use serde_json::json;

use crate::bench::{Visitor, program};

/// The first letters of the sorts.
const SORTS: [&str; 3] = ["b", "s", "t"];

/// The name of a write; its first letter says its sort.
pub(crate) fn name(number: usize, rest: &str) -> String {
    format!("{}-{rest}-n{number}", SORTS[number % SORTS.len()])
}

/// The bytes that ask for a write under the key of its name.
pub(crate) fn request(port: u16, visitor: &Visitor, name: &str) -> String {
    let key = format!("key-{name}");
    match name.get(..1) {
        Some("b") => visitor.form("/bike/new", &key, &format!("id={name}&name=Name+{name}")),
        Some("s") => {
            let body = json!({"slack_mm": [84, 86, 88], "meter_h": 100, "note": name});
            program(port, "/api/v1/entries/slack?bike=alder-350", &key, &body)
        }
        _ => program(port, "/api/v1/rides?bike=alder-350", &key, &json!({"name": name, "hours_h": 2.5})),
    }
}
