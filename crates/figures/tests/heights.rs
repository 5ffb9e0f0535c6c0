//! A list in which a number may be missing takes numbers and `null`, and nothing else.

use figures::{NoTracks, ask};
use serde_json::{Value, json};

#[test]
fn a_height_is_a_number_or_missing_and_never_text() {
    let grade = |heights: Value| {
        let given = json!({"s_m": [0, 10, 20, 30, 40], "ele_m": heights});
        ask("ride.grade", given.as_object().expect("an object"), &NoTracks)
    };
    assert!(grade(json!([500, 501, null, 503, 504])).is_ok());
    for wrong in [json!([500, "high", 502, 503, 504]), json!([500, true, 502, 503, 504]), json!(500)] {
        let refused = grade(wrong.clone()).expect_err("refused");
        assert_eq!((refused.field.as_str(), refused.code), ("ele_m", "wrong_type"), "{wrong}");
        assert!(refused.text.contains("null where one is missing"), "{}", refused.text);
    }
}
