//! Notices, refusals and absent or empty answers of the chain figures, as a person meets them.

use figures::{Answer, NoTracks, Refusal, ask};
use serde_json::{Value, json};

fn put(figure: &str, given: &Value) -> Result<Answer, Refusal> {
    ask(figure, given.as_object().expect("an object"), &NoTracks)
}

fn answered(figure: &str, given: &Value) -> Answer {
    put(figure, given).expect("answers")
}

/// Codes of the notices, in order.
fn codes(figure: &str, given: &Value) -> Vec<&'static str> {
    answered(figure, given).notices.iter().map(|notice| notice.code).collect()
}

/// The field and the sentence of a refusal.
fn refused(figure: &str, given: &Value) -> (String, String) {
    let refusal = put(figure, given).expect_err("must be refused");
    (refusal.field, refusal.text)
}

/// The usual drive with more laid over it.
fn drive(more: &Value) -> Value {
    let mut given = json!({"pitch_mm": 15.875, "front_teeth": 14, "rear_teeth": 48});
    let members = given.as_object_mut().expect("an object");
    members.extend(more.as_object().expect("an object").clone());
    given
}

fn slot(more: &Value) -> Value {
    let mut given = drive(&json!({"centre_min_mm": 668, "centre_max_mm": 698}));
    given.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
    given
}

#[test]
fn notices_of_length_figures_name_what_is_odd() {
    assert!(codes("chain.links", &drive(&json!({"centre_mm": 685}))).is_empty());
    assert_eq!(codes("chain.links", &drive(&json!({"centre_mm": 685, "front_teeth": 8}))), ["few_teeth"]);
    assert_eq!(codes("chain.centre", &drive(&json!({"links": 117}))), ["odd_links"]);
    assert_eq!(codes("chain.centre", &drive(&json!({"links": 118, "slack_mm": 60}))), ["tape_warning"]);
    assert_eq!(
        codes("chain.axle_shift", &drive(&json!({"links": 118, "to_links": 119, "to_front_teeth": 7}))),
        ["odd_links", "few_teeth"]
    );
}

#[test]
fn notices_of_a_fit_say_what_is_short() {
    assert!(codes("chain.fit", &slot(&json!({"links": 118}))).is_empty());
    assert_eq!(codes("chain.fit", &slot(&json!({}))), ["margin_short"]);
    assert_eq!(codes("chain.fit", &slot(&json!({"links": 117}))), ["odd_links"]);
    assert_eq!(codes("chain.fit", &slot(&json!({"links": 120}))), ["none_fits"]);
    assert_eq!(codes("chain.fit", &slot(&json!({"rear_teeth": 53, "links": 118}))), ["none_fits"]);
    assert_eq!(codes("chain.fit", &slot(&json!({"centre_max_mm": 668.5}))), ["none_fits"]);
    assert_eq!(
        codes("chain.fit", &slot(&json!({"links": 118, "elongation_pct": 0.6}))),
        ["worn_chain_on_new_sprockets"]
    );
    let short = answered("chain.fit", &slot(&json!({"rear_teeth": 53, "links": 118})));
    assert!(short.notices[0].text.contains("4.6 mm short of the front stop"), "{}", short.notices[0].text);
}

#[test]
fn a_margin_of_nothing_is_kept_by_any_chain_between_the_stops() {
    assert!(codes("chain.fit", &slot(&json!({"margin_front_mm": 0, "margin_rear_mm": 0}))).is_empty());
}

#[test]
fn stops_at_one_place_and_stops_without_a_count_are_answered() {
    let answer = answered("chain.fit", &slot(&json!({"centre_max_mm": 668})));
    for list in ["fits", "even_links", "odd_links"] {
        assert_eq!(answer.at(list), Some(&json!([])), "{list}");
    }
}

#[test]
fn an_even_count_below_that_would_let_tips_touch_has_no_centre() {
    let answer = answered("chain.links", &drive(&json!({"centre_mm": 167})));
    assert_eq!(answer.at("centre_even_below_mm"), Some(&Value::Null));
    assert!(answer.get("centre_even_above_mm").is_some_and(|centre| centre > 167.0));
}

#[test]
fn an_exactly_even_need_is_both_its_neighbours() {
    let equal = json!({"pitch_mm": 10, "front_teeth": 14, "rear_teeth": 14, "centre_mm": 380});
    let answer = answered("chain.links", &equal);
    assert_eq!(answer.get("links_even_below"), Some(90.0));
    assert_eq!(answer.get("links_even_above"), Some(90.0));
}

#[test]
fn a_refusal_names_the_field_and_what_to_do() {
    for (figure, given, field, words) in [
        ("chain.links", drive(&json!({"centre_mm": 150})), "centre_mm", "touch below 166.7 mm"),
        ("chain.centre", drive(&json!({"links": 50})), "links", "touch below"),
        ("chain.centre", drive(&json!({"links": 60, "slack_mm": 300})), "slack_mm", "Ask for less slack"),
        ("chain.fit", slot(&json!({"centre_max_mm": 600})), "centre_max_mm", "swap them"),
        ("chain.fit", slot(&json!({"centre_min_mm": 100, "centre_max_mm": 90})), "centre_min_mm", "touch"),
        ("chain.axle_shift", drive(&json!({"links": 118, "to_rear_teeth": 150})), "to_links", "Give to_links"),
        ("chain.pull", json!({"pitch_mm": 15.875, "teeth": 14}), "torque_nm", "exactly one"),
        ("sprocket.geometry", json!({"pitch_mm": 15.875, "teeth": 14, "roller_mm": 16}), "roller_mm", "not below"),
        ("chain.size", json!({"size": 520}), "size", "text is wanted"),
        ("tyre.size", json!({"marking": "140-18"}), "marking", "width, ratio and rim"),
        ("tyre.size", json!({"marking": "140/80-99"}), "marking", "8 to 23 in"),
        ("slack.hang", json!({"span_mm": 640, "surplus_mm": 0}), "surplus_mm", "above 0"),
    ] {
        let (named, text) = refused(figure, &given);
        assert!(named == field && text.contains(words), "{figure}: {named}: {text}");
    }
}

#[test]
fn a_slip_in_a_measured_length_is_named_not_repaired() {
    for (length, words) in
        [(12.56, "inches"), (31.94, "centimetres"), (333.4, "21 pitches"), (500.0, "Count the pitches")]
    {
        let (field, text) =
            refused("chain.elongation", &json!({"pitch_mm": 15.875, "pitches": 20, "length_mm": length}));
        assert!(field == "length_mm" && text.contains(words), "{text}");
    }
    assert_eq!(
        codes("chain.elongation", &json!({"pitch_mm": 15.875, "pitches": 15, "length_mm": 239})),
        ["odd_pitches", "short_base"]
    );
}

#[test]
fn notices_of_motion_and_load_follow_their_numbers() {
    assert_eq!(codes("chain.pairing", &json!({"links": 120, "teeth": 12})), ["one_loop", "same_kind"]);
    assert!(codes("chain.pairing", &json!({"links": 118, "teeth": 13})).is_empty());
    assert_eq!(codes("chain.ripple", &json!({"teeth": 8})), ["few_teeth"]);
    assert_eq!(
        codes("chain.strength", &json!({"pull_n": 20_000, "tensile_kn": 27})),
        ["half_of_tensile", "below_industrial"]
    );
    assert_eq!(codes("chain.strength", &json!({"pull_n": 1000, "tensile_kn": 26.4})), ["unverified_tensile"]);
    assert!(codes("chain.strength", &json!({"pull_n": 1000, "tensile_kn": 27})).is_empty());
}

#[test]
fn a_rating_is_always_context() {
    let rated = |pitch: f64, teeth: u32, rpm: f64| {
        codes("chain.rating", &json!({"pitch_mm": pitch, "teeth": teeth, "rpm": rpm}))
    };
    assert_eq!(rated(15.875, 13, 900.0), ["industrial_context"]);
    assert_eq!(rated(15.875, 13, 1601.0), ["industrial_context", "beyond_tables"]);
    assert_eq!(rated(15.875, 18, 900.0), ["industrial_context", "beyond_tables"]);
    assert_eq!(rated(19.05, 13, 900.0), ["industrial_context", "beyond_tables"]);
    assert_eq!(rated(12.7, 13, 1800.0), ["industrial_context", "light_series"]);
}

#[test]
fn exactly_one_load_is_taken() {
    let pull = |more: Value| {
        let mut given = json!({"pitch_mm": 15.875, "teeth": 14});
        given.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        put("chain.pull", &given).map_err(|refusal| refusal.field)
    };
    assert_eq!(pull(json!({"torque_nm": 1, "thrust_n": 1, "rollout_m": 2})).err().as_deref(), Some("thrust_n"));
    assert_eq!(pull(json!({"power_kw": 1})).err().as_deref(), Some("rpm"));
    assert_eq!(pull(json!({"thrust_n": 1})).err().as_deref(), Some("rollout_m"));
    let with_speed = pull(json!({"torque_nm": 100, "rpm": 1000})).expect("answers");
    assert!(with_speed.get("speed_mps").is_some());
    assert!(pull(json!({"torque_nm": 100})).expect("answers").at("speed_mps").is_none());
}

#[test]
fn answers_that_were_not_asked_for_are_absent() {
    let bare = answered("sprocket.geometry", &json!({"pitch_mm": 15.875, "teeth": 14}));
    assert!(bare.at("root_mm").is_none() && bare.at("tooth_width_mm").is_none() && bare.notices.is_empty());
    let width = answered("sprocket.geometry", &json!({"pitch_mm": 15.875, "teeth": 14, "inner_width_mm": 6.3}));
    assert!(width.at("tooth_width_mm").is_some() && width.at("root_mm").is_none() && width.notices.is_empty());
    let hung = answered("slack.hang", &json!({"span_mm": 640, "surplus_mm": 2}));
    assert!(hung.at("tension_n").is_none());
    assert!(answered("chain.centre", &drive(&json!({"links": 118}))).at("centre_slack_mm").is_none());
}

#[test]
fn notices_of_sprocket_size_and_tyre_say_what_is_from_memory() {
    assert_eq!(
        codes("sprocket.geometry", &json!({"pitch_mm": 12.7, "teeth": 7, "inner_width_mm": 7.8})),
        ["memory_values", "few_teeth"]
    );
    assert_eq!(codes("chain.size", &json!({"size": "520"})), ["unverified_tensile"]);
    assert!(codes("chain.size", &json!({"size": "08B"})).is_empty());
    assert_eq!(answered("chain.size", &json!({"size": "083"})).at("pin_mm"), Some(&Value::Null));
    assert_eq!(answered("chain.size", &json!({"size": "50"})).at("mass_kg_per_m"), Some(&Value::Null));
    assert_eq!(codes("tyre.size", &json!({"marking": "140/80-18"})), ["nominal"]);
    assert_eq!(
        codes("tyre.size", &json!({"marking": "4.10-19 M/C"})),
        ["nominal", "low_inch_ratio", "service_text_ignored"]
    );
}

#[test]
fn a_match_says_why_not() {
    let because = |chain: &str, sprocket: &str| {
        let answer = answered("chain.match", &json!({"chain_size": chain, "sprocket_size": sprocket}));
        answer.at("because").cloned().expect("a list")
    };
    assert_eq!(because("520", "520"), json!([]));
    assert_eq!(because("525", "520"), json!(["width"]));
    assert_eq!(because("428", "520"), json!(["pitch", "roller"]));
    assert_eq!(because("415", "428"), json!(["roller", "width"]));
}

#[test]
fn what_a_sprocket_has_from_memory_is_said_by_name() {
    let said = |more: &Value| {
        let mut given = json!({"pitch_mm": 12.7, "teeth": 14});
        given.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        let answer = answered("sprocket.geometry", &given);
        answer.notices.into_iter().find(|notice| notice.code == "memory_values").map(|notice| notice.text)
    };
    assert_eq!(said(&json!({})), None);
    let both = said(&json!({"roller_mm": 8.51, "inner_width_mm": 7.85})).expect("a notice");
    assert!(both.contains("seat angles") && both.contains("0.93") && both.contains("not verified"), "{both}");
    let seat = said(&json!({"roller_mm": 8.51})).expect("a notice");
    assert!(seat.contains("seat angles") && !seat.contains("0.93"), "{seat}");
}
