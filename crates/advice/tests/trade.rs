//! Facts of the trade (common practice, no source), held against the geometry, and where each is wrong.

use std::path::Path;

use advice::fit::{Miss, Slot};
use advice::{Setup, Verdict};
use upkeep::bike::{Bike, Change, Value};

fn demo(file: &str) -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes").join(file);
    Bike::from_toml(&std::fs::read_to_string(path).expect("the file is there")).expect("it reads")
}

/// A further invented geometry: longer arm, higher countershaft, no slider, smaller pitch.
fn further() -> Bike {
    let mut bike = demo("alder-350.toml");
    let numbers = [
        ("pitch_mm", 12.7),
        ("countershaft_x_mm", 60.0),
        ("countershaft_z_mm", 12.0),
        ("arm_mm", 520.0),
        ("slot_min_mm", 503.0),
        ("slot_max_mm", 537.0),
        ("droop_deg", 20.0),
        ("travel_mm", 240.0),
    ];
    let mut changes: Vec<Change> = numbers
        .iter()
        .map(|(field, number)| Change { field: (*field).to_owned(), value: Some(Value::Number(*number)), source: None })
        .collect();
    changes.push(Change { field: "size".to_owned(), value: Some(Value::Word("428".to_owned())), source: None });
    changes.push(Change { field: "slider_radius_mm".to_owned(), value: None, source: None });
    bike.change(&changes).expect("a sheet");
    bike
}

/// The even count that puts a pair nearest to the middle of the slot.
fn middle(slot: &Slot, pair: Setup) -> Setup {
    let off = |setup: &Setup| slot.place(*setup).map_or(f64::MAX, |place| (place.from_front_mm - place.left_mm).abs());
    let counts = slot.even_links(pair).expect("counts");
    let all = counts.into_iter().map(|links| pair.with_links(links));
    all.min_by(|a, b| off(a).total_cmp(&off(b))).expect("some count fits")
}

#[test]
fn two_rear_teeth_more_or_fewer_usually_need_no_other_link_count() {
    for (name, bike) in [("alder", demo("alder-350.toml")), ("sorrel", demo("sorrel-250.toml")), ("further", further())]
    {
        let slot = Slot::of(&bike).expect("a slot");
        let fitted = Setup::fitted(&bike).expect("a setup");
        let start = if name == "further" { middle(&slot, fitted) } else { fitted };
        for rear in [start.rear_teeth - 2, start.rear_teeth + 2] {
            let place = slot.place(start.pair(start.front_teeth, rear)).expect("a place");
            assert!(place.verdict < Verdict::Unknown, "{name} {}: {:?}", place.setup, place.reasons);
            assert_eq!(place.miss(), Miss::None);
        }
    }
}

#[test]
fn near_a_stop_two_teeth_do_need_another_link_count() {
    let slot = Slot::of(&demo("alder-350.toml")).expect("a slot");
    let near_front = Setup { front_teeth: 14, rear_teeth: 51, links: 118 };
    assert_eq!(slot.place(near_front).expect("a place").verdict, Verdict::Care);
    let two_more = slot.place(near_front.pair(14, 53)).expect("a place");
    assert_eq!((two_more.verdict, two_more.miss()), (Verdict::Stop, Miss::TooShort));
    let near_rear = Setup { front_teeth: 14, rear_teeth: 45, links: 118 };
    let two_fewer = slot.place(near_rear.pair(14, 43)).expect("a place");
    assert_eq!((two_fewer.verdict, two_fewer.miss()), (Verdict::Stop, Miss::TooLong));
}

#[test]
fn a_taller_pair_never_pulls_harder_in_the_same_gear_at_the_same_speed() {
    let bike = demo("alder-350.toml");
    let fitted = Setup::fitted(&bike).expect("a setup");
    for (front, rear) in [(15, 48), (14, 47), (14, 46), (13, 43)] {
        let swap = advice::gearing::swap(fitted, fitted.pair(front, rear), None).expect("a swap");
        assert!(swap.speed_pct > 0.0 && swap.thrust_pct < 0.0, "{}: {}", swap.setup, swap.words);
        assert!(swap.words.starts_with("taller"), "{}", swap.words);
    }
}

#[test]
fn a_change_in_front_is_told_in_rear_teeth_and_a_change_behind_is_not_told_twice() {
    let fitted = Setup::fitted(&demo("alder-350.toml")).expect("a setup");
    let words = |front, rear| advice::gearing::swap(fitted, fitted.pair(front, rear), None).expect("a swap").words;
    // 48 · 14 / 13 = 51.69; 48 · 14 / 15 = 44.8.
    assert!(words(13, 48).ends_with(", like 3.69 rear teeth more"), "{}", words(13, 48));
    assert!(words(15, 48).ends_with(", like 3.20 rear teeth fewer"), "{}", words(15, 48));
    for rear in [46, 47, 49, 50] {
        assert!(words(14, rear).ends_with("at the same rpm"), "{}", words(14, rear));
    }
    assert_eq!(words(14, 48), "same ratio: same speed and force at the same rpm");
}

#[test]
fn what_a_tooth_and_two_links_take_is_said_for_this_chain_and_no_other() {
    for bike in [demo("alder-350.toml"), further()] {
        let slot = Slot::of(&bike).expect("a slot");
        let setup = middle(&slot, Setup::fitted(&bike).expect("a setup"));
        let view = advice::fit::view(&bike, setup).expect("a view");
        let here = view.place.centre_mm;
        let moved = |to: Setup| format!("{:.1} mm", (slot.place(to).expect("a place").centre_mm - here).abs());
        let said = |key: &str| view.facts.iter().find(|fact| fact.key == key).expect("a fact").changes.clone();
        let (rear, front) = (setup.rear_teeth, setup.front_teeth);
        let teeth = said("from_front_mm");
        for other in [setup.pair(front, rear + 1), setup.pair(front + 1, rear)] {
            assert!(teeth.contains(&moved(other)), "{teeth}: {}", moved(other));
        }
        let links = said("left_mm");
        assert!(links.contains(&moved(setup.with_links(setup.links + 2))), "{links}");
    }
}
