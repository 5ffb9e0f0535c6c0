//! A line of figures: whatever comes in, one line goes out with an answer or a refusal that names a field, and an answer
//! holds no number that is none.
#![no_main]

use figures::{NoTracks, line};
use libfuzzer_sys::fuzz_target;
use serde_json::Value;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let said = line::answer(text, 1, &NoTracks);
    match said.get("refused") {
        Some(refused) => {
            // A field without a name is refused by the name it has: none.
            let named = refused["field"].as_str().is_some_and(|field| !field.is_empty());
            let by_its_own = refused["code"] == "unknown_field" || refused["code"] == "given_twice";
            assert!(named || by_its_own, "{said}");
            assert!(refused["text"].as_str().is_some_and(|text| !text.is_empty()), "{said}");
        }
        None => assert!(said.get("answer").is_some_and(Value::is_object), "{said}"),
    }
    // What is no number is written as null, and no figure answers null.
    let again: Value = serde_json::from_str(&said.to_string()).expect("a line of JSON");
    assert_eq!(again, said);
});
