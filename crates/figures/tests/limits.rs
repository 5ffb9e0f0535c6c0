//! Where a figure begins to refuse what ties its fields together: on the limit it answers, one step beyond it doesn't.

use figures::{Answer, NoTracks, Refusal, ask};
use serde_json::{Value, json};

/// One object laid over another; `null` takes a field away.
fn over(base: &Value, more: &Value) -> Value {
    let mut given = base.as_object().expect("an object").clone();
    for (key, value) in more.as_object().expect("an object") {
        if value.is_null() {
            given.remove(key);
        } else {
            given.insert(key.clone(), value.clone());
        }
    }
    Value::Object(given)
}

fn put(figure: &str, given: &Value) -> Result<Answer, Refusal> {
    ask(figure, given.as_object().expect("an object"), &NoTracks)
}

fn answered(figure: &str, base: &Value, more: &Value) -> Answer {
    put(figure, &over(base, more)).map_err(|refusal| format!("{figure} {more}: {}", refusal.text)).expect("an answer")
}

/// The first is answered; the second is refused under that field, with that code.
fn ends(figure: &str, base: &Value, last: &Value, beyond: &Value, (field, code): (&str, &str)) {
    answered(figure, base, last);
    let refusal = put(figure, &over(base, beyond)).expect_err("beyond it");
    assert_eq!((refusal.field.as_str(), refusal.code), (field, code), "{figure} {beyond}: {}", refusal.text);
}

fn bike() -> Value {
    json!({"countershaft_x_mm": 68, "countershaft_z_mm": 9, "arm_mm": 615, "pitch_mm": 15.875, "front_teeth": 14,
        "rear_teeth": 48, "slider_radius_mm": 37.5})
}

fn travelling(more: &Value) -> Value {
    over(&over(&bike(), &json!({"droop_deg": 24, "travel_mm": 295})), more)
}

#[test]
fn sag_may_be_nothing_and_the_whole_travel() {
    let base = json!({"arm_mm": 615, "droop_deg": 24, "travel_mm": 100});
    let at = |extended: f64, settled: f64| json!({"extended_mm": extended, "settled_up_mm": settled, "settled_down_mm": settled});
    let outside = ("extended_mm", "sag_outside_travel");
    ends("slack.sag", &base, &at(600.0, 600.0), &at(600.0, 600.001), outside);
    ends("slack.sag", &base, &at(600.0, 500.0), &at(600.001, 500.0), outside);
    // Sums of decimals are not exact in binary: 0.3 less the mean of 0.1 and 0.5 is not quite 0.
    answered("slack.sag", &base, &json!({"extended_mm": 500.3, "settled_up_mm": 500.1, "settled_down_mm": 500.5}));
    let nowhere = answered("slack.sag", &over(&base, &json!({"travel_mm": 0})), &at(600.0, 600.0));
    assert_eq!(nowhere.at("sag_pct"), Some(&Value::Null));
    let half = answered("slack.sag", &base, &json!({"extended_mm": 600, "settled_up_mm": 560, "settled_down_mm": 540}));
    assert_eq!(
        (half.get("sag_mm"), half.get("sag_pct"), half.get("stiction_mm")),
        (Some(50.0), Some(50.0), Some(20.0))
    );
}

#[test]
fn ends_of_a_slot_or_of_an_opening_are_not_one_place() {
    let place = travelling(&json!({"links": 118, "slot_min_mm": 590}));
    let above = ("slot_max_mm", "not_above");
    ends("slack.axle_place", &place, &json!({"slot_max_mm": 590.001}), &json!({"slot_max_mm": 590}), above);
    let guide = over(&bike(), &json!({"arm_angle_deg": 24, "guide_u_mm": 520, "guide_low_mm": -100}));
    let above = ("guide_high_mm", "not_above");
    ends("slack.clearance", &guide, &json!({"guide_high_mm": -99.999}), &json!({"guide_high_mm": -100}), above);
}

#[test]
fn an_axle_that_stands_at_a_stop_fits() {
    let place = travelling(&json!({"links": 118, "slot_min_mm": 500, "slot_max_mm": 700}));
    let wanted = answered("slack.axle_place", &place, &json!({})).get("axle_mm").expect("a place");
    let fit = |min: f64, max: f64| {
        let answer = answered("slack.axle_place", &place, &json!({"slot_min_mm": min, "slot_max_mm": max}));
        answer.at("fit").and_then(Value::as_str).expect("a word").to_owned()
    };
    assert_eq!((fit(wanted, wanted + 1.0), fit(wanted - 1.0, wanted)), ("fits".to_owned(), "fits".to_owned()));
    assert_eq!(fit(wanted + 1e-6, wanted + 1.0), "too_short");
    assert_eq!(fit(wanted - 1.0, wanted - 1e-6), "too_long");
}

#[test]
fn a_run_at_the_edge_of_a_guide_passes_it() {
    let guide = over(&bike(), &json!({"arm_angle_deg": 24, "guide_u_mm": 520}));
    let lower = answered("slack.clearance", &guide, &json!({})).get("lower_height_mm").expect("a height");
    let inside = |low: f64, high: f64| {
        let answer = answered("slack.clearance", &guide, &json!({"guide_low_mm": low, "guide_high_mm": high}));
        let told = answer.notices.iter().any(|notice| notice.code == "run_outside_guide");
        assert_eq!(answer.at("inside_guide"), Some(&json!(!told)));
        !told
    };
    assert!(inside(lower, lower + 1.0) && inside(lower - 1.0, lower));
    assert!(!inside(lower + 1e-6, lower + 1.0) && !inside(lower - 1.0, lower - 1e-6));
}

#[test]
fn the_ends_of_an_axle_may_lie_as_far_apart_as_their_places() {
    let sides = |left: f64| json!({"left_mm": left, "right_mm": 600});
    let base = json!({"track_mm": 50});
    ends("slack.alignment", &base, &sides(650.0), &sides(650.1), ("left_mm", "too_far_apart"));
    ends("slack.alignment", &base, &sides(550.0), &sides(549.9), ("left_mm", "too_far_apart"));
}

#[test]
fn readings_along_the_travel_reach_to_its_end_and_no_further() {
    // What this very drive reads along its travel.
    let curve =
        answered("slack.travel", &travelling(&json!({"travel_mm": 225, "slack_mm": 84, "places": 6})), &json!({}));
    let column = |key: &str| -> Vec<f64> {
        let places = curve.at("curve").and_then(Value::as_array).expect("a curve");
        places.iter().filter_map(|place| place[key].as_f64()).collect()
    };
    let (travels, slacks) = (column("travel_mm"), column("slack_mm"));
    assert_eq!((travels.len(), slacks.len()), (6, 6));
    let base = over(
        &travelling(&json!({"countershaft_x_mm": null, "countershaft_z_mm": null, "travel_mm": 225})),
        &json!({"slacks_mm": slacks}),
    );
    let read = |last: f64| json!({"travels_mm": [travels[0], travels[1], travels[2], travels[3], travels[4], last]});
    ends("slack.fitted", &base, &read(225.0), &read(225.1), ("travels_mm", "outside_travel"));
    let fewer = json!({"travels_mm": travels[..5].to_vec()});
    assert_eq!(put("slack.fitted", &over(&base, &fewer)).expect_err("not as many").code, "not_as_many");
    let told = answered("slack.fitted", &base, &read(225.0));
    // Readings that scatter by just the error of one are not said to scatter.
    let mut off = base.clone();
    off["slacks_mm"] = json!([85.0, 68.1, 56.0, 42.4, 41.5, 47.0]);
    let scatter = answered("slack.fitted", &off, &read(225.0)).get("scatter_mm").expect("a spare reading");
    let says = |error: f64| {
        let answer = answered("slack.fitted", &off, &over(&read(225.0), &json!({"reading_error_mm": error})));
        assert!(answer.get("scatter_mm").is_some_and(|same| (same - scatter).abs() < 1e-9));
        answer.notices.iter().any(|notice| notice.code == "scatter")
    };
    assert!(!says(scatter) && says(scatter - 0.001));
    for (key, own) in [("countershaft_x_mm", 68.0), ("countershaft_z_mm", 9.0)] {
        assert!(told.get(key).is_some_and(|value| (value - own).abs() < 0.1), "{key}: {:?}", told.get(key));
    }
}

#[test]
fn limits_of_unevenness_are_two_and_two_places_are_enough() {
    let base = json!({"slack_mm": [80, 84], "span_mm": 620, "front_teeth": 14, "rear_teeth": 48});
    let above = ("stop_mm", "not_above");
    ends(
        "wear.tight_spot",
        &base,
        &json!({"care_mm": 0.5, "stop_mm": 0.501}),
        &json!({"care_mm": 0.5, "stop_mm": 0.5}),
        above,
    );
    ends("wear.tight_spot", &base, &json!({}), &json!({"slack_mm": [80]}), ("slack_mm", "too_few"));
    let at = |second: f64| json!({"at_links": [10, second], "links": 118});
    ends("wear.tight_spot", &base, &at(10.001), &at(10.0), ("at_links", "not_rising"));
    ends(
        "wear.tight_spot",
        &base,
        &at(20.0),
        &json!({"at_links": [10, 20, 30], "links": 118}),
        ("at_links", "other_length"),
    );
    let few = |places: usize| {
        let slack: Vec<f64> = (0..places).map(|at| 80.0 + f64::from(u32::try_from(at % 3).expect("few"))).collect();
        answered("wear.tight_spot", &base, &json!({"slack_mm": slack})).notices.iter().any(|it| it.code == "few_places")
    };
    assert!(few(7) && !few(8));
}

#[test]
fn hours_of_a_used_chain_may_be_known_exactly() {
    let base = json!({"elongation_pct": 0.5, "limit_pct": 1.0});
    let range = |low: f64, high: f64| json!({"hours_low_h": low, "hours_high_h": high});
    ends("wear.first_day", &base, &range(40.0, 40.0), &range(40.0, 39.9), ("hours_high_h", "below_low"));
    let list = |weights: &[f64]| json!({"hours_h": [30, 50], "weight": weights});
    ends("wear.first_day", &base, &list(&[0.0, 0.1]), &list(&[0.0, 0.0]), ("weight", "all_zero"));
    let many = |count: usize| json!({"hours_h": vec![40.0; count]});
    ends("wear.first_day", &base, &many(200), &many(201), ("hours_h", "too_many"));
    let refusal = put("wear.first_day", &over(&base, &json!({"weight": [1]}))).expect_err("no list");
    assert_eq!((refusal.field.as_str(), refusal.code), ("weight", "without_list"));
    for end in ["hours_low_h", "hours_high_h"] {
        let both = put("wear.first_day", &over(&base, &json!({"hours_h": [40], end: 30}))).expect_err("both");
        assert_eq!((both.field.as_str(), both.code), ("hours_h", "list_and_range"), "{end}");
    }
}

#[test]
fn slack_may_stand_at_its_most_already() {
    let base = json!({"hours_h": [], "elongation_pct": [], "limit_pct": 1.0, "legs": [{"hours_h": 4}]});
    let slack = |most: f64| json!({"slack_mm": 80, "slack_most_mm": most, "span_mm": 620, "links": 118});
    ends("wear.last_through", &base, &slack(80.0), &slack(79.9), ("slack_most_mm", "below_slack"));
    for field in ["slack_mm", "slack_most_mm", "span_mm", "links"] {
        let missing = put("wear.last_through", &over(&over(&base, &slack(90.0)), &json!({field: null})));
        let missing = missing.expect_err("one is missing");
        assert_eq!((missing.field.as_str(), missing.code), (field, "missing"));
    }
    for field in ["station", "pitch_mm"] {
        let value = if field == "station" { 0.5 } else { 15.875 };
        let alone = put("wear.last_through", &over(&base, &json!({field: value}))).expect_err("no slack");
        assert_eq!(alone.field, "slack_mm", "{field}");
    }
}

#[test]
fn levels_end_at_the_last_one_and_a_range_may_be_one_level() {
    let base = json!({"chain_life_h": 60, "front_life_h": 80, "rear_life_h": 120, "chain_price_minor": 9000,
        "front_price_minor": 2500, "rear_price_minor": 6000, "labour_minor": 4000, "trail_minor": 20000,
        "currency": "EUR", "levels": 4, "coupling": [1], "front_level": 1, "rear_level": 1, "brief": true});
    let level = |level: u32| json!({"chain_level": level});
    ends("life.set_policy", &base, &level(3), &level(4), ("chain_level", "out_of_range"));
    let range = |low: u32, high: u32| json!({"chain_level_low": low, "chain_level_high": high});
    ends("life.set_policy", &base, &range(2, 2), &range(2, 1), ("chain_level_high", "below_low"));
    ends("life.set_policy", &base, &range(0, 3), &range(0, 4), ("chain_level_high", "out_of_range"));
    let both = over(&range(1, 2), &level(1));
    ends("life.set_policy", &base, &level(1), &both, ("chain_level", "level_and_range"));
    let codes = |more: &Value| -> Vec<&str> {
        answered("life.set_policy", &base, more).notices.iter().map(|notice| notice.code).collect()
    };
    assert!(!codes(&level(2)).contains(&"part_at_limit") && codes(&level(3)).contains(&"part_at_limit"));
    assert!(codes(&json!({"chain_level": 1, "rear_level": 3})).contains(&"part_at_limit"), "any of the three");
    assert!(codes(&range(1, 3)).contains(&"part_at_limit") && !codes(&range(0, 2)).contains(&"part_at_limit"));
    let couplings = |count: usize| json!({"chain_level": 1, "coupling": vec![1.0; count]});
    ends("life.set_policy", &base, &couplings(12), &couplings(13), ("coupling", "too_many"));
    ends("life.set_policy", &base, &couplings(1), &couplings(0), ("coupling", "empty"));
}

#[test]
fn nothing_left_is_due_and_one_known_ride_tells_no_spread() {
    let base = json!({"rides": 6, "window_d": 60});
    let left = |kind: &str, left: f64| json!({"counters": [{"kind": kind, "left": left}]});
    let codes = |more: &Value| -> Vec<&str> {
        answered("service.due", &base, more).notices.iter().map(|notice| notice.code).collect()
    };
    for kind in ["days", "rides"] {
        assert_eq!(codes(&left(kind, 0.0)), ["overdue"], "{kind}");
        assert!(codes(&left(kind, 1.0)).is_empty(), "{kind}");
    }
    let counter = |known: u32, sd: Value| {
        let counter = over(
            &json!({"kind": "hours", "left": 10, "per_ride": 2, "rides_known": known}),
            &json!({"per_ride_sd": sd}),
        );
        answered("service.due", &base, &json!({"counters": [counter]})).at("by_counter").cloned()
    };
    assert_eq!(counter(1, json!(0.1)), counter(1, Value::Null), "one ride has no spread of its own");
    assert_ne!(counter(2, json!(0.1)), counter(2, Value::Null));
    assert_eq!(counter(2, json!(1.0)), counter(2, Value::Null), "half of a ride where none is said");
    let many = |count: usize| json!({"counters": vec![json!({"kind": "days", "left": 5}); count]});
    ends("service.due", &base, &many(40), &many(41), ("counters", "too_many"));
    let none = json!({"counters": [{"kind": "km", "left": 10, "rides_known": 0}]});
    assert_eq!(codes(&none), ["no_ride_yet"]);
}

#[test]
fn the_earliest_counter_decides() {
    let base = json!({"rides": 6, "window_d": 60});
    for (days, rides, by) in [(3.0, 9.0, "days"), (300.0, 1.0, "rides")] {
        for turned in [false, true] {
            let mut counters = vec![json!({"kind": "days", "left": days}), json!({"kind": "rides", "left": rides})];
            if turned {
                counters.reverse();
            }
            let answer = answered("service.due", &base, &json!({"counters": counters}));
            assert_eq!(answer.at("decided_by"), Some(&json!(by)));
            let rows = answer.at("by_counter").and_then(Value::as_array).expect("rows");
            for key in ["low_d", "median_d", "high_d"] {
                let least = rows.iter().filter_map(|row| row[key].as_f64()).fold(f64::INFINITY, f64::min);
                assert_eq!(answer.get(&format!("due_{key}")), Some(least), "{key}");
            }
            let most = rows.iter().filter_map(|row| row["chance_within"].as_f64()).fold(0.0, f64::max);
            assert_eq!(answer.get("chance_within"), Some(most));
        }
    }
}

#[test]
fn bolts_are_held_to_their_limits_on_both_sides() {
    let pair = json!({"diameter_mm": 8, "preload_n": 15000, "friction_thread": 0.12, "friction_head": 0.12});
    let contact = |mm: f64| json!({"head_contact_mm": mm});
    let outside = ("head_contact_mm", "out_of_range");
    ends("torque.from_preload", &pair, &contact(24.0), &contact(24.001), outside);
    ends("torque.from_preload", &pair, &contact(8.001), &contact(8.0), outside);
    let band = json!({"torque_nm": 22, "diameter_mm": 8, "friction_low": 0.1, "head_contact_mm": 10.3});
    let high = |high: f64| json!({"friction_high": high});
    ends("torque.preload", &band, &high(0.1), &high(0.0999), ("friction_high", "low_above_high"));
    // A wrench that errs by 4 % leaves 21.12 of 22 at least.
    let wide = over(&band, &high(0.16));
    let running = |nm: f64| json!({"running_nm": nm});
    ends("torque.preload", &wide, &running(21.119), &running(21.121), ("running_nm", "nothing_left"));
    let factor =
        json!({"torque_nm": 20, "diameter_mm": 8, "nut_factor": 0.2, "nut_factor_u_pct": 10, "torque_u_pct": 3});
    ends("torque.preload", &factor, &running(19.999), &running(20.0), ("running_nm", "nothing_left"));
    for field in ["nut_factor_u_pct", "torque_u_pct"] {
        let beside = put("torque.preload", &over(&wide, &json!({field: 3}))).expect_err("of the other form");
        assert_eq!((beside.field.as_str(), beside.code), (field, "one_form_only"));
    }
    for field in ["friction_low", "friction_high", "head_contact_mm", "wrench_pct", "property_class"] {
        let value = json!({"friction_low": 0.1, "friction_high": 0.2, "head_contact_mm": 10.3, "wrench_pct": 4, "property_class": 8.8});
        let beside =
            put("torque.preload", &over(&factor, &json!({field: value[field]}))).expect_err("of the other form");
        assert_eq!((beside.field.as_str(), beside.code), ("nut_factor", "one_form_only"), "{field}");
    }
}

#[test]
fn a_preload_at_its_proof_load_does_not_stretch_the_bolt() {
    let base = json!({"diameter_mm": 8, "nut_factor": 0.2, "property_class": 8.8});
    let full =
        answered("torque.from_preload", &base, &json!({"proof_share": 1.0})).get("preload_n").expect("a preload");
    let told = |preload: f64| {
        let answer = answered("torque.from_preload", &base, &json!({"preload_n": preload}));
        answer.notices.iter().any(|notice| notice.code == "above_proof")
    };
    assert!(!told(full) && told(full + 0.1));
}

#[test]
fn prices_and_chances_may_have_one_end_and_reach_to_theirs() {
    let library = json!({"states": [{"id": "s", "open_min": 1, "close_min": 1}],
        "jobs": [{"id": "x", "ops": [{"id": "o", "min": 1, "needs": ["s"]}],
            "parts": [{"role": "seal", "qty": 3}]}]});
    let base = json!({"jobs": ["x"], "kit": "full", "library": library});
    let price = |low: u32, high: u32| json!({"prices": [{"role": "seal", "low_minor": low, "high_minor": high, "currency": "EUR", "lead_d": 2}]});
    ends("job.shopping", &base, &price(200, 200), &price(201, 200), ("prices", "low_above_high"));
    for stock in 0..5_u32 {
        let answer = answered("job.shopping", &base, &over(&price(200, 300), &json!({"stock": {"seal": stock}})));
        let buy = 3_u32.saturating_sub(stock);
        assert_eq!(answer.at("lines").and_then(|lines| lines[0]["to_buy"].as_u64()), Some(u64::from(buy)));
        let totals = answer.at("totals").cloned().expect("totals");
        let want = if buy > 0 { json!({"EUR": {"low_minor": 200 * buy, "high_minor": 300 * buy}}) } else { json!({}) };
        assert_eq!(totals, want, "{stock} on the shelf");
        assert_eq!(answer.get("lead_d"), Some(if buy > 0 { 2.0 } else { 0.0 }));
    }
}

#[test]
fn times_rise_and_distances_do_not_fall() {
    let lists = |second: f64| json!({"t_s": [0, second], "x_m": [0, 5], "y_m": [0, 0]});
    let falls = put("ride.profile", &lists(0.0)).expect_err("it does not rise");
    assert_eq!(falls.field, "t_s");
    let way = |second: f64| json!({"s_m": [0, 10, second, 30], "ele_m": [100, 101, 102, 103]});
    ends("ride.grade", &json!({}), &way(10.0), &way(9.9), ("s_m", "falls"));
    let bare = put("ride.grade", &json!({"s_m": [0, 10], "ele_m": [null, null]})).expect_err("no elevation");
    assert_eq!((bare.field.as_str(), bare.code), ("ele_m", "no_elevation"));
}

#[test]
fn a_set_of_pairs_may_be_one_pair_wide() {
    let base = json!({"front_teeth": 14, "rear_teeth": 48});
    let set = |from: u32, to: u32| json!({"front_min": from, "front_max": to});
    ends("gearing.equal_pairs", &base, &set(13, 13), &set(13, 12), ("front_max", "out_of_order"));
    let rear = |from: u32, to: u32| json!({"rear_min": from, "rear_max": to});
    ends("gearing.equal_pairs", &base, &rear(45, 45), &rear(45, 44), ("rear_max", "out_of_order"));
}

#[test]
fn speeds_of_an_engine_rise_strictly() {
    let base = json!({"primary": 3, "gears": [2, 1], "front_teeth": 14, "rear_teeth": 48, "rollout_m": 2, "rpm": 6000});
    let band = |max: u32| json!({"lo_rpm": 4000, "max_rpm": max});
    ends("gearing.speeds", &base, &band(4001), &band(4000), ("max_rpm", "out_of_order"));
    let none = put("gearing.speeds", &over(&base, &json!({"rpm": null}))).expect_err("no speed");
    assert_eq!((none.field.as_str(), none.code), ("rpm", "missing"));
    answered("gearing.speeds", &base, &json!({"rpm": null, "speed_kmh": 40}));
}

#[test]
fn what_is_offered_to_be_read_must_gain_more_than_its_minutes_cost() {
    let quantity =
        json!({"name": "chain", "mean": 0.9, "sd": 0.1, "limit": 1.0, "early_minor": 1000, "late_minor": 4000});
    let base = json!({"quantities": [quantity], "options": [{"name": "caliper", "quantity": "chain", "u": 0.02, "minutes": 4}], "currency": "EUR"});
    let of = |minute: f64| {
        let answer = answered("wear.next_reading", &base, &json!({"minute_minor": minute}));
        let row = answer.at("by_option").map(|rows| rows[0].clone()).expect("a row");
        let number = |key: &str| row[key].as_f64().expect("a number");
        assert!((number("net_minor") - (number("gain_minor") - 4.0 * minute)).abs() < 1e-9);
        assert!((number("gain_per_min") - number("gain_minor") / 4.0).abs() < 1e-12);
        (answer.at("best").cloned(), number("gain_minor"))
    };
    let (best, gain) = of(0.0);
    assert!(best == Some(json!("caliper")) && gain > 1.0, "{gain}");
    assert_eq!(of(gain / 4.0 * 0.999).0, Some(json!("caliper")));
    assert_eq!(of(gain / 4.0 * 1.001).0, Some(Value::Null));
}

#[test]
fn how_sure_the_end_of_a_ride_is_follows_from_now_and_from_the_rate() {
    let log = json!({"hours_h": [5, 20, 40], "elongation_pct": [0.12, 0.3, 0.55], "limit_pct": 1.0});
    for scatter in [0.015, 0.03] {
        let log = over(&log, &json!({"scatter_pct": scatter}));
        let now = answered("wear.forecast", &log, &json!({}));
        let get = |key: &str| now.get(key).expect("a number");
        let (now_sd, rate_sd) = (get("now_sd_pct"), get("rate_sd_pct_per_h"));
        for hours in [0.5, 4.0, 10.0] {
            let end = answered("wear.last_through", &log, &json!({"legs": [{"hours_h": hours}]}));
            let variance = now_sd * now_sd
                + 2.0 * hours * get("correlation") * now_sd * rate_sd
                + hours * hours * rate_sd * rate_sd
                + scatter * scatter * hours;
            assert!(end.get("end_sd_pct").is_some_and(|sd| (sd * sd - variance).abs() < 1e-12), "{hours} h");
            let mean = get("now_pct") + hours * get("rate_pct_per_h");
            assert!(end.get("end_pct").is_some_and(|pct| (pct - mean).abs() < 1e-12), "{hours} h");
        }
    }
}

#[test]
fn a_ground_is_claimed_from_its_least_hours_on_and_named_below_them() {
    let rates = |hours: f64| {
        let given = json!({"grounds": ["loam", "mud"], "ground_hours_h": [[4, 3], [12, hours]],
            "elongation_pct": [0.2, 0.3], "rate_pct_per_h": 0.01});
        let answer = answered("wear.rates", &given, &json!({}));
        let named = answer.notices.iter().any(|notice| notice.text.contains("on mud of at least 8 h"));
        assert_eq!(answer.at("claimed"), Some(&json!([true, !named])));
        named
    };
    assert!(!rates(8.0) && rates(7.9));
    let falls = json!({"grounds": ["loam"], "elongation_pct": [0.2, 0.3], "rate_pct_per_h": 0.01});
    let rows = |second: f64| json!({"ground_hours_h": [[4], [second]]});
    ends("wear.rates", &falls, &rows(4.0), &rows(3.9), ("ground_hours_h", "falls"));
}

#[test]
fn every_even_count_that_lies_between_the_stops_is_listed_however_worn_the_chain() {
    let drive = json!({"pitch_mm": 4, "front_teeth": 14, "rear_teeth": 48});
    for worn in [-0.3, 0.0, 0.5, 2.0, 4.0] {
        let grown = 1.0 + worn / 100.0;
        let needed = |centre: f64| {
            answered("chain.links", &drive, &json!({"centre_mm": centre})).get("links_needed").expect("links")
        };
        // On the sprockets every pitch may have grown; behind them the chain may lie at the old one.
        let (least, most) = (needed(3000.0 / grown), needed(3100.0) / grown);
        let wanted: Vec<u32> =
            (2..3000).step_by(2).filter(|links| (least..=most).contains(&f64::from(*links))).collect();
        let stops = json!({"centre_min_mm": 3000, "centre_max_mm": 3100, "elongation_pct": worn});
        let answer = answered("chain.fit", &drive, &stops);
        let fits = answer.at("fits").and_then(Value::as_array).expect("a list");
        let links: Vec<u64> = fits.iter().filter_map(|fit| fit["links"].as_u64()).collect();
        assert!(links.iter().copied().eq(wanted.iter().copied().map(u64::from)), "{worn} %: {links:?} {wanted:?}");
        assert!(wanted.len() > 10);
    }
}
