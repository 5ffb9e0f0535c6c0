//! Needs about riding, readings and tight spots.

use super::*;

#[test]
fn need_6_a_set_without_recheck_asks_for_care() {
    let want = example("n06-2");
    let bike = bike();
    let mut list = all_inside();
    list.retain(|(_, fact)| !matches!(fact, Fact::Check(check) if check.kind().name == "recheck"));
    let hours = want["given"]["hours_since_fitting_h"].as_f64().expect("hours");
    list.push(("2026-08-03T19:00", meter(100.0 + hours)));
    let view = ready::view(&record(&bike, list, Vec::new(), "2026-08-03T20:00"));
    assert_eq!(view.verdict.code(), want["want"]["verdict"]);
    assert!(reason(&view, "Recheck due").text.contains("2.0 h since"), "{:#?}", view.reasons);
}

#[test]
fn need_7_no_reading_since_the_wheel_was_out_is_unknown_and_all_fresh_is_ready() {
    let bike = bike();
    let fresh = ready::view(&record(&bike, all_inside(), Vec::new(), "2026-08-04T09:00"));
    assert_eq!(fresh.verdict.code(), example("n07-2")["want"]["verdict"], "{:#?}", fresh.reasons);
    let want = example("n07-1");
    let mut list = all_inside();
    list.push(("2026-08-04T10:00", work("rear-tyre", "done")));
    list.push(("2026-08-04T10:01", check("brake", "firm")));
    list.push(("2026-08-04T10:02", check("axle", "set")));
    let view = ready::view(&record(&bike, list, Vec::new(), "2026-08-04T11:00"));
    assert_eq!(view.verdict.code(), want["want"]["verdict"], "{:#?}", view.reasons);
    let clear = reason(&view, "No slack reading").clear.clone().expect("a way to clear it");
    assert_eq!(clear.act.to_lowercase(), want["want"]["clears"].as_str().expect("words"));
    assert_eq!(u64::from(clear.minutes_min), want["want"]["minutes_min"].as_u64().expect("minutes"));
}

#[test]
fn nothing_recorded_is_not_known_and_never_ready() {
    let bike = bike();
    let view = ready::view(&record(&bike, Vec::new(), Vec::new(), "2026-08-04T11:00"));
    assert_eq!(view.verdict, Verdict::Unknown);
    let thin = Bike::new("thin", "Thin", true).expect("a bike");
    let view = ready::view(&record(&thin, all_inside(), Vec::new(), "2026-08-04T09:00"));
    assert_eq!(view.verdict, Verdict::Unknown, "{:#?}", view.reasons);
}

#[test]
fn need_8_a_wheel_that_was_out_wants_its_brake_looked_at() {
    assert_eq!(example("n08-1")["want"]["names"], "brake check");
    assert!(ready::wanted_after("rear-tyre").iter().any(|(checks, _)| checks.contains(&"brake")));
    assert!(ready::wanted_after("gearbox-oil").is_empty());
    let bike = bike();
    let mut list = all_inside();
    list.push(("2026-08-04T10:00", work("rear-tyre", "done")));
    list.push(("2026-08-04T10:02", check("axle", "set")));
    list.push(("2026-08-04T10:05", even()));
    let view = ready::view(&record(&bike, list, Vec::new(), "2026-08-04T11:00"));
    assert_eq!(view.verdict, Verdict::Stop);
    assert!(reason(&view, "rear brake").text.contains("rear tyre"));
    let mut list = all_inside();
    list.push(("2026-08-04T10:00", work("brake-pads-rear", "done")));
    let pads = |list| ready::view(&record(&bike, list, Vec::new(), "2026-08-04T11:00"));
    assert_eq!(
        reason(&pads(list.clone()), "rear brake").verdict,
        Verdict::Stop,
        "new pads stand back until pumped out"
    );
    list.push(("2026-08-04T10:05", check("brake", "firm")));
    assert_eq!(pads(list).verdict, Verdict::Ready);
}

#[test]
fn need_9_the_worst_place_decides_within_reading_error() {
    let each = example("n09-1");
    let view = elongation::view(&alder(), &lengths(20, &list(&each["given"]["length_mm"]), 0.05)).expect("a view");
    for (got, want) in view.elongation_pct.iter().zip(list(&each["want"]["elongation_pct"])) {
        assert!((got - want).abs() < 0.005, "{got} {want}");
    }
    let want = example("n09-2");
    let given = &want["given"];
    let error = given["reading_error_mm"].as_f64().expect("an error");
    let view = elongation::view(&alder(), &lengths(20, &list(&given["length_mm"]), error)).expect("a view");
    near(&want, "worst_pct", view.worst_pct);
    near(&want, "error_pct", view.error_pct);
    assert_eq!(view.verdict.code(), want["want"]["verdict"]);
    assert!(view.reasons[0].text.contains("within reading error"));
    assert!(view.reasons[0].clear.as_ref().is_some_and(|clear| clear.act.contains("48 pitches")));
}

#[test]
fn need_11_a_miscount_is_told_and_never_repaired() {
    for case in ["n11-1", "n11-2"] {
        let want = example(case);
        let length = want["given"]["length_mm"].as_f64().expect("a length");
        let view = elongation::view(&alder(), &lengths(20, &[length], 0.05)).expect("a view");
        near(&want, "elongation_pct", view.worst_pct);
        assert_eq!(view.verdict, Verdict::Stop);
        let text = &view.places.rows[0][2].text;
        let pitches = want["want"]["looks_like_pitches"].as_u64().expect("pitches");
        let then = want["want"]["elongation_then_pct"].as_f64().expect("elongation");
        assert!(text.contains(&format!("looks like {pitches} pitches ({then:.2} %)")), "{text}");
    }
    let want = example("n11-3");
    let links = u32::try_from(want["given"]["links"].as_u64().expect("links")).expect("few");
    let fault = Part::new(Role::Chain, "chain".into(), Some(links), 0.0, None).expect_err("half a count");
    assert_eq!(Some(fault.field.as_str()), want["want"]["refused"].as_str());
}

#[test]
fn need_13_slack_read_before_the_axle_nut_does_not_count() {
    let want = example("n13-1");
    let time = |name: &str| format!("2026-08-04T{}", want["given"][name].as_str().expect("a time"));
    let bike = bike();
    let (slack_at, axle_at) = (time("slack_at"), time("axle_torque_at"));
    let mut list = all_inside();
    list.push((&slack_at, even()));
    list.push((&axle_at, check("axle", "set")));
    let view = ready::view(&record(&bike, list.clone(), Vec::new(), "2026-08-04T11:00"));
    assert_eq!(view.verdict.code(), want["want"]["verdict"], "{:#?}", view.reasons);
    list.push(("2026-08-04T10:20", even()));
    let view = ready::view(&record(&bike, list, Vec::new(), "2026-08-04T11:00"));
    assert_eq!(view.verdict, Verdict::Ready, "{:#?}", view.reasons);
}

#[test]
fn need_14_a_tight_spot_is_judged_at_the_axle_and_its_cause_named() {
    let (bike, setup) = (alder(), Setup { front_teeth: 14, rear_teeth: 48, links: 118 });
    for want in examples(14) {
        let given = &want["given"];
        if let Some(pairs) = given["pairs"].as_array() {
            for (pair, range) in pairs.iter().zip(list(&want["want"]["surplus_range_mm"])) {
                let view = slack::view(&bike, setup, &stand(&list(pair))).expect("a view");
                assert!((view.surplus_range_mm.expect("two places") - range).abs() < 0.005);
            }
            continue;
        }
        let step = given["step_links"].as_f64();
        let values = match given["slack_mm_min"].as_f64() {
            Some(least) => vec![least, given["slack_mm_max"].as_f64().expect("the most")],
            None => list(&given["slack_mm"]),
        };
        let reading = step.map_or_else(|| stand(&values), |step| quarter_turns(&values, step));
        let view = slack::view(&bike, setup, &reading).expect("a view");
        near(&want, "surplus_range_mm", view.surplus_range_mm.expect("places"));
        near(&want, "axle_equivalent_mm", view.axle_range_mm.expect("places"));
        assert_eq!(view.verdict.code(), want["want"]["verdict"], "{}", want["case"]);
        if let Some(cause) = want["want"]["cause"].as_str() {
            assert_eq!(view.cause.as_deref(), Some(cause), "{}", want["case"]);
            near(&want, "period_turns", view.period_turns.expect("a period"));
        }
    }
}

#[test]
fn need_15_slack_is_set_at_the_tightest_place_and_no_mean_is_used() {
    let want = example("n15-1");
    let (bike, setup) = (alder(), Setup { front_teeth: 14, rear_teeth: 48, links: 118 });
    let values = list(&want["given"]["slack_mm"]);
    let view = slack::view(&bike, setup, &quarter_turns(&values, 12.0)).expect("a view");
    assert_eq!(json!(view.tightest_at), want["want"]["set_at_readings"]);
    near(&want, "slack_mm", view.slack_min_mm);
    let mean = want["want"]["mean_mm"].as_f64().expect("a mean");
    let shown = serde_json::to_string(&view).expect("json");
    assert!(!shown.contains(&format!("{mean:.1}")), "the mean is shown: {shown}");
    let record = record(
        &bike,
        vec![("2026-08-04T10:00", Fact::Slack(quarter_turns(&values, 12.0)))],
        Vec::new(),
        "2026-08-04T11:00",
    );
    assert_eq!(ready::view(&record).slack_mm, Some(83.0));
}

#[test]
fn few_places_tell_more_the_older_the_chain_is_and_say_so() {
    let (bike, setup) = (alder(), Setup { front_teeth: 14, rear_teeth: 48, links: 118 });
    let one = slack::view(&bike, setup, &stand(&[85.0])).expect("a view");
    assert!(one.axle_range_mm.is_none() && one.facts[0].certainty.contains("the older the chain"));
    let twelve = slack::view(&bike, setup, &stand(&[85.0; 12])).expect("a view");
    assert!(!twelve.facts[0].certainty.contains("few places"));
}

#[test]
fn need_30_a_new_meter_carries_on_and_one_that_goes_back_is_refused() {
    let want = example("n30-1");
    let bike = bike();
    let swap = Fact::Meter(Meter::swap(213.8, 0.0).expect("hours"));
    let list = vec![("2025-12-13T18:00", meter(213.8)), ("2025-12-13T18:10", swap), ("2025-12-20T18:00", meter(3.1))];
    let total = record(&bike, list, Vec::new(), "2025-12-21T09:00").hours().expect("hours").expect("known");
    near(&want, "total_h", total);
    let back = vec![("2025-12-20T18:00", meter(3.1)), ("2025-12-21T18:00", meter(2.0))];
    let back = record(&bike, back, Vec::new(), "2025-12-22T09:00");
    let gap = back.hours().expect_err("it went back");
    assert_eq!(Some(gap.field.as_str()), example("n30-2")["want"]["refused"].as_str());
    assert!(gap.text.contains("1.1"), "{}", gap.text);
    assert_eq!(ready::view(&back).verdict, Verdict::Unknown);
}

#[test]
fn need_31_oil_that_runs_out_within_the_ride_is_due_during_it() {
    let want = example("n31-1");
    let given = |name: &str| want["given"][name].as_f64().expect("a number");
    let mut bike = bike();
    set(&mut bike, "oil_interval_h", Some(bike::Value::Number(given("interval_h"))));
    let next = Planned::new("Saturday".into(), false, Some(given("next_ride_h"))).expect("a plan");
    let list = |next: Planned| {
        vec![
            ("2026-08-01T09:00", meter(given("done_h"))),
            ("2026-08-01T09:00", work("gearbox-oil", "done")),
            ("2026-08-20T09:00", meter(given("now_h"))),
            ("2026-08-22T09:00", Fact::Planned(next)),
        ]
    };
    let due = due::all(&record(&bike, list(next), Vec::new(), "2026-08-21T09:00")).expect("due");
    assert!(due[0].when.contains(want["want"]["due"].as_str().expect("words")), "{due:?}");
    assert!(due[0].when.contains("2.6 h left"), "{due:?}");
    assert_eq!(due[0].reason.as_ref().map(|reason| reason.verdict), Some(Verdict::Care));
    let short = Planned::new("round the hill".into(), false, Some(2.0)).expect("a plan");
    let due = due::all(&record(&bike, list(short), Vec::new(), "2026-08-21T09:00")).expect("due");
    assert!(due[0].reason.is_none(), "{due:?}");
    let due = due::all(&record(&bike, Vec::new(), Vec::new(), "2026-08-21T09:00")).expect("due");
    assert_eq!(due[0].reason.as_ref().map(|reason| reason.verdict), Some(Verdict::Unknown));
}

#[test]
fn need_32_what_was_odd_opens_an_inspection_until_it_is_looked_at() {
    let want = example("n32-1");
    let bike = bike();
    let odd =
        Ride { odd: Some(want["given"]["odd"].as_str().expect("a word").to_owned()), ..ride("2026-08-05T17:00", 2.75) };
    let mut list = all_inside();
    let view = ready::view(&record(&bike, list.clone(), vec![odd.clone()], "2026-08-05T20:00"));
    assert_eq!(view.verdict, Verdict::Care, "{:#?}", view.reasons);
    assert!(reason(&view, "clunk").clear.as_ref().is_some_and(|clear| clear.act.starts_with("Inspect")));
    list.push(("2026-08-06T10:00", check("inspection", "nothing-found")));
    let view = ready::view(&record(&bike, list, vec![odd], "2026-08-06T20:00"));
    assert_eq!(view.verdict, Verdict::Ready, "{:#?}", view.reasons);
}

#[test]
fn need_35_hours_left_are_a_range_from_the_log_or_not_known() {
    for want in examples(35) {
        let given = &want["given"];
        let u_pct = given["u_pct"].as_f64().unwrap_or(0.06);
        let points: Vec<Point> = list(&given["hours_h"])
            .into_iter()
            .zip(list(&given["elongation_pct"]))
            .map(|(hours_h, elongation_pct)| Point { hours_h, elongation_pct, u_pct })
            .collect();
        let view = of_points(&alder(), points).expect("a forecast");
        if let Some(verdict) = want["want"]["verdict"].as_str() {
            assert_eq!(view.verdict.code(), verdict);
            continue;
        }
        assert_eq!(view.verdict, Verdict::Ready);
        // The posterior rate is the prior's and the line's between them; far less than its own spread from the line.
        let slope = want["want"]["slope_pct_per_h"].as_f64().expect("a slope");
        assert!((view.rate_pct_per_h - slope).abs() < view.rate_sd_pct_per_h, "{slope} {}", view.rate_pct_per_h);
        if want["want"]["left_q50_h"].is_number() {
            let [low, middle, high] = view.left_h.map(|left| left.expect("bounded"));
            near(&want, "left_q05_h", low);
            near(&want, "left_q50_h", middle);
            near(&want, "left_q95_h", high);
        }
    }
}
