//! Needs about hours, what is due, forecasts and the season.

use super::*;

#[test]
fn need_36_no_rate_is_claimed_below_eight_hours_of_a_ground() {
    let want = example("n36-1");
    let bike = bike();
    let on = |id, when: &str, ground: &str, hours_h| Ride { id, ground: Some(ground.into()), ..ride(when, hours_h) };
    let rides = vec![
        on(
            1,
            "2026-05-03T12:00",
            want["given"]["ground"].as_str().expect("a ground"),
            want["given"]["hours_h"].as_f64().expect("hours"),
        ),
        on(2, "2026-05-10T12:00", "loam", 20.0),
    ];
    let chain = Fact::Part(Part::new(Role::Chain, "B".into(), Some(118), 0.0, None).expect("a chain"));
    let facts = vec![("2026-05-01T10:00", chain), ("2026-05-01T11:00", sound()), ("2026-05-11T10:00", sound())];
    let record = record(&bike, facts, rides, "2026-05-12T10:00");
    let (costs, _) = forecast::grounds(&record).expect("rates");
    let claimed = |ground: &str| costs.iter().find(|cost| cost.ground == ground).expect("the ground").claimed;
    assert_eq!(claimed("sand"), want["want"]["claim"]);
    assert!(claimed("loam"));
    let table = forecast::ground_table(&costs);
    let row = table.rows.iter().find(|row| row[0].text == "sand").expect("a row");
    assert!(row[2].text.contains("too few hours (8 needed)"), "{row:?}");
}

#[test]
fn need_37_a_limit_that_nobody_gave_is_assumed_and_says_so() {
    let want = example("n37-1");
    let mut bike = alder();
    assert!(!Limit::of(&bike).assumed);
    set(&mut bike, "limit_pct", None);
    let limit = Limit::of(&bike);
    near(&want, "limit_pct", limit.limit_pct);
    assert!(limit.assumed && limit.whose.contains("assumed") && limit.whose.contains("1, 1.5, 2 or 3 %"));
    set(&mut bike, "sealed", Some(bike::Value::Flag(false)));
    assert!((Limit::of(&bike).limit_pct - 2.0).abs() < 1e-12);
}

#[test]
fn need_38_a_new_set_is_looked_at_after_the_first_hour_and_the_next_ride() {
    let want = example("n38-1");
    let bike = bike();
    let fitted = want["given"]["fitted_h"].as_f64().expect("hours");
    let list = vec![("2026-08-01T09:00", meter(fitted)), ("2026-08-01T10:00", work("final-drive-set", "done"))];
    let due = due::all(&record(&bike, list, Vec::new(), "2026-08-01T11:00")).expect("due");
    assert_eq!(json!(due.iter().map(|due| due.when.as_str()).collect::<Vec<_>>()), want["want"]["due"]);
    assert!(due.iter().all(|due| due.reason.is_none()));
}

#[test]
fn need_43_the_last_day_to_order_is_named() {
    let want = example("n43-1");
    let need = want["given"]["need"].as_str().expect("a day").parse().expect("a day");
    let lead = u16::try_from(want["given"]["lead_d"].as_u64().expect("days")).expect("few");
    assert_eq!(
        upkeep::due::order_by(need, lead).map(|day| day.to_string()).as_deref(),
        want["want"]["order_by"].as_str()
    );
}

#[test]
fn need_46_a_season_has_its_money_per_hour_and_names_what_is_missing() {
    let want = example("n46-1");
    let hours = want["given"]["hours_h"].as_f64().expect("hours");
    assert!((want["given"]["price"].as_f64().expect("money") - 412.30).abs() < 1e-9);
    let bike = bike();
    let part = |name: &str, price| Fact::Part(Part::new(Role::Other, name.into(), None, 0.0, price).expect("a part"));
    let list = vec![
        ("2025-09-01T10:00", meter(100.0)),
        ("2026-01-10T10:00", part("set", Some((39_930, "EUR".into())))),
        ("2026-02-10T10:00", part("oil", Some((1300, "EUR".into())))),
        ("2026-08-01T10:00", meter(100.0 + hours)),
    ];
    let span = |list| {
        let record = record(&bike, list, Vec::new(), "2026-09-01T10:00");
        season::view(&record, at("2025-10-01T00:00").date(), at("2026-08-31T00:00").date()).expect("a season")
    };
    let view = span(list.clone());
    let per_hour = view.facts.iter().find(|fact| fact.key == "cost_per_h").and_then(|fact| fact.value).expect("money");
    near(&want, "per_hour", per_hour);
    assert!(!view.at_least);
    let mut more = list;
    more.push(("2026-03-01T10:00", part("guide", None)));
    let view = span(more);
    assert!(view.at_least && view.gaps[0].contains("no price"), "{:?}", view.gaps);
    assert!(view.facts.iter().any(|fact| fact.text.starts_with("at least")));
}

#[test]
fn need_53_nothing_new_the_night_before_an_event() {
    let want = example("n53-1");
    let (event_at, fitted) =
        (want["given"]["event"].as_str().expect("a time"), want["given"]["fitted"].as_str().expect("a day"));
    let bike = bike();
    let event = Fact::Planned(Planned::new("Three Cairns Enduro".into(), true, None).expect("an event"));
    let early: Vec<(String, Fact)> = all_inside().into_iter().map(|(when, fact)| (when.to_owned(), fact)).collect();
    let mut list: Vec<(String, Fact)> = early;
    let job = [
        ("09:00", work("chain-cut-join", "done")),
        ("09:01", check("joint", "closed-end-leads")),
        ("09:02", check("axle", "set")),
        ("09:03", check("brake", "firm")),
        ("09:10", even()),
    ];
    list.extend(job.into_iter().map(|(time, fact)| (format!("{fitted}T{time}"), fact)));
    list.push((event_at.to_owned(), event));
    let borrowed: Vec<(&str, Fact)> = list.iter().map(|(when, fact)| (when.as_str(), fact.clone())).collect();
    let now = format!("{fitted}T20:00");
    let view = ready::view(&record(&bike, borrowed.clone(), Vec::new(), &now));
    assert_eq!(view.verdict.code(), want["want"]["verdict"], "{:#?}", view.reasons);
    assert!(reason(&view, "No shakedown").clear.as_ref().is_some_and(|clear| clear.act.contains("20 min")));
    let ridden = vec![ride(&format!("{fitted}T17:00"), 0.4)];
    let view = ready::view(&record(&bike, borrowed, ridden, &now));
    assert!(view.reasons.iter().all(|reason| !reason.text.contains("No shakedown")), "{:#?}", view.reasons);
}

#[test]
fn need_55_a_chain_does_not_get_shorter() {
    let want = example("n55-1");
    assert_eq!((&want["want"]["flagged"], &want["want"]["kept"]), (&json!(true), &json!(true)));
    let values = list(&want["given"]["elongation_pct"]);
    let error_mm = want["given"]["error_pct"].as_f64().expect("an error") / 100.0 * 317.5;
    let reading = |pct: f64| lengths(20, &[317.5 * (1.0 + pct / 100.0)], error_mm);
    let views: Vec<_> = values.iter().map(|pct| elongation::view(&alder(), &reading(*pct)).expect("a view")).collect();
    let flagged = fell(&views[0], &views[1]).expect("it is flagged");
    assert!(flagged.text.contains("Both are kept") && flagged.text.contains("lower than last time"));
    assert!(fell(&views[1], &views[0]).is_none());
    let bike = bike();
    let list = vec![
        ("2026-08-01T10:00", Fact::Elongation(reading(values[0]))),
        ("2026-08-02T10:00", Fact::Elongation(reading(values[1]))),
    ];
    let record = record(&bike, list, Vec::new(), "2026-08-02T11:00");
    assert_eq!(record.log.entries().len(), 2);
    reason(&ready::view(&record), "lower than last time");
}

#[test]
fn a_miscounted_reading_is_no_measure_of_the_next_one() {
    // 318 mm given over 19 pitches are 20 of a new chain: 5.4 % longer than new, and nobody believes it.
    let miscounted = elongation::view(&alder(), &lengths(19, &[318.0], 0.5)).expect("a view");
    let right = elongation::view(&alder(), &lengths(20, &[319.8], 0.5)).expect("a view");
    assert!(miscounted.bad && !right.bad && miscounted.worst_pct > right.worst_pct);
    assert!(fell(&miscounted, &right).is_none() && fell(&right, &miscounted).is_none());
}

#[test]
fn the_look_after_the_first_hour_says_by_how_much_it_is_late() {
    let bike = bike();
    let list = vec![("2026-08-01T09:00", meter(100.0)), ("2026-08-01T10:00", work("final-drive-set", "done"))];
    let due = |rides| {
        let record = record(&bike, list.clone(), rides, "2026-08-03T10:00");
        let view = ready::view(&record);
        let looks = view.due.rows.iter().filter(|row| row[0].text.contains("lack"));
        looks.map(|row| row[1].text.clone()).collect::<Vec<_>>()
    };
    assert_eq!(due(Vec::new()), ["101.0 h", "after next ride"]);
    assert_eq!(due(vec![ride("2026-08-02T17:00", 3.5)]), ["overdue by 2.5 h", "now"]);
}

#[test]
fn what_must_stop_a_ride_stops_it() {
    let bike = bike();
    let with = |more: Vec<(&'static str, Fact)>| {
        let mut list = all_inside();
        list.extend(more);
        ready::view(&record(&bike, list, Vec::new(), "2026-08-05T09:00"))
    };
    for (more, words) in [
        (vec![("2026-08-04T10:00", Fact::Slack(stand(&[70.0])))], "below the sheet's stop figure"),
        (vec![("2026-08-04T10:00", Fact::Slack(stand(&[0.0])))], "No slack at all"),
        (vec![("2026-08-04T10:00", Fact::Slack(stand(&[40.0, 0.0])))], "No slack at all"),
        (vec![("2026-08-04T10:00", Fact::Slack(stand(&[84.0, 98.0])))], "Tight spot"),
        (vec![("2026-08-04T10:00", Fact::Elongation(lengths(40, &[643.0, 643.1, 643.0], 0.05)))], "Chain worn"),
        (vec![("2026-08-04T10:00", Fact::Elongation(lengths(20, &[301.9], 0.05)))], "cannot be right"),
        (vec![("2026-08-04T10:00", check("joint", "open-end-leads"))], "open-end-leads"),
        (vec![("2026-08-04T10:00", check("bearings", "play-felt"))], "play-felt"),
        (vec![("2026-08-04T10:00", check("splines", "worn"))], "splines"),
        (vec![("2026-08-04T10:00", work("final-drive-set", "begun"))], "is open"),
    ] {
        let view = with(more);
        assert_eq!((view.verdict, reason(&view, words).verdict), (Verdict::Stop, Verdict::Stop), "{words}");
    }
    let view = with(vec![("2026-08-04T10:00", Fact::Axle(AxleReading::new(618.5, 618.5).expect("possible")))]);
    assert_eq!(reason(&view, "from the rear stop").verdict, Verdict::Care);
    let view = with(vec![(
        "2026-08-04T10:00",
        Fact::Slack(SlackReading::new(vec![35.0], None, 0.5, SlackState::Stand, SlackKind::Gap).expect("possible")),
    )]);
    assert_eq!(view.verdict, Verdict::Unknown);
    let view = with(vec![("2026-08-04T20:00", meter(125.0))]);
    assert_eq!((view.verdict, reason(&view, "h old").verdict), (Verdict::Unknown, Verdict::Unknown));
}

#[test]
fn a_reason_to_ride_against_a_stop_stays_and_changes_no_verdict() {
    let bike = bike();
    let mut list = all_inside();
    list.push(("2026-08-04T10:00", check("bearings", "play-felt")));
    let stopped = ready::view(&record(&bike, list.clone(), Vec::new(), "2026-08-05T09:00"));
    let waiver = Waiver::new("300 m to the van".into(), stopped.stops()).expect("a reason");
    list.push(("2026-08-05T09:01", Fact::Waiver(waiver)));
    let view = ready::view(&record(&bike, list, Vec::new(), "2026-08-05T10:00"));
    assert_eq!(view.verdict, Verdict::Stop);
    assert!(view.waivers[0].contains("300 m to the van"));
}

#[test]
fn the_whole_answer_takes_the_recorded_slack_where_none_is_typed() {
    let bike = bike();
    let whole = |list, slack_mm| {
        let read = advice::slack::Read { slack_mm, ..Default::default() };
        let fitted = Setup::fitted(&bike).expect("a setup");
        let record = record(&bike, list, Vec::new(), "2026-08-04T09:00");
        decision::with_record(&record, Some(fitted), None, advice::ground::USUAL, read).expect("an answer")
    };
    let recorded = whole(all_inside(), None);
    assert_eq!(recorded.verdict, Verdict::Ready, "{:#?}", recorded.reasons);
    assert_eq!(recorded.record.as_ref().and_then(|record| record.slack_mm), Some(85.0));
    assert!(recorded.reasons.iter().any(|reason| reason.text.contains("h since") || reason.text.contains("yesterday")));
    assert_eq!(whole(all_inside(), Some(70.0)).verdict, Verdict::Stop);
    assert_eq!(whole(Vec::new(), None).verdict, Verdict::Unknown);
    let texts: Vec<&str> = recorded.reasons.iter().map(|reason| reason.text.as_str()).collect();
    let mut once = texts.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), texts.len(), "said twice: {texts:#?}");
}

#[test]
fn a_set_worn_together_is_changed_together_even_when_one_ratio_is_wanted() {
    let set = |chain: u32, front: u32, rear: u32| {
        let given = json!({
            "chain_level": chain, "front_level": front, "rear_level": rear,
            "chain_life_h": 70.0, "front_life_h": 70.0, "rear_life_h": 80.0,
            "chain_price_minor": 9200, "front_price_minor": 1900, "rear_price_minor": 4800,
            "labour_minor": 6000, "trail_minor": 20000, "currency": "EUR", "change_anyway": ["rear"],
        });
        let answer = ask::ask("life.set_policy", given.as_object().expect("an object")).expect("a policy");
        answer
            .at("by_coupling")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .map(|one| one["choice"]["best"].as_str().expect("a choice").to_owned())
            .collect::<Vec<_>>()
    };
    // Some fifty of seventy hours are level 5 of 7.
    for best in set(5, 5, 5) {
        assert_eq!(best, "new_new_new");
    }
    // A chain and front nearly new stay.
    for best in set(0, 0, 4) {
        assert_eq!(best, "keep_keep_new");
    }
}

#[test]
fn a_wheel_off_straight_by_more_than_allowed_asks_for_care_and_one_inside_for_nothing() {
    let bike = bike();
    let with = |left_mm: f64, right_mm: f64| {
        let mut list = all_inside();
        list.push(("2026-08-03T18:40", Fact::Axle(AxleReading::new(left_mm, right_mm).expect("possible"))));
        ready::view(&record(&bike, list, Vec::new(), "2026-08-04T09:00"))
    };
    let straight = with(612.0, 612.0);
    assert!(straight.reasons.iter().all(|reason| !reason.text.contains("off straight")), "{:?}", straight.reasons);
    let view = with(612.0, 618.0);
    assert_eq!(reason(&view, "off straight").verdict, Verdict::Care);
    assert!(reason(&view, "off straight").text.contains("differ by 6"), "{:?}", view.reasons);
}

#[test]
fn the_season_names_what_stands_against_riding_next() {
    let bike = bike();
    let mut list = all_inside();
    list.push(("2026-08-03T18:40", Fact::Axle(AxleReading::new(618.5, 624.5).expect("possible"))));
    let record = record(&bike, list, Vec::new(), "2026-08-04T09:00");
    let view = season::view(&record, at("2026-01-01T00:00").date(), at("2026-08-31T00:00").date()).expect("a season");
    for against in ready::view(&record).reasons.iter().filter(|reason| reason.verdict != Verdict::Ready) {
        assert!(
            view.next.iter().any(|line| line.starts_with(&against.text)),
            "{} not in {:?}",
            against.text,
            view.next
        );
    }
    assert!(view.next.iter().any(|line| line.contains("off straight")), "{:?}", view.next);
}

#[test]
fn the_first_day_of_a_used_bike_has_its_hours_left_from_the_least_to_the_most() {
    let bike = bike();
    let list = vec![("2026-08-01T09:00", meter(100.0)), ("2026-08-03T18:30", sound())];
    let record = record(&bike, list, Vec::new(), "2026-08-04T09:00");
    let view = advice::record::first_day::view(&record, 20.0, 60.0).expect("an answer");
    let [low, middle, high] = view.left_h.map(|hours| hours.expect("a bound"));
    assert!(0.0 < low && low < middle && middle < high, "{:?}", view.left_h);
    let more = advice::record::first_day::view(&record, 40.0, 120.0).expect("an answer");
    // The same stretch in more hours: it wears more slowly, so more of them are left, whichever of the three is asked.
    let fewer = view.left_h.iter().flatten();
    assert!(
        fewer.zip(more.left_h.iter().flatten()).all(|(fewer, more)| fewer < more),
        "{:?} {:?}",
        view.left_h,
        more.left_h
    );
}

#[test]
fn hours_of_a_chain_fitted_used_begin_with_those_it_had() {
    let bike = bike();
    let chain = Part::new(Role::Chain, "used".into(), Some(118), 10.0, None).expect("a part");
    let list = vec![
        ("2026-08-01T09:00", meter(100.0)),
        ("2026-08-01T10:00", Fact::Part(chain)),
        ("2026-08-03T18:00", meter(105.0)),
        ("2026-08-03T18:30", sound()),
    ];
    let points = forecast::points(&record(&bike, list, Vec::new(), "2026-08-04T09:00")).expect("points");
    assert_eq!(points.len(), 1);
    assert!((points[0].hours_h - 15.0).abs() < 1e-9, "{points:?}");
}

#[test]
fn a_season_says_which_rides_name_neither_hours_nor_ground() {
    let bike = bike();
    let rides = vec![ride("2026-03-01T10:00", 2.0), Ride { hours_h: None, id: 2, ..ride("2026-03-02T10:00", 1.0) }];
    let record = record(&bike, all_inside(), rides, "2026-08-04T09:00");
    let view = season::view(&record, at("2026-01-01T00:00").date(), at("2026-08-31T00:00").date()).expect("a season");
    let says = |words: &str| view.gaps.iter().any(|gap| gap.contains(words));
    assert!(says("1 ride says nothing about hours (2026-03-02)"), "{:?}", view.gaps);
    assert!(says("2 rides without ground") && says("2.0 h are noted with 1 ride"), "{:?}", view.gaps);
}

#[test]
fn after_a_ride_the_chain_is_measured_where_its_last_reading_is_too_many_hours_old() {
    let bike = bike();
    let after = |hours: f64| {
        let mut list = all_inside();
        list.push(("2026-08-20T18:00", meter(101.5 + hours)));
        let ride = ride("2026-08-20T10:00", hours);
        let record = record(&bike, list, vec![ride.clone()], "2026-08-20T19:00");
        advice::record::after_ride::view(&record, &ride).expect("a view")
    };
    assert!(!after(1.0).measure && after(1.0).measure_words.is_empty());
    let many = after(30.0);
    assert!(many.measure && many.measure_words.starts_with("30.0 h since"), "{}", many.measure_words);
}

#[test]
fn every_fact_is_told_with_its_own_numbers() {
    use advice::record::history::words;
    assert_eq!(words(&meter(101.5)), "meter 101.5 h");
    assert!(words(&sound()).contains("318.4"), "{}", words(&sound()));
    let axle = Fact::Axle(AxleReading::new(612.0, 613.5).expect("possible"));
    assert!(words(&axle).contains("612") && words(&axle).contains("613.5"), "{}", words(&axle));
    assert!(words(&Fact::Slack(stand(&[31.0]))).contains("31"), "{}", words(&Fact::Slack(stand(&[31.0]))));
}

#[test]
fn money_of_a_season_says_on_which_days_its_prices_were_entered() {
    let bike = bike();
    let part = |name: &str| {
        Fact::Part(Part::new(Role::Other, name.into(), None, 0.0, Some((1300, "EUR".into()))).expect("a part"))
    };
    let entered = |second: &str| {
        let list = vec![("2026-01-10T10:00", part("set")), (second, part("oil"))];
        let record = record(&bike, list, Vec::new(), "2026-09-01T10:00");
        let view = season::view(&record, at("2025-10-01T00:00").date(), at("2026-08-31T00:00").date());
        let facts = view.expect("a season").facts;
        facts.iter().find(|fact| fact.key == "cost").expect("money").entered.clone()
    };
    assert_eq!(entered("2026-01-10T18:00"), "2026-01-10");
    assert_eq!(entered("2026-02-01T10:00"), "2026-01-10 to 2026-02-01");
}
