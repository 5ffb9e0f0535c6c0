//! What ties the fields of workshop figures together: each fault names its field, and nothing is guessed.

use figures::{NoTracks, ask};
use serde_json::{Value, json};

fn asked(name: &str, given: &Value) -> Result<Value, (String, &'static str)> {
    let given = given.as_object().cloned().unwrap_or_default();
    ask(name, &given, &NoTracks)
        .map(|answer| Value::Object(answer.values().clone()))
        .map_err(|refusal| (refusal.field, refusal.code))
}

fn check(name: &str, base: &Value, faults: &[(&str, Value, &str, &str)]) {
    asked(name, base).expect("the base is answered");
    for (key, value, field, code) in faults {
        let mut given = base.clone();
        if value.is_null() {
            given.as_object_mut().expect("an object").remove(*key);
        } else {
            given[*key] = value.clone();
        }
        assert_eq!(asked(name, &given), Err(((*field).to_owned(), *code)), "{key} {value}");
    }
}

fn notices(name: &str, given: &Value) -> Vec<&'static str> {
    let given = given.as_object().cloned().unwrap_or_default();
    let answer = ask(name, &given, &NoTracks).expect("answered");
    answer.notices.iter().map(|notice| notice.code).collect()
}

#[test]
fn a_preload_is_given_in_one_form_and_its_friction_in_one() {
    let base = json!({"diameter_mm": 8, "preload_n": 15000, "friction_thread": 0.12, "friction_head": 0.12,
        "head_contact_mm": 10.3});
    check(
        "torque.from_preload",
        &base,
        &[
            ("proof_share", json!(0.7), "proof_share", "one_form_only"),
            ("yield_share", json!(0.7), "yield_share", "one_form_only"),
            ("preload_n", Value::Null, "preload_n", "missing"),
            ("friction_thread", Value::Null, "friction_thread", "missing"),
            ("head_contact_mm", Value::Null, "head_contact_mm", "missing"),
            ("head_contact_mm", json!(8), "head_contact_mm", "out_of_range"),
            ("head_contact_mm", json!(24.1), "head_contact_mm", "out_of_range"),
            ("nut_factor", json!(0.2), "nut_factor", "one_form_only"),
            ("diameter_mm", json!(9), "thread_pitch_mm", "no_coarse_pitch"),
        ],
    );
    let shares = json!({"diameter_mm": 8, "proof_share": 0.7, "property_class": 8.8, "nut_factor": 0.2});
    check(
        "torque.from_preload",
        &shares,
        &[
            ("property_class", Value::Null, "property_class", "missing"),
            ("nut_factor", Value::Null, "friction_thread", "missing"),
        ],
    );
}

#[test]
fn every_way_to_give_a_preload_goes_with_either_friction_but_yield_counts_the_thread() {
    let pair = json!({"friction_thread": 0.12, "friction_head": 0.12, "head_contact_mm": 10.3});
    for (form, value) in [("preload_n", 15_000.0), ("proof_share", 0.7), ("yield_share", 0.7)] {
        let mut given = json!({"diameter_mm": 8, "property_class": 8.8});
        given[form] = json!(value);
        let (mut rubbing, mut lumped) = (given.clone(), given);
        rubbing.as_object_mut().expect("an object").extend(pair.as_object().expect("an object").clone());
        lumped["nut_factor"] = json!(0.2);
        asked("torque.from_preload", &rubbing).expect(form);
        // Torsion eats into the yield strength by the friction in the thread, which a nut factor does not tell.
        let refused = Err(("nut_factor".to_owned(), "one_form_only"));
        let answer = asked("torque.from_preload", &lumped);
        assert!(if form == "yield_share" { answer == refused } else { answer.is_ok() }, "{form}: {answer:?}");
        for name in ["friction_thread", "friction_head", "head_contact_mm"] {
            let mut both = lumped.clone();
            both[name] = pair[name].clone();
            assert_eq!(asked("torque.from_preload", &both), refused, "{form} {name}");
        }
    }
}

#[test]
fn a_plain_preload_with_a_nut_factor_needs_no_thread() {
    let given = json!({"diameter_mm": 9.525, "preload_n": 20000, "nut_factor": 0.16, "property_class": 8.8});
    assert!(asked("torque.from_preload", &given).is_ok());
}

#[test]
fn what_would_stretch_a_bolt_or_leave_it_loose_is_told() {
    let over = json!({"diameter_mm": 8, "preload_n": 30000, "nut_factor": 0.2, "property_class": 8.8});
    assert_eq!(notices("torque.from_preload", &over), ["above_proof"]);
    let wide = json!({"torque_nm": 30, "diameter_mm": 8, "friction_low": 0.08, "friction_high": 0.5,
        "head_contact_mm": 10.3, "property_class": 8.8});
    assert_eq!(notices("torque.preload", &wide), ["above_proof", "loose_end"]);
    assert_eq!(notices("torque.thread", &json!({"diameter_mm": 10, "thread_pitch_mm": 1.25})), ["not_coarse"]);
}

#[test]
fn a_band_and_a_nut_factor_exclude_each_other() {
    let band = json!({"torque_nm": 22, "diameter_mm": 8, "friction_low": 0.1, "friction_high": 0.16,
        "head_contact_mm": 10.3});
    check(
        "torque.preload",
        &band,
        &[
            ("nut_factor", json!(0.2), "nut_factor", "one_form_only"),
            ("nut_factor_u_pct", json!(5), "nut_factor_u_pct", "one_form_only"),
            ("friction_high", Value::Null, "friction_high", "missing"),
            ("friction_high", json!(0.09), "friction_high", "low_above_high"),
            ("running_nm", json!(21.2), "running_nm", "nothing_left"),
            ("property_class", json!(8.7), "property_class", "no_such_class"),
        ],
    );
    let factor =
        json!({"torque_nm": 25, "diameter_mm": 8, "nut_factor": 0.2, "nut_factor_u_pct": 10, "torque_u_pct": 3});
    check(
        "torque.preload",
        &factor,
        &[
            ("torque_u_pct", Value::Null, "torque_u_pct", "missing"),
            ("running_nm", json!(25), "running_nm", "nothing_left"),
            ("wrench_pct", json!(4), "nut_factor", "one_form_only"),
        ],
    );
}

#[test]
fn a_computed_torque_is_refused_where_it_could_hurt() {
    let base =
        json!({"diameter_mm": 6, "property_class": 8.8, "material": "steel", "place": "guide", "manual_checked": true});
    for place in [
        "axle",
        "pivot",
        "linkage",
        "brake",
        "steering",
        "wheel",
        "rear_sprocket",
        "front_sprocket",
        "countershaft",
        "engine",
        "unknown",
        "",
    ] {
        check("torque.fallback", &base, &[("place", json!(place), "place", "manual_only")]);
    }
    check(
        "torque.fallback",
        &base,
        &[
            ("material", json!("aluminium"), "material", "manual_only"),
            ("manual_checked", json!(false), "manual_checked", "look_first"),
            ("friction_low", json!(0.3), "friction_high", "low_above_high"),
            ("diameter_mm", json!(7), "head_contact_mm", "no_head_size"),
            ("property_class", json!("A2-70"), "property_class", "wrong_type"),
        ],
    );
    assert_eq!(notices("torque.fallback", &base), ["no_manual_figure"]);
}

#[test]
fn a_wrench_is_neither_too_small_nor_far_below_its_range() {
    let base = json!({"torque_nm": 30, "wrench_mm": 400, "extension_mm": 50, "wrench_max_nm": 200});
    assert_eq!(notices("torque.extension", &base), ["low_in_range"]);
    check("torque.extension", &base, &[("wrench_max_nm", json!(20), "wrench_max_nm", "wrench_too_small")]);
    let back = json!({"torque_nm": 30, "wrench_mm": 400, "extension_mm": 50, "angle_deg": 120});
    assert_eq!(notices("torque.extension", &back), ["setting_rises"]);
}

fn library() -> Value {
    json!({"states": [{"id": "s", "open_min": 1, "close_min": 1}],
        "choices": [{"key": "k", "values": ["a", "b"]}],
        "shared_ops": [{"id": "t", "min": 1, "when": "k:a"}],
        "jobs": [{"id": "x", "ops": [{"id": "o", "min": 1, "needs": ["s"]}], "parts": [{"role": "seal", "qty": 1}]},
            {"id": "y", "ops": [{"use": "t"}]}]})
}

#[test]
fn a_library_is_refused_under_its_own_name_whatever_is_wrong_inside() {
    let base = json!({"jobs": ["x"], "library": library()});
    asked("job.order", &base).expect("the base is answered");
    for (path, value, code) in [
        ("/colour", json!(1), "unknown_field"),
        ("/states/0/open_min", json!(-1), "wrong_type"),
        ("/states/0/open_min", json!(1.5), "wrong_type"),
        ("/states/0/needs", json!(["z"]), "dangling"),
        ("/jobs/0/ops/0/needs", json!(["!z"]), "dangling"),
        ("/jobs/0/ops/0/stage", json!("walk"), "no_such_word"),
        ("/jobs/0/ops/0/when", json!("k:c"), "dangling"),
        ("/jobs/1/ops/0/use", json!("z"), "dangling"),
        ("/jobs/1/ops/0/min", json!(1), "one_form_only"),
        ("/jobs/1/id", json!("x"), "same_id"),
        ("/choices/0/default", json!("c"), "dangling"),
        ("/jobs/0/parts/0/qty", Value::Null, "wrong_type"),
    ] {
        let mut given = base.clone();
        let (parent, key) = path.rsplit_once('/').expect("a path");
        let inside = given["library"].pointer_mut(parent).expect("is there");
        inside[key] = value;
        assert_eq!(asked("job.order", &given), Err(("library".to_owned(), code)), "{path}");
    }
}

#[test]
fn a_choice_without_default_is_asked_for_only_where_something_depends_on_it() {
    let given = |jobs: Value| json!({"jobs": jobs, "library": library()});
    assert!(asked("job.order", &given(json!(["x"]))).is_ok());
    assert_eq!(asked("job.order", &given(json!(["x", "y"]))), Err(("choices".to_owned(), "missing_choice")));
    let mut candidates = given(json!(["x"]));
    assert_eq!(notices("job.in_there", &candidates), ["undecided"]);
    candidates["candidates"] = json!(["y"]);
    assert_eq!(asked("job.in_there", &candidates), Err(("choices".to_owned(), "missing_choice")));
}

#[test]
fn what_is_said_beside_a_shopping_list_is_held_against_it() {
    let price = json!({"role": "seal", "low_minor": 100, "high_minor": 200, "currency": "EUR", "lead_d": 3});
    let base = json!({"jobs": ["x"], "kit": "full", "library": library(), "prices": [price], "today": "2024-02-27"});
    let answer = asked("job.shopping", &base).expect("answered");
    assert_eq!(answer["ready_date"], "2024-03-01");
    assert_eq!(answer["totals"]["EUR"], json!({"low_minor": 100, "high_minor": 200}));
    check(
        "job.shopping",
        &base,
        &[
            ("kit", json!("middling"), "kit", "no_such_word"),
            ("today", json!("2023-02-29"), "today", "no_such_date"),
            ("stock", json!({"seal": -1}), "stock", "negative"),
            ("stock", json!({"seal": 0.5}), "stock", "wrong_type"),
            (
                "prices",
                json!([{"role": "saddle", "low_minor": 1, "high_minor": 2, "currency": "EUR"}]),
                "prices",
                "unknown_role",
            ),
            (
                "prices",
                json!([{"role": "seal", "low_minor": 3, "high_minor": 2, "currency": "EUR"}]),
                "prices",
                "low_above_high",
            ),
            (
                "prices",
                json!([{"role": "seal", "low_minor": 1, "high_minor": 2, "currency": "eur"}]),
                "prices",
                "unknown_currency",
            ),
            ("prices", json!([{"role": "seal", "low_minor": 1, "high_minor": 2}]), "prices", "missing"),
            ("chances", json!([{"hold": "h", "low_pct": 1, "high_pct": 2}]), "chances", "unknown_hold"),
            ("chances", json!([{"hold": "h", "low_pct": -1, "high_pct": 2}]), "chances", "out_of_range"),
        ],
    );
}

#[test]
fn an_order_past_the_limit_is_good_but_not_called_proven() {
    let op = |job: usize, kit: &str| json!({"id": format!("{kit}{job}"), "min": 1, "kit": kit});
    let jobs: Vec<_> =
        (0..33).map(|job| json!({"id": format!("j{job}"), "ops": [op(job, "A"), op(job, "B")]})).collect();
    let ids: Vec<_> = jobs.iter().map(|job| job["id"].clone()).collect();
    let given = json!({"jobs": ids, "library": {"jobs": jobs}});
    let answer = ask("job.order", given.as_object().expect("an object"), &NoTracks).expect("answered");
    assert_eq!(answer.at("proven"), Some(&json!(false)));
    assert_eq!(answer.notices.first().map(|notice| notice.code), Some("not_proven"));
    assert_eq!(answer.get("kit_changes"), Some(2.0));
}

#[test]
fn a_proof_load_that_cannot_be_known_is_not_passed_over_in_silence() {
    let base = json!({"preload_n": 90_000, "nut_factor": 0.2, "diameter_mm": 7.3, "property_class": 8.8});
    assert_eq!(notices("torque.from_preload", &base), ["proof_not_known"]);
    let mut with = base.clone();
    with["thread_pitch_mm"] = json!(1.0);
    assert_eq!(notices("torque.from_preload", &with), ["above_proof"]);
    with["preload_n"] = json!(1000);
    assert!(notices("torque.from_preload", &with).is_empty());
}
