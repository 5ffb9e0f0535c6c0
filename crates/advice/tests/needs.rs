//! Worked examples of riders' needs, told through the views: the figure that a rider must be shown, and the verdict.
//!
//! The examples stand in `checks/needs/examples.json` with their sources; a test names the needs that it covers, and
//! each example that it reads must be met.

use std::path::Path;

use advice::slack::Read;
use advice::{Setup, Verdict, fit, gearing, slack};
use serde_json::Value;
use upkeep::bike::{self, Bike, Change};

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

/// The base case with the example's own fields laid over it; `null` takes a field off the sheet.
fn bike(given: &Value) -> Bike {
    let mut bike = Bike::from_toml(&root("data/bikes/alder-350.toml")).expect("the demo bike reads");
    let changes: Vec<Change> = given.as_object().into_iter().flatten().filter_map(change).collect();
    bike.change(&changes).expect("the example's fields are the sheet's");
    bike
}

fn change((name, value): (&String, &Value)) -> Option<Change> {
    let field = bike::field(name)?;
    if ["front_teeth", "rear_teeth", "links"].contains(&field.name) {
        return None;
    }
    let value = value.as_f64().map(bike::Value::Number);
    Some(Change { field: name.clone(), value, source: None })
}

fn setup(bike: &Bike, given: &Value) -> Setup {
    let fitted = Setup::fitted(bike).expect("a fitted setup");
    let count = |name: &str, fitted: u32| given[name].as_u64().and_then(|n| u32::try_from(n).ok()).unwrap_or(fitted);
    Setup {
        front_teeth: count("front_teeth", fitted.front_teeth),
        rear_teeth: count("rear_teeth", fitted.rear_teeth),
        links: count("links", fitted.links),
    }
}

fn meet(example: &Value, name: &str, got: f64) {
    let Some(want) = example["want"][name].as_f64() else { return };
    let tol = example["tol"][name].as_f64().unwrap_or(1e-9);
    assert!((got - want).abs() <= tol, "{} {name}: want {want}, got {got}", example["case"]);
}

fn meet_verdict(example: &Value, got: Verdict) {
    if let Some(want) = example["want"]["verdict"].as_str() {
        assert_eq!(got.code(), want, "{}", example["case"]);
    }
}

#[test]
fn need_1_a_stand_reading_says_what_is_left_in_line() {
    for example in examples(1).iter().filter(|example| example["given"]["slack_mm"].is_number()) {
        let bike = bike(&example["given"]);
        let read = Read { slack_mm: example["given"]["slack_mm"].as_f64(), ..Read::default() };
        let view = slack::view(&bike, setup(&bike, &example["given"]), read).expect("a view");
        meet_verdict(example, view.verdict);
        let fact =
            |key: &str| view.facts.iter().find(|fact| fact.key == key).and_then(|fact| fact.value).unwrap_or(f64::NAN);
        meet(example, "slack_taut_mm", fact("just_taut_mm"));
        meet(example, "surplus_tight_mm", view.left_surplus_mm.unwrap_or(f64::NAN));
        meet(example, "slack_line_mm", view.left_slack_mm.unwrap_or(f64::NAN));
    }
}

#[test]
fn need_5_a_pair_lands_in_the_slot_where_the_geometry_says() {
    for example in examples(5).iter().filter(|example| example["want"]["centre_mm"].is_number()) {
        let bike = bike(&example["given"]);
        let place = fit::view(&bike, setup(&bike, &example["given"])).expect("a view").place;
        meet_verdict(example, place.verdict);
        meet(example, "centre_mm", place.centre_mm);
        meet(example, "from_front_mm", place.from_front_mm);
        meet(example, "left_mm", place.left_mm);
        meet(example, "runs_out_seated_pct", place.runs_out_pct[0]);
        meet(example, "runs_out_ride_up_pct", place.runs_out_pct[1]);
    }
}

#[test]
fn need_5_118_links_take_45_to_51_rear_teeth() {
    for example in examples(5).iter().filter(|example| example["want"]["rear_teeth_min"].is_number()) {
        let bike = bike(&example["given"]);
        let slot = fit::Slot::of(&bike).expect("a slot");
        let fitted = setup(&bike, &example["given"]);
        let takes = |rear: &u32| {
            slot.place(fitted.pair(fitted.front_teeth, *rear)).is_ok_and(|place| place.verdict < Verdict::Unknown)
        };
        let taken: Vec<u32> = (36..60).filter(takes).collect();
        assert_eq!(taken.first().copied().map(u64::from), example["want"]["rear_teeth_min"].as_u64());
        assert_eq!(taken.last().copied().map(u64::from), example["want"]["rear_teeth_max"].as_u64());
    }
}

#[test]
fn need_10_the_links_to_order_are_even_and_a_longer_chain_is_cut() {
    for example in examples(10) {
        let bike = bike(&example["given"]);
        let slot = fit::Slot::of(&bike).expect("a slot");
        let asked = setup(&bike, &example["given"]);
        if example["want"]["refused"].is_string() {
            let gap = slot.place(asked).expect_err("an odd count is refused");
            assert_eq!(Some(gap.field.as_str()), example["want"]["refused"].as_str());
            continue;
        }
        if let Some(fits) = example["want"]["fits"].as_array() {
            let even = slot.even_links(asked).expect("counts");
            assert_eq!(
                even.iter().map(|n| u64::from(*n)).collect::<Vec<_>>(),
                fits.iter().filter_map(Value::as_u64).collect::<Vec<_>>()
            );
            let next = |links: u32| slot.place(asked.with_links(links)).expect("a place");
            meet(&example, "next_shorter_short_of_front_mm", -next(even[0] - 2).from_front_mm);
            meet(&example, "next_longer_past_rear_mm", -next(even[even.len() - 1] + 2).left_mm);
        } else {
            let place = slot.place(asked).expect("a place");
            meet_verdict(&example, place.verdict);
            meet(&example, "past_rear_mm", -place.left_mm);
            assert!(place.reasons[0].text.contains("can be cut"), "{}", place.reasons[0].text);
        }
    }
}

#[test]
fn need_19_shorter_and_taller_are_spelled_out_both_ways() {
    for example in examples(19) {
        let given = &example["given"];
        let teeth = |name: &str| u32::try_from(given[name].as_u64().unwrap_or(48)).expect("teeth");
        let from = Setup { front_teeth: teeth("front_teeth_before"), rear_teeth: teeth("rear_teeth"), links: 118 };
        let swap = gearing::swap(from, from.pair(teeth("front_teeth"), teeth("rear_teeth")), None).expect("a swap");
        meet(&example, "speed_pct", swap.speed_pct);
        meet(&example, "force_pct", swap.thrust_pct);
        assert!(swap.words.starts_with(example["want"]["word"].as_str().expect("a word")), "{}", swap.words);
        assert!(swap.words.contains("−7.1 % speed, +7.7 % force"), "{}", swap.words);
    }
}

#[test]
fn need_39_the_adjusters_go_in_turns_and_flats() {
    for example in examples(39)
        .iter()
        .filter(|example| example["given"]["slack_mm"].is_number() && example["given"]["slack_target_mm"].is_number())
    {
        let bike = bike(&example["given"]);
        let fitted = setup(&bike, &example["given"]);
        let number = |name: &str| example["given"][name].as_f64().expect("a number");
        let adjust =
            advice::adjust::adjust(&bike, fitted, number("slack_mm"), number("slack_target_mm")).expect("turns");
        meet(example, "axle_back_mm", adjust.shift_mm);
        meet(example, "turns", adjust.turns.abs());
        meet(example, "flats", adjust.flats.abs());
    }
}
