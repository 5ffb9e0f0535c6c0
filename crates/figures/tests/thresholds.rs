//! Where a figure begins to warn: at its own threshold nothing is said, one step beyond it is.

use figures::{NoTracks, ask};
use serde_json::{Value, json};

fn warns(figure: &str, given: &Value, code: &str) -> bool {
    let answer = ask(figure, given.as_object().expect("an object"), &NoTracks).expect("an answer");
    answer.notices.iter().any(|notice| notice.code == code)
}

/// The first is not warned of, the second is.
fn begins(code: &str, figure: &str, quiet: &Value, loud: &Value) {
    assert!(!warns(figure, quiet, code), "{figure}: {code} is said too early, at {quiet}");
    assert!(warns(figure, loud, code), "{figure}: {code} is not said at {loud}");
}

/// An invented bike on its stand with one field laid over it.
fn bike(field: &str, value: f64) -> Value {
    let mut given = json!({
        "countershaft_x_mm": 68, "countershaft_z_mm": 0, "arm_mm": 615, "pitch_mm": 15.875, "front_teeth": 14,
        "rear_teeth": 48, "slider_radius_mm": 37.5, "arm_angle_deg": 24
    });
    given[field] = json!(value);
    given
}

/// The same over its travel.
fn travelling(field: &str, value: f64) -> Value {
    let mut given = bike(field, value);
    let members = given.as_object_mut().expect("an object");
    members.remove("arm_angle_deg");
    members.extend([("droop_deg".to_owned(), json!(24)), ("travel_mm".to_owned(), json!(295))]);
    given
}

#[test]
fn a_chain_that_could_jump_off_or_is_past_use_is_warned_of_just_past_the_threshold() {
    begins("large_slack", "slack.free", &bike("slack_mm", 120.0), &bike("slack_mm", 120.01));
    begins("much_elongation", "slack.taut_loop", &bike("elongation_pct", 3.0), &bike("elongation_pct", 3.01));
}

#[test]
fn a_countershaft_measured_far_off_is_doubted_whichever_way_it_lies() {
    for (field, last, beyond) in
        [("countershaft_x_mm", 120.0, 120.1), ("countershaft_z_mm", 40.0, 40.1), ("countershaft_z_mm", -40.0, -40.1)]
    {
        begins("odd_geometry", "slack.required", &travelling(field, last), &travelling(field, beyond));
    }
}

#[test]
fn twelve_teeth_in_front_are_not_few_and_eleven_are() {
    let to = |front: u16| json!({"front_teeth": 14, "rear_teeth": 48, "new_front_teeth": front, "new_rear_teeth": 48});
    begins("few_teeth", "gearing.swap", &to(12), &to(11));
}

#[test]
fn a_chain_read_over_too_few_or_odd_pitches_is_warned_of() {
    let over = |pitches: u32| {
        let length = 15.875 * f64::from(pitches) * 1.004;
        json!({"pitch_mm": 15.875, "pitches": pitches, "length_mm": length})
    };
    begins("short_base", "chain.elongation", &over(16), &over(14));
    begins("odd_pitches", "chain.elongation", &over(16), &over(17));
    let at = |places: usize, pitches: u32| {
        let length = 15.875 * f64::from(pitches) * 1.004;
        json!({"length_mm": vec![vec![length]; places], "pitches": pitches, "limit_pct": 1.0})
    };
    begins("few_places", "wear.reading", &at(3, 16), &at(2, 16));
    begins("odd_pitches", "wear.reading", &at(3, 16), &at(3, 17));
}

#[test]
fn a_load_of_exactly_half_the_tensile_strength_or_a_sixth_is_not_past_it() {
    let pulled = |pull: u32| json!({"tensile_kn": 30, "pull_n": pull});
    begins("half_of_tensile", "chain.strength", &pulled(15_000), &pulled(15_001));
    begins("below_industrial", "chain.strength", &pulled(5_000), &pulled(5_001));
}

#[test]
fn an_engine_speed_on_either_end_of_the_curve_still_belongs_to_it() {
    let at = |rpm: u32| json!({"curve": [[3000, 20], [6000, 30], [9000, 25]], "rpm": rpm});
    begins("below_curve", "engine.torque", &at(3000), &at(2999));
    begins("above_curve", "engine.torque", &at(9000), &at(9001));
}

#[test]
fn five_ended_lives_are_no_longer_few() {
    let ended = [48.0, 61.5, 72.0, 80.5, 90.0];
    let first = |count: usize| json!({"failed_h": ended[..count], "running_h": [30, 55]});
    begins("few_failures", "life.weibull", &first(5), &first(4));
}

#[test]
fn gears_that_just_meet_have_no_hole_and_a_wider_step_has_one() {
    // 4000 to 8000 rpm: a step of 2 to 1 just meets.
    let gears = |second: f64| json!({"primary": 3, "gears": [2, second], "front_teeth": 14, "rear_teeth": 48, "rollout_m": 2, "rpm": 6000, "lo_rpm": 4000, "max_rpm": 8000});
    begins("hole", "gearing.speeds", &gears(1.01), &gears(0.99));
}
