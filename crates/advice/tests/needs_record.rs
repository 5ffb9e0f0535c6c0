//! Worked examples of riders' needs about the record: what a rider must be told from readings, hours and work.
//!
//! The examples stand in `checks/needs/examples.json` with their sources; a test names the need that it covers.

use std::path::Path;

use advice::record::elongation::{self, Limit, fell};
use advice::record::forecast::{Point, of_points};
use advice::record::{Record, due, forecast, season, slack};
use advice::{Setup, Verdict, ask, decision, ready};
use serde_json::{Value, json};
use upkeep::bike::{self, Bike, Change};
use upkeep::record::{
    AxleReading, Check, ElongationReading, Entry, Fact, Log, Meter, Part, Planned, Ride, Role, SlackKind, SlackReading,
    SlackState, Waiver, Work,
};

fn root(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(file);
    std::fs::read_to_string(&path).expect("the file is there")
}

fn examples(need: u64) -> Vec<Value> {
    let all: Vec<Value> = serde_json::from_str(&root("checks/needs/examples.json")).expect("a list");
    let found: Vec<Value> = all.into_iter().filter(|example| example["need"] == need).collect();
    assert!(!found.is_empty(), "no example of need {need}");
    found
}

fn example(case: &str) -> Value {
    let all: Vec<Value> = serde_json::from_str(&root("checks/needs/examples.json")).expect("a list");
    all.into_iter().find(|example| example["case"] == case).expect("the example is there")
}

fn alder() -> Bike {
    Bike::from_toml(&root("data/bikes/alder-350.toml")).expect("the demo bike reads")
}

/// The demo bike without an oil interval, so that only what a test records speaks.
fn bike() -> Bike {
    let mut bike = alder();
    if bike.number("oil_interval_h").is_some() {
        set(&mut bike, "oil_interval_h", None);
    }
    bike
}

fn set(bike: &mut Bike, field: &str, value: Option<bike::Value>) {
    bike.change(&[Change { field: field.to_owned(), value, source: None }]).expect("the sheet takes it");
}

fn at(text: &str) -> jiff::civil::DateTime {
    text.parse().expect("a time")
}

fn facts(list: Vec<(&str, Fact)>) -> Vec<Entry> {
    let entry = |(id, (when, fact))| Entry { id, change: id, at: at(when), corrects: None, note: None, fact };
    (1..).zip(list).map(entry).collect()
}

fn record<'a>(bike: &'a Bike, list: Vec<(&str, Fact)>, rides: Vec<Ride>, now: &str) -> Record<'a> {
    Record::new(bike, &Log::new(facts(list), rides), at(now))
}

fn ride(when: &str, hours_h: f64) -> Ride {
    Ride { id: 1, name: "Hask Forest".into(), at: at(when), hours_h: Some(hours_h), ground: None, wet: None, odd: None }
}

fn stand(list: &[f64]) -> SlackReading {
    SlackReading::new(list.to_vec(), None, 0.5, SlackState::Stand, SlackKind::Free).expect("possible")
}

fn quarter_turns(list: &[f64], step: f64) -> SlackReading {
    let places = (0_u32..).map(|n| step * f64::from(n)).take(list.len()).collect();
    SlackReading::new(list.to_vec(), Some(places), 0.5, SlackState::Stand, SlackKind::Free).expect("possible")
}

fn lengths(pitches: u32, list: &[f64], error_mm: f64) -> ElongationReading {
    let places = list.iter().map(|length| vec![*length]).collect();
    ElongationReading::new(pitches, places, error_mm, 0.1).expect("possible")
}

fn meter(hours: f64) -> Fact {
    Fact::Meter(Meter::read(hours).expect("hours"))
}

fn work(job: &str, state: &str) -> Fact {
    Fact::Work(Work::new(job, state).expect("a job"))
}

fn check(name: &str, answer: &str) -> Fact {
    let torque = matches!((name, answer), ("axle" | "rear-fasteners" | "front-retainer", "set")).then_some(50.0);
    Fact::Check(Check::new(name, answer, torque).expect("a check"))
}

fn even() -> Fact {
    Fact::Slack(stand(&[85.0, 85.5, 86.0, 85.5]))
}

fn sound() -> Fact {
    Fact::Elongation(lengths(20, &[318.4, 318.5, 318.4], 0.05))
}

/// Set fitted and everything confirmed, ridden in, read again: nothing stands against riding.
fn all_inside() -> Vec<(&'static str, Fact)> {
    vec![
        ("2026-08-01T09:00", meter(100.0)),
        ("2026-08-01T10:00", work("final-drive-set", "done")),
        ("2026-08-01T10:00", check("brake", "firm")),
        ("2026-08-01T10:00", check("joint", "closed-end-leads")),
        ("2026-08-01T10:00", check("axle", "set")),
        ("2026-08-01T10:00", check("rear-fasteners", "set")),
        ("2026-08-01T10:00", check("front-retainer", "set")),
        ("2026-08-03T18:00", meter(101.5)),
        ("2026-08-03T18:10", check("recheck", "done")),
        ("2026-08-03T18:20", even()),
        ("2026-08-03T18:30", sound()),
    ]
}

fn list(value: &Value) -> Vec<f64> {
    value.as_array().into_iter().flatten().filter_map(Value::as_f64).collect()
}

fn near(example: &Value, name: &str, got: f64) {
    let want = example["want"][name].as_f64().expect("the example wants it");
    let tol = example["tol"][name].as_f64().unwrap_or(1e-9);
    assert!((got - want).abs() <= tol, "{} {name}: want {want}, got {got}", example["case"]);
}

fn reason<'v>(view: &'v ready::ReadyView, words: &str) -> &'v advice::Reason {
    view.reasons.iter().find(|reason| reason.text.contains(words)).expect(words)
}

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
    assert!(reason(&view, "rear brake").text.contains("rear-tyre"));
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
fn what_must_stop_a_ride_stops_it() {
    let bike = bike();
    let with = |more: Vec<(&'static str, Fact)>| {
        let mut list = all_inside();
        list.extend(more);
        ready::view(&record(&bike, list, Vec::new(), "2026-08-05T09:00"))
    };
    for (more, words) in [
        (vec![("2026-08-04T10:00", Fact::Slack(stand(&[70.0])))], "below the sheet's stop figure"),
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
