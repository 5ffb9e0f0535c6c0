//! Every field, bound, default and notice of the wear, life and service figures, asked through the contract.

use figures::{Answer, Kind, Need, NoTracks, Refusal, ask, named};
use measure::{Bound, Edge};
use serde_json::{Map, Value, json};

/// A question that every figure answers.
fn questions() -> Vec<(&'static str, Value)> {
    let set = json!({"chain_life_h": 60, "front_life_h": 80, "rear_life_h": 120, "chain_price_minor": 9000,
        "front_price_minor": 2500, "rear_price_minor": 6000, "labour_minor": 3000, "trail_minor": 20000,
        "currency": "EUR", "chain_level": 2, "front_level": 1, "rear_level": 1, "coupling": [1]});
    vec![
        ("wear.reading", json!({"length_mm": [[254.9], [255.1], [254.7]], "pitches": 16, "limit_pct": 1.0})),
        ("wear.protocol", json!({"wanted_u95_pct": 0.15})),
        (
            "wear.tight_spot",
            json!({"slack_mm": [50, 55, 48], "span_mm": 620, "front_teeth": 14, "rear_teeth": 48,
                "at_links": [0, 12, 24], "links": 118}),
        ),
        ("wear.hours", json!({"meter": [{"read_h": 12.5}], "ground_hours_h": {"sand": 4}})),
        ("wear.forecast", json!({"hours_h": [5, 15, 25], "elongation_pct": [0.1, 0.3, 0.5], "limit_pct": 1.0})),
        (
            "wear.rates",
            json!({"grounds": ["hard"], "ground_hours_h": [[6], [15]], "elongation_pct": [0.1, 0.2],
                "rate_pct_per_h": 0.014}),
        ),
        ("wear.first_day", json!({"elongation_pct": 0.5, "limit_pct": 1.0, "hours_low_h": 20, "hours_high_h": 60})),
        (
            "wear.next_reading",
            json!({"quantities": [{"name": "stretch", "mean": 0.8, "sd": 0.2, "limit": 1.0, "early_minor": 3000,
                "late_minor": 20000}], "options": [{"name": "calliper", "quantity": "stretch", "u": 0.05, "minutes": 6}],
                "currency": "EUR"}),
        ),
        (
            "wear.last_through",
            json!({"hours_h": [6, 14, 25], "elongation_pct": [0.2, 0.4, 0.6], "limit_pct": 1.0,
                "legs": [{"hours_h": 3}], "slack_mm": 40, "slack_most_mm": 50, "span_mm": 620, "links": 114}),
        ),
        ("life.weibull", json!({"failed_h": [48, 61.5, 72, 80.5], "running_h": [30, 55]})),
        ("life.weibayes", json!({"failed_h": [30, 42], "running_h": [55]})),
        (
            "life.replace_at",
            json!({"shape": 2.5, "scale_h": 80, "planned_minor": 100, "failed_minor": 500, "currency": "EUR"}),
        ),
        ("life.set_policy", set),
        (
            "service.due",
            json!({"counters": [{"kind": "hours", "left": 15, "per_ride": 2.5, "per_ride_sd": 1, "rides_known": 12}],
                "rides": 12, "window_d": 90}),
        ),
        (
            "service.group",
            json!({"jobs": [{"name": "oil", "interval": 3, "age": 3, "cost_minor": 500, "access": ["plate"]}],
                "access_minor": {"plate": 100}, "currency": "EUR"}),
        ),
    ]
}

fn put(figure: &str, given: &Value) -> Result<Answer, Refusal> {
    ask(figure, given.as_object().expect("an object"), &NoTracks)
}

fn with(given: &Value, name: &str, value: Value) -> Value {
    let mut map: Map<String, Value> = given.as_object().cloned().unwrap_or_default();
    map.insert(name.to_owned(), value);
    Value::Object(map)
}

fn without(given: &Value, name: &str) -> Value {
    let mut map: Map<String, Value> = given.as_object().cloned().unwrap_or_default();
    map.remove(name);
    Value::Object(map)
}

fn refused(figure: &str, given: &Value) -> (String, &'static str) {
    let refusal = put(figure, given).expect_err("must be refused");
    assert!(!refusal.text.is_empty() && refusal.text.ends_with('.'), "{figure}: {}", refusal.text);
    (refusal.field, refusal.code)
}

/// Numbers just outside a bound.
fn outside(bound: &Bound) -> Vec<f64> {
    let step = |edge: f64| 1e-9 * edge.abs().max(1.0);
    let low = match bound.low {
        Edge::At(low) => Some(low - step(low)),
        Edge::Beyond(low) => Some(low),
        Edge::Open => None,
    };
    let high = match bound.high {
        Edge::At(high) => Some(high + step(high)),
        Edge::Beyond(high) => Some(high),
        Edge::Open => None,
    };
    low.into_iter().chain(high).collect()
}

/// The ends of a bound that belong to it.
fn edges(bound: &Bound) -> Vec<f64> {
    let reached = |edge: Edge| if let Edge::At(edge) = edge { Some(edge) } else { None };
    reached(bound.low).into_iter().chain(reached(bound.high)).collect()
}

#[test]
fn every_figure_answers_with_the_fields_it_declares() {
    for (figure, given) in questions() {
        let answer = put(figure, &given).unwrap_or_else(|refusal| panic!("{figure}: {}", refusal.text));
        let declared = named(figure).expect("is a figure").answer;
        for name in answer.values().keys() {
            assert!(declared.iter().any(|(known, _)| known == name), "{figure} answers {name}, undeclared");
        }
        assert!(answer.notices.iter().all(|notice| notice.text.chars().any(|c| c.is_ascii_digit())), "{figure}");
    }
}

#[test]
fn what_is_unknown_missing_or_of_another_kind_is_refused_by_name() {
    for (figure, given) in questions() {
        assert_eq!(refused(figure, &with(&given, "colour", json!(1))), ("colour".into(), "unknown_field"));
        for field in named(figure).expect("is a figure").given {
            if field.need == Need::Required {
                assert_eq!(refused(figure, &without(&given, field.name)), (field.name.into(), "missing"), "{figure}");
            }
            for odd in [json!(null), json!(true), json!("NaN")] {
                let fits = match field.kind {
                    Kind::Text | Kind::Word(_) => odd.is_string(),
                    Kind::Flag => odd.is_boolean(),
                    _ => false,
                };
                if fits {
                    continue;
                }
                assert_eq!(refused(figure, &with(&given, field.name, odd)).0, field.name, "{figure}");
            }
        }
    }
}

#[test]
fn a_number_just_outside_its_bound_is_refused_and_one_on_the_edge_is_not_for_its_bound() {
    for (figure, given) in questions() {
        for field in named(figure).expect("is a figure").given {
            match field.kind {
                Kind::Number(bound) => {
                    for value in outside(bound) {
                        let answer = refused(figure, &with(&given, field.name, json!(value)));
                        assert_eq!(answer, (field.name.into(), "out_of_range"), "{figure} {value}");
                    }
                    edges_hold(figure, &given, field.name, bound);
                }
                Kind::Whole(bound) => {
                    assert_eq!(refused(figure, &with(&given, field.name, json!(12.5))).0, field.name);
                    for edge in edges(bound) {
                        for value in [edge - 1.0, edge + 1.0].into_iter().filter(|value| !bound.holds(*value)) {
                            assert_eq!(refused(figure, &with(&given, field.name, json!(value))).0, field.name);
                        }
                    }
                    edges_hold(figure, &given, field.name, bound);
                }
                Kind::Numbers(bound) => {
                    for value in outside(bound) {
                        let answer = refused(figure, &with(&given, field.name, json!([value])));
                        assert_eq!(answer, (field.name.into(), "out_of_range"), "{figure} {value}");
                    }
                }
                _ => {}
            }
        }
    }
}

fn edges_hold(figure: &str, given: &Value, name: &str, bound: &Bound) {
    for edge in edges(bound) {
        if let Err(refusal) = put(figure, &with(given, name, json!(edge))) {
            // Ties between fields may still refuse it, never its own bound.
            let level = name.contains("_level");
            assert!(refusal.code != "out_of_range" || level, "{figure} {name} {edge}: {}", refusal.text);
        }
    }
}

#[test]
fn leaving_a_default_out_and_giving_it_are_the_same() {
    let defaults = [
        (
            "wear.reading",
            json!({"pitch_mm": 15.875, "maximum_error_mm": 0.05, "resolution_mm": 0.01, "repeat_mm": 0.15, "repeat_dof": 10}),
        ),
        (
            "wear.protocol",
            json!({"judge": "worst", "pitches": [16, 20, 24, 32, 40], "most_readings": 5, "most_places": 6, "place_sd_pct": 0}),
        ),
        ("wear.tight_spot", json!({"station": 0.5, "care_mm": 0.3, "stop_mm": 0.8})),
        ("wear.hours", json!({"multiplier": {"hard": 1, "sand": 1.6, "mud": 2.5}})),
        (
            "wear.forecast",
            json!({"u_pct": 0.06, "u_common_pct": 0, "start_pct": 0.05, "start_sd_pct": 0.05, "rate_pct_per_h": 1.0 / 70.0, "rate_sd_pct_per_h": 0.5 / 70.0, "scatter_pct": 0.015, "multiplier": 1, "interval": 0.9}),
        ),
        ("wear.rates", json!({"multiplier": [1], "rate_spread": 0.4, "u_pct": 0.06, "start_pct": 0.05, "least_h": 8})),
        ("wear.first_day", json!({"u_pct": 0.06, "most_ratio": 4, "enough_h": 5, "interval": 0.9})),
        ("wear.next_reading", json!({"by": "money", "minute_minor": 0})),
        ("wear.last_through", json!({"since_h": 0, "station": 0.5, "pitch_mm": 15.875, "sure": 0.95})),
        ("life.weibull", json!({"confidence": 0.9, "life_fraction": 0.1})),
        ("life.weibayes", json!({"shape": 3, "confidence": 0.9, "life_fraction": 0.1})),
        ("life.set_policy", json!({"wear_back": 1, "trail_chance": 0.02, "levels": 8, "block_h": 2})),
        ("service.due", json!({"prior_rides": 1, "prior_d": 10, "within_d": 30})),
        ("service.group", json!({"base_minor": 0, "horizon": 6})),
    ];
    for (figure, given) in questions() {
        let Some((_, all)) = defaults.iter().find(|(name, _)| *name == figure) else { continue };
        let bare = put(figure, &given).map(|answer| answer.values().clone());
        for (name, value) in all.as_object().expect("an object") {
            let said = put(figure, &with(&given, name, value.clone())).map(|answer| answer.values().clone());
            assert_eq!(bare, said, "{figure} {name}");
        }
    }
}

#[test]
fn each_notice_of_wear_comes_where_it_belongs() {
    notices_come(&[
        ("wear.reading", "odd_pitches", json!({"pitches": 17, "length_mm": [[270.5]]})),
        ("wear.reading", "few_places", json!({"length_mm": [[254.9], [255.1]]})),
        ("wear.reading", "scatter", json!({"length_mm": [[254.5, 255.3, 256.1], [255.0], [255.0]]})),
        ("wear.reading", "teeth_lower_the_limit", json!({"limit_pct": 3.0, "rear_teeth": 80})),
        ("wear.protocol", "not_reachable", json!({"wanted_u95_pct": 0.001})),
        ("wear.tight_spot", "few_places", json!({})),
        ("wear.tight_spot", "period_not_decidable", json!({})),
        ("wear.forecast", "from_prior", json!({"hours_h": [], "elongation_pct": []})),
        (
            "wear.forecast",
            "no_upper_bound",
            json!({"hours_h": [], "elongation_pct": [], "rate_pct_per_h": 0.006, "rate_sd_pct_per_h": 0.006}),
        ),
        ("wear.forecast", "odd_reading", json!({"elongation_pct": [0.1, 0.3, 1.4]})),
        ("wear.forecast", "chain_replaced", json!({"elongation_pct": [0.4, 0.9, 0.02]})),
        (
            "wear.forecast",
            "wearing_faster",
            json!({"hours_h": [5, 15, 25, 30], "elongation_pct": [0.1, 0.2, 0.8, 1.5]}),
        ),
        ("wear.rates", "too_few_hours", json!({"least_h": 20})),
        ("wear.first_day", "interval_too_wide", json!({"hours_low_h": 0, "hours_high_h": 200})),
        (
            "wear.first_day",
            "reading_does_not_fit_hours",
            json!({"hours_low_h": 2, "hours_high_h": 4, "elongation_pct": 0.6}),
        ),
        (
            "wear.first_day",
            "no_upper_bound",
            json!({"rate_pct_per_h": 0.006, "rate_sd_pct_per_h": 0.006, "hours_low_h": 60, "hours_high_h": 150, "elongation_pct": 0.06}),
        ),
        ("wear.next_reading", "nothing_worth_measuring", json!({"minute_minor": 100_000})),
        ("wear.last_through", "from_prior", json!({"hours_h": [], "elongation_pct": []})),
        ("wear.last_through", "sure_beyond_ten_times", json!({"legs": [{"hours_h": 0.01}]})),
    ]);
}

#[test]
fn each_notice_of_lives_the_set_and_service_comes_where_it_belongs() {
    notices_come(&[
        ("life.weibull", "few_failures", json!({})),
        ("life.weibayes", "bound_only", json!({"failed_h": []})),
        ("life.replace_at", "no_gain_from_age", json!({"shape": 0.9})),
        ("life.set_policy", "part_at_limit", json!({"chain_level": 7})),
        (
            "life.set_policy",
            "depends_on_coupling",
            json!({"chain_level": 7, "front_level": 3, "rear_level": 4, "coupling": [0, 10]}),
        ),
        ("life.set_policy", "block_too_long", json!({"block_h": 10, "chain_life_h": 20})),
        ("service.due", "overdue", json!({"counters": [{"kind": "days", "left": -2}]})),
        ("service.due", "no_ride_yet", json!({"counters": [{"kind": "hours", "left": 5}]})),
        ("service.group", "short_horizon", json!({"horizon": 2})),
        ("service.group", "overdue", json!({"jobs": [{"name": "oil", "interval": 3, "age": 5, "cost_minor": 500}]})),
    ]);
}

fn notices_come(cases: &[(&str, &str, Value)]) {
    for (figure, code, changes) in cases {
        let mut given = question(figure);
        for (name, value) in changes.as_object().expect("an object") {
            given = with(&given, name, value.clone());
        }
        let answer = put(figure, &given).expect(code);
        let found = answer.notices.iter().find(|notice| notice.code == *code);
        assert!(found.is_some_and(|notice| notice.text.chars().any(|c| c.is_ascii_digit())), "{figure} {code}");
    }
}

fn question(figure: &str) -> Value {
    questions().into_iter().find(|(name, _)| *name == figure).map(|(_, given)| given).expect("asked above")
}

#[test]
fn a_fault_inside_a_list_is_refused_under_the_lists_name() {
    let cases = [
        ("wear.hours", "meter", json!([{"read_h": 3, "note": "x"}])),
        ("wear.hours", "meter", json!([{"swap_old_h": 3}])),
        ("wear.hours", "ground_hours_h", json!({"snow": 1})),
        (
            "wear.next_reading",
            "quantities",
            json!([{"name": "a", "log": {"hours_h": [1], "elongation_pct": [0.1], "limit_pct": 1, "u_common_pct": 0.1}, "early_minor": 1, "late_minor": 1}]),
        ),
        ("wear.next_reading", "quantities", json!([{"name": "a", "early_minor": 1, "late_minor": 1}])),
        ("wear.next_reading", "options", json!([{"name": "a", "quantity": "stretch", "u": 0.1}])),
        ("wear.last_through", "legs", json!([{"hours_h": 2, "ground": "mud"}])),
        ("life.set_policy", "shelf", json!([{"part": "wheel", "level": 1}])),
        ("life.set_policy", "change_anyway", json!(["chain", "chain"])),
        ("service.due", "counters", json!([{"kind": "days", "left": 3, "per_ride": 1}])),
        ("service.due", "counters", json!([{"kind": "rides", "left": 2.5}])),
        ("service.due", "counters", json!([{"kind": "km", "left": 300, "rides_known": 3}])),
        ("service.group", "jobs", json!([{"name": "oil", "interval": 3, "age": 1.5, "cost_minor": 5}])),
        ("service.group", "jobs", json!([{"name": "oil", "interval": 61, "age": 1, "cost_minor": 5}])),
        ("service.group", "access_minor", json!({"plate": "dear"})),
    ];
    for (figure, field, value) in cases {
        let given = question(figure);
        assert_eq!(refused(figure, &with(&given, field, value)).0, field, "{figure}");
    }
}

#[test]
fn a_list_too_long_to_reckon_with_is_refused_by_name() {
    let mut asked = question("wear.forecast");
    asked["hours_h"] = json!((0..1001).collect::<Vec<_>>());
    asked["elongation_pct"] = json!(vec![0.1; 1001]);
    let (field, code) = refused("wear.forecast", &asked);
    assert_eq!((field.as_str(), code), ("hours_h", "too_many"));
}

/// Without a wish for the error both numbers are wanted: one alone says nothing about what is reached.
#[test]
fn a_protocol_is_asked_by_the_error_or_by_both_numbers() {
    let missing = ("wanted_u95_pct".to_owned(), "missing");
    for given in [json!({}), json!({"readings": 3}), json!({"places": 3}), json!({"most_readings": 4})] {
        assert_eq!(refused("wear.protocol", &given), missing, "{given}");
    }
    for given in [
        json!({"readings": 3, "places": 3}),
        json!({"wanted_u95_pct": 0.15}),
        json!({"wanted_u95_pct": 0.15, "readings": 3}),
        json!({"wanted_u95_pct": 0.15, "places": 3}),
        json!({"wanted_u95_pct": 0.15, "readings": 3, "places": 3}),
    ] {
        let answer = put("wear.protocol", &given).unwrap_or_else(|refusal| panic!("{given}: {}", refusal.text));
        for option in answer.values()["options"].as_array().expect("options") {
            for name in ["readings", "places"] {
                assert!(given.get(name).is_none_or(|asked| *asked == option[name]), "{given}: {option}");
            }
        }
    }
}
