//! What the slack figures say beside their numbers: each notice where it belongs and nowhere else, refusals that name
//! a field, answers that are declared.

use figures::{Answer, NoTracks, Refusal};
use serde_json::{Map, Value, json};

/// One object laid over another.
fn over(below: &Value, above: &Value) -> Map<String, Value> {
    let members = [below, above].into_iter().filter_map(Value::as_object).flatten();
    members.map(|(key, value)| (key.clone(), value.clone())).collect()
}

/// Asks with an invented bike under what is given.
fn ask(figure: &str, with: &Value) -> Result<Answer, Refusal> {
    let bike = json!({
        "countershaft_x_mm": 68, "countershaft_z_mm": 9, "arm_mm": 615, "pitch_mm": 15.875,
        "front_teeth": 14, "rear_teeth": 48, "slider_radius_mm": 37.5
    });
    figures::ask(figure, &over(&bike, with), &NoTracks)
}

/// The same with 24 degrees of droop and 295 mm of travel.
fn travelling(with: Value) -> Value {
    Value::Object(over(&json!({"droop_deg": 24, "travel_mm": 295}), &with))
}

fn codes(figure: &str, with: &Value) -> Vec<&'static str> {
    let answer = ask(figure, with).expect("an answer");
    answer.notices.iter().map(|notice| notice.code).collect()
}

#[test]
fn each_notice_stands_where_its_cause_is() {
    let slot = json!({"links": 118, "slot_min_mm": 590, "slot_max_mm": 640});
    let place = |with: Value| travelling(Value::Object(over(&slot, &with)));
    let guide = json!({"arm_angle_deg": 24, "guide_u_mm": 520, "guide_low_mm": -100, "guide_high_mm": -60});
    let cases = [
        ("slack.taut_loop", json!({"arm_angle_deg": 24, "slider_radius_mm": 0}), "slider_left_out"),
        ("slack.taut_loop", json!({"arm_angle_deg": 24, "links": 117}), "odd_links"),
        ("slack.taut_loop", json!({"arm_angle_deg": 24, "elongation_pct": 3.5}), "much_elongation"),
        ("slack.free", json!({"arm_angle_deg": 24, "links": 118}), "from_links"),
        ("slack.free", json!({"arm_angle_deg": 24, "slack_mm": 130}), "large_slack"),
        ("slack.free", json!({"arm_angle_deg": 7.5, "run": "upper", "surplus_mm": 6}), "cut_off"),
        ("slack.required", travelling(json!({})), "weak_geometry"),
        ("slack.required", travelling(json!({"countershaft_z_mm": -45, "travel_mm": 150})), "line_outside_travel"),
        ("slack.required", travelling(json!({"countershaft_x_mm": 130, "countershaft_z_mm": -30})), "large_demand"),
        ("slack.required", travelling(json!({"countershaft_x_mm": 130})), "odd_geometry"),
        ("slack.required", travelling(json!({"reading_error_mm": 3})), "no_reading"),
        ("slack.axle_place", place(json!({"links": 117})), "odd_links"),
        ("slack.axle_place", place(json!({"elongation_pct": 0.5})), "worn_chain"),
        ("slack.travel", travelling(json!({"links": 116, "places": 5})), "taut_in_travel"),
        ("slack.travel", travelling(json!({"links": 118, "places": 5})), "from_links"),
        ("slack.clearance", guide, "run_outside_guide"),
    ];
    for (figure, with, code) in cases {
        let found = codes(figure, &with);
        assert!(found.contains(&code), "{figure}: {code} not in {found:?}");
    }
}

#[test]
fn a_plain_case_gets_no_notice() {
    let guide = json!({"arm_angle_deg": 24, "guide_u_mm": 520, "guide_low_mm": -120, "guide_high_mm": -60});
    for (figure, with) in [
        ("slack.taut_loop", json!({"arm_angle_deg": 24, "links": 118, "elongation_pct": 0.5})),
        ("slack.free", json!({"arm_angle_deg": 24, "slack_mm": 60})),
        ("slack.axle_place", travelling(json!({"links": 118, "slot_min_mm": 590, "slot_max_mm": 640}))),
        ("slack.travel", travelling(json!({"slack_mm": 84, "places": 5}))),
        ("slack.clearance", guide),
        ("slack.outline", json!({"arm_angle_deg": 24})),
    ] {
        assert!(codes(figure, &with).is_empty(), "{figure}: {:?}", codes(figure, &with));
    }
}

#[test]
fn moving_the_axle_says_how_to_finish() {
    let to = |target: f64| {
        let with = json!({"arm_angle_deg": 24, "slack_mm": 70, "target_slack_mm": target, "thread_pitch_mm": 1.25});
        codes("slack.axle_move", &with)
    };
    assert_eq!((to(80.0), to(60.0), to(70.0)), (vec!["finish_tightening"], vec![], vec!["nothing_to_move"]));
}

#[test]
fn ties_between_fields_are_refused_under_one_of_them() {
    let gap = json!({"arm_angle_deg": 24, "gap_u_mm": 200, "gap_surface_mm": 45, "plate_height_mm": 15});
    let guide = json!({"arm_angle_deg": 24, "guide_u_mm": 1, "guide_low_mm": 9, "guide_high_mm": 9});
    let cases = [
        ("slack.free", json!({"arm_angle_deg": 24, "slack_mm": 60, "links": 118}), "surplus_mm"),
        ("slack.free", json!({"arm_angle_deg": 24, "surplus_mm": 0}), "surplus_mm"),
        ("slack.free", json!({"arm_angle_deg": -4, "surplus_mm": 2}), "run"),
        ("slack.required", travelling(json!({"plate_height_mm": 15})), "gap_u_mm"),
        ("slack.required", travelling(json!({"gap_u_mm": 200, "gap_surface_mm": 45})), "plate_height_mm"),
        ("slack.required", travelling(json!({"arm_angle_deg": -4, "slack_mm": 60})), "slack_mm"),
        ("slack.axle_place", travelling(json!({"links": 44, "slot_min_mm": 590, "slot_max_mm": 640})), "links"),
        ("slack.axle_place", travelling(json!({"links": 118, "slot_min_mm": 600, "slot_max_mm": 600})), "slot_max_mm"),
        ("slack.travel", travelling(json!({"places": 5})), "links"),
        ("slack.lift_gap", gap, "surplus_mm"),
        ("slack.clearance", guide, "guide_high_mm"),
    ];
    for (figure, with, field) in cases {
        let refusal = ask(figure, &with).expect_err("a refusal");
        assert_eq!(refusal.field, field, "{figure} {with}");
        assert!(refusal.text.contains(field), "{} does not name {field}", refusal.text);
    }
}

#[test]
fn every_key_of_an_answer_is_declared() {
    let wheels = json!({"arm_angle_deg": 14, "rear_wheel_radius_mm": 338, "front_wheel_radius_mm": 347,
        "front_axle_x_mm": 883, "front_axle_z_mm": -140, "cog_height_mm": 950});
    let gap = json!({"gap_u_mm": 200, "gap_surface_mm": 45, "plate_height_mm": 15});
    let read = travelling(json!({"slack_mm": 82, "reading_error_mm": 3}));
    let cases = [
        ("slack.required", Value::Object(over(&gap, &read))),
        ("slack.travel", travelling(json!({"links": 118, "places": 5}))),
        ("slack.outline", json!({"arm_angle_deg": 24})),
        ("slack.lift_gap", Value::Object(over(&gap, &json!({"arm_angle_deg": 24, "surplus_mm": 3})))),
        ("slack.stance", wheels),
    ];
    for (figure, with) in cases {
        let declared = figures::named(figure).expect("a figure").answer;
        let answer = ask(figure, &with).expect("an answer");
        let keys: Vec<_> = answer.values().keys().collect();
        assert!(keys.iter().all(|key| declared.iter().any(|(name, _)| name == key)), "{figure}: {keys:?}");
    }
}
