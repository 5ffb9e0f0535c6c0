//! Worked examples of riders' needs, told through the views: the figure that a rider must be shown, and the verdict.
//!
//! The examples stand in `checks/needs/examples.json` with their sources; a test names the needs that it covers, and
//! each example that it reads must be met.

use advice::shelf::Shelf;
use advice::slack::Read;
use advice::wish::{self, Wish};
use advice::{Setup, Verdict, fit, gearing, slack};
use serde_json::{Value, json};
use upkeep::bike::{self, Bike, Change};

mod examples;

use examples::{alder, examples};

/// The base case with the example's own fields laid over it; `null` takes a field off the sheet.
fn bike(given: &Value) -> Bike {
    let mut bike = alder();
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
fn need_16_the_pair_that_crawls_slowly_enough_and_fits() {
    for example in examples(16) {
        let given = &example["given"];
        let bike = bike(given);
        let fitted = Setup::fitted(&bike).expect("fitted");
        let teeth = |pair: &Value, at: usize| u32::try_from(pair[at].as_u64().unwrap_or(0)).expect("teeth");
        let setups: Vec<Setup> = given["pairs"]
            .as_array()
            .expect("pairs")
            .iter()
            .map(|pair| fitted.pair(teeth(pair, 0), teeth(pair, 1)))
            .collect();
        let crawl_kmh = given["speed_kmh"].as_f64().expect("a speed");
        let wish = Wish { crawl_kmh, top_kmh: None };
        let view = wish::among(&bike, wish, &Shelf::default(), &setups).expect("a view");
        let tol = example["tol"]["speed_kmh"].as_f64().expect("a tolerance");
        for (setup, want) in setups.iter().zip(example["want"]["speed_kmh"].as_array().expect("speeds")) {
            let tried = view.tried.iter().find(|tried| tried.setup == *setup).expect("it was tried");
            assert!((tried.crawl_kmh - want.as_f64().expect("a speed")).abs() <= tol, "{setup}: {}", tried.crawl_kmh);
        }
        let change_to = view.change_to.expect("a pair");
        assert_eq!(
            [u64::from(change_to.front_teeth), u64::from(change_to.rear_teeth)].map(Value::from).to_vec(),
            *example["want"]["change_to"].as_array().expect("a pair")
        );
        meet_verdict(&example, view.verdict);
    }
}

#[test]
fn need_20_one_front_tooth_in_rear_teeth_and_in_axle_place() {
    for example in examples(20) {
        let bike = bike(&example["given"]);
        let fitted = Setup::fitted(&bike).expect("fitted");
        let view = gearing::view(&bike, None, advice::ground::USUAL).expect("a view");
        let [fewer, more] = ["rear_for_one_fewer_front", "rear_for_one_more_front"]
            .map(|name| advice::words::number(example["want"][name].as_f64().expect("a number"), 2));
        let note = format!("one front tooth fewer is like {fewer} rear teeth more, one more like {more} fewer");
        assert!(view.notes.iter().any(|words| words.contains(&note)), "{:?}", view.notes);
        let slot = fit::Slot::of(&bike).expect("a slot");
        let centre = |setup: Setup| slot.place(setup).expect("a place").centre_mm;
        let now = centre(fitted);
        meet(&example, "axle_rear_plus_1_mm", centre(fitted.pair(14, 49)) - now);
        meet(&example, "axle_front_plus_1_mm", centre(fitted.pair(15, 48)) - now);
        meet(&example, "axle_front_minus_1_mm", centre(fitted.pair(13, 48)) - now);
        meet(&example, "axle_two_links_mm", centre(fitted.with_links(120)) - now);
    }
}

#[test]
fn need_21_of_two_near_pairs_the_one_that_fits_pulls_harder_and_bends_more() {
    for example in examples(21) {
        let bike = bike(&example["given"]);
        let fitted = Setup::fitted(&bike).expect("fitted");
        let slot = fit::Slot::of(&bike).expect("a slot");
        let (first, second) = (fitted.pair(13, 48), fitted.pair(14, 52));
        let fits = |setup: Setup| slot.place(setup).expect("a place").verdict < Verdict::Unknown;
        assert_eq!(json!([fits(first), fits(second)]), example["want"]["fits_118"]);
        meet(&example, "centre_first_mm", slot.place(first).expect("a place").centre_mm);
        // Two longer chains reach, the longer one with 0.2 mm left: the shorter is what it needs.
        let needs = slot.even_links(second).expect("counts");
        assert_eq!(needs.first().copied().map(u64::from), example["want"]["second_needs_links"].as_u64());
        meet(&example, "centre_second_mm", slot.place(second.with_links(needs[0])).expect("a place").centre_mm);
        let swap = gearing::swap(second, first, None).expect("a swap");
        // The second turns shorter than the first by this much: at the same rpm the first is faster.
        meet(&example, "first_to_second_pct", -100.0 * swap.speed_pct / (100.0 + swap.speed_pct));
        meet(&example, "pull_pct", swap.pull_pct);
        meet(&example, "bend_first_deg", swap.bend_deg[1]);
        meet(&example, "bend_second_deg", swap.bend_deg[0]);
        assert!(swap.chain_words().contains("pull +7.7 %"), "{}", swap.chain_words());
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

#[test]
fn the_neighbours_of_a_pair_are_one_tooth_in_front_and_one_and_two_behind_either_way() {
    let fitted = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };
    let swaps = advice::gearing::swaps(fitted, None).expect("possible");
    let mut pairs: Vec<(u32, u32)> = swaps.iter().map(|swap| (swap.setup.front_teeth, swap.setup.rear_teeth)).collect();
    pairs.sort_unstable();
    assert_eq!(pairs, [(13, 48), (14, 46), (14, 47), (14, 49), (14, 50), (15, 48)]);
}
