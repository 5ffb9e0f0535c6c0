//! What the pictures must hold: the chain is where it says, and what is told apart is told apart.

use upkeep::bike::Bike;

use super::{CLIP, CUT, NIP, PRESS, Picture, SLACK, STAR, Shape, Spot, of};
use crate::Setup;

const SETUP: Setup = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };

fn bike() -> Bike {
    Bike::from_toml(include_str!("../../../../data/bikes/alder-350.toml")).expect("the demo's bike")
}

fn picture(name: &str) -> Picture {
    of(name, &bike(), SETUP).expect(name)
}

fn ends(picture: &Picture, id: &str) -> (Spot, Spot) {
    match &picture.pieces.iter().find(|piece| piece.id == id).expect(id).shape {
        Shape::Segment { from, to } => (*from, *to),
        other => panic!("{id} is {other:?}"),
    }
}

fn centre(picture: &Picture, id: &str) -> (Spot, f64) {
    match &picture.pieces.iter().find(|piece| piece.id == id).expect(id).shape {
        Shape::Circle { centre, radius_mm } => (*centre, *radius_mm),
        other => panic!("{id} is {other:?}"),
    }
}

fn apart(one: Spot, other: Spot) -> f64 {
    (one.x_mm - other.x_mm).hypot(one.z_mm - other.z_mm)
}

/// Distance of a spot from the straight line through two others.
fn off_line(spot: Spot, (from, to): (Spot, Spot)) -> f64 {
    let (x, z) = (to.x_mm - from.x_mm, to.z_mm - from.z_mm);
    ((spot.x_mm - from.x_mm) * z - (spot.z_mm - from.z_mm) * x).abs() / x.hypot(z)
}

#[test]
fn the_crossing_order_numbers_each_fastener_with_its_turn() {
    let star = picture(STAR);
    assert!(star.finding.contains("1-4-2-5-3-6"), "{}", star.finding);
    // Clockwise from the top the turns of six are 1 3 5 2 4 6.
    let near = |bolt: u32| {
        let at = centre(&star, &format!("fastener_{bolt}")).0;
        let close = |label: &&super::Label| apart(label.at, at) < 60.0;
        star.labels.iter().find(close).map(|label| label.words.clone()).expect("a turn")
    };
    assert_eq!((1..=6).map(near).collect::<Vec<_>>(), ["1", "3", "5", "2", "4", "6"]);
    assert!(centre(&star, "fastener_2").0.x_mm > 0.0, "counted clockwise");
}

#[test]
fn runs_touch_their_sprockets_and_do_not_cut_them() {
    let nips = picture(NIP);
    for id in ["forward_", "back_"] {
        for wheel in ["front", "rear"] {
            let (middle, radius) = centre(&nips, &format!("{id}{wheel}"));
            for run in ["upper", "lower"] {
                let off = off_line(middle, ends(&nips, &format!("{id}{run}")));
                assert!((off - radius).abs() < 1e-9, "{id}{wheel} {run}: {off} against {radius}");
            }
        }
    }
}

#[test]
fn fingers_are_drawn_in_where_the_run_moves_towards_the_sprocket() {
    let nips = picture(NIP);
    for (id, forward) in [("forward_", true), ("back_", false)] {
        for (nip, wheel) in [("nip_rear", "rear"), ("nip_front", "front")] {
            let at = centre(&nips, &format!("{id}{nip}")).0;
            // The run that touches there, and the way of its arrow.
            let run = ["upper", "lower"].into_iter().find(|run| {
                let (front, rear) = ends(&nips, &format!("{id}{run}"));
                apart(front, at) < 1e-9 || apart(rear, at) < 1e-9
            });
            let (from, to) = ends(&nips, &format!("{id}{}_way", run.expect("a run")));
            let middle = centre(&nips, &format!("{id}{wheel}")).0;
            assert!(apart(to, middle) < apart(from, middle), "{id}{nip}: the chain leaves that sprocket");
        }
        let (from, to) = ends(&nips, &format!("{id}upper_way"));
        assert_eq!(to.x_mm > from.x_mm, forward, "the upper run goes to the front when the wheel goes forward");
    }
}

#[test]
fn the_closed_end_of_the_clip_lies_where_the_chain_goes() {
    let clip = picture(CLIP);
    for (id, x, z) in [("upper", 1.0, 0.0), ("lower", -1.0, 0.0), ("behind", 0.0, 1.0)] {
        let (from, to) = ends(&clip, &format!("{id}_travel"));
        let along = |spot: Spot| spot.x_mm * x + spot.z_mm * z;
        assert!(along(to) > along(from), "{id} travels");
        let edge = clip.pieces.iter().find(|piece| piece.id == format!("{id}_clip")).expect("a clip");
        let Shape::Through(spots) = &edge.shape else { panic!("{edge:?}") };
        let (first, last) = (spots[0], spots[spots.len() - 1]);
        assert!(apart(first, last) > 5.0, "{id}: open at one end");
        let foremost = spots.iter().map(|spot| along(*spot)).fold(f64::NEG_INFINITY, f64::max);
        assert!(foremost > along(first) + 60.0, "{id}: closed at the other, which leads");
    }
}

#[test]
fn the_link_that_comes_off_is_the_count_itself_and_its_neighbour_stays() {
    let cut = picture(CUT);
    assert!(cut.to_scale && cut.finding.contains("link 117 is an inner link"), "{}", cut.finding);
    let dot = |id: &str| match cut.pieces.iter().find(|piece| piece.id == id).expect(id).shape {
        Shape::Dot(spot) => spot,
        ref other => panic!("{other:?}"),
    };
    assert!((apart(dot("pin_near"), dot("pin_far")) - 15.875).abs() < 1e-9, "both pins of one link");
    let gone = cut.pieces.iter().find(|piece| piece.id == "link_118").expect("the link");
    assert_eq!(gone.ink, super::Ink::Limit);
}

#[test]
fn the_plate_is_home_where_both_links_are_as_wide() {
    let press = picture(PRESS);
    let width = |case: &str, link: &str| {
        let z = |plate: &str| ends(&press, &format!("{case}_{link}_{plate}")).0.z_mm;
        z("pressed") - z("fixed")
    };
    assert!((width("home", "connecting") - width("home", "neighbour")).abs() < 1e-9);
    assert!(width("wide", "connecting") > width("wide", "neighbour"));
    assert!(width("narrow", "connecting") < width("narrow", "neighbour"));
}

#[test]
fn slack_is_drawn_as_long_as_it_is_to_be_set() {
    let slack = picture(SLACK);
    let (middle, up) = ends(&slack, "slack_up");
    let (again, down) = ends(&slack, "slack_down");
    assert!(slack.to_scale && apart(middle, again) < 1e-9);
    let total = apart(up, down);
    assert!((82.0..=88.0).contains(&total), "{total}");
    let (front, rear) = ends(&slack, "lower_1");
    assert!((apart(middle, front) - apart(middle, rear)).abs() < 1e-9, "midway");
    assert!(slack.finding.contains("82 to 88 mm"), "{}", slack.finding);
}

#[test]
fn words_at_the_slack_stand_on_the_side_they_speak_of_and_clear_of_the_chain() {
    let slack = picture(SLACK);
    let at = |words: &str| slack.labels.iter().find(|label| label.words == words).expect(words).at;
    let ((middle, up), (_, down)) = (ends(&slack, "slack_up"), ends(&slack, "slack_down"));
    assert!(up.z_mm > middle.z_mm && down.z_mm < middle.z_mm);
    assert!(at("fully up").z_mm > up.z_mm && at("fully down").z_mm < down.z_mm);
    for words in ["fully up", "fully down"] {
        assert!((at(words).x_mm - middle.x_mm).abs() < 60.0, "{words} stands at the middle of the run");
    }
    let (front, radius) = centre(&slack, "front");
    let word = at("front");
    assert!((word.x_mm - front.x_mm).abs() < radius && word.z_mm < front.z_mm - radius, "under the front sprocket");
}

#[test]
fn each_clip_lies_round_its_own_two_pins_which_stand_one_behind_the_other_along_the_run() {
    let clip = picture(CLIP);
    for (id, along) in [("upper", true), ("lower", true), ("behind", false)] {
        let (first, last) = (centre(&clip, &format!("{id}_pin_first")).0, centre(&clip, &format!("{id}_pin_second")).0);
        let (dx, dz) = ((first.x_mm - last.x_mm).abs(), (first.z_mm - last.z_mm).abs());
        assert!(if along { dx > 50.0 && dz < 1e-9 } else { dz > 50.0 && dx < 1e-9 }, "{id}: {dx} {dz}");
        let edge = clip.pieces.iter().find(|piece| piece.id == format!("{id}_clip")).expect("a clip");
        let Shape::Through(spots) = &edge.shape else { panic!("{edge:?}") };
        let middle = Spot::new((first.x_mm + last.x_mm) / 2.0, (first.z_mm + last.z_mm) / 2.0);
        assert!(spots.iter().all(|spot| apart(*spot, middle) < 55.0), "{id}: the clip is on its link");
        let (mut left, mut right) = (0, 0);
        for spot in spots {
            let side = if along { spot.z_mm - middle.z_mm } else { spot.x_mm - middle.x_mm };
            left += i32::from(side < -1e-9);
            right += i32::from(side > 1e-9);
        }
        assert_eq!(left, right, "{id}: as much of it on one side as on the other");
    }
    let wheels = super::run::Wheels::schematic(Spot::new(0.0, 0.0));
    let height = |id: &str| centre(&clip, &format!("{id}_pin_first")).0.z_mm;
    let (top, bottom) = (wheels.rear.z_mm + wheels.rear_mm, wheels.rear.z_mm - wheels.rear_mm);
    assert!(height("upper") > top && height("lower") < bottom, "outside of the loop, beside its own run");
    let behind = centre(&clip, "behind_pin_first").0;
    assert!(behind.x_mm < wheels.rear.x_mm - wheels.rear_mm, "behind the rear sprocket");
}

#[test]
fn pins_of_a_link_seen_from_above_go_through_both_plates_of_their_own_link() {
    let press = picture(PRESS);
    for (case, link) in ["wide", "home", "narrow"].iter().flat_map(|case| [(case, "neighbour"), (case, "connecting")]) {
        let (low, high) = ends(&press, &format!("{case}_{link}_fixed"));
        let [first, second] = ["first", "second"].map(|pin| ends(&press, &format!("{case}_{link}_pin_{pin}")).0.x_mm);
        assert!(second - first > 60.0, "{case} {link}: two pins, one beside the other");
        assert!((first - low.x_mm - (high.x_mm - second)).abs() < 1e-9, "{case} {link}: as far from either end");
        for pin in ["first", "second"] {
            let (from, to) = ends(&press, &format!("{case}_{link}_pin_{pin}"));
            assert!(low.x_mm < from.x_mm && from.x_mm < high.x_mm, "{case} {link} {pin} within the plate");
            assert!((from.x_mm - to.x_mm).abs() < 1e-9);
            let upper = ends(&press, &format!("{case}_{link}_pressed")).0.z_mm;
            assert!(from.z_mm < low.z_mm && to.z_mm > upper, "{case} {link} {pin} through both");
        }
    }
}

#[test]
fn words_of_a_cut_chain_stand_at_the_link_they_speak_of() {
    let cut = picture(CUT);
    let x = |words: &str| cut.labels.iter().find(|label| label.words.contains(words)).expect(words).at.x_mm;
    let dot = |id: &str| match cut.pieces.iter().find(|piece| piece.id == id).expect(id).shape {
        Shape::Dot(spot) => spot.x_mm,
        ref other => panic!("{other:?}"),
    };
    let middle = f64::midpoint(dot("pin_near"), dot("pin_far"));
    assert!((x("press these two") - middle).abs() < 1e-9);
    assert!((x("comes off") - middle).abs() < 15.875 / 2.0);
    assert!(x("kept") < dot("pin_near"), "the kept side lies before the link that comes off");
    let z = |words: &str| cut.labels.iter().find(|label| label.words.contains(words)).expect(words).at.z_mm;
    assert!(z("press these two") > 0.0 && z("comes off") < 0.0, "the two sentences stand on either side of the chain");
    let (from, to) = ends(&cut, "far_end");
    let last = centre(&cut, "roller_5").0.x_mm;
    assert!((-from.x_mm - (to.x_mm - last)).abs() < 1e-9, "the middle line passes the chain as far on either side");
}

#[test]
fn a_plate_lies_round_both_of_its_pins() {
    let cut = picture(CUT);
    for (n, id) in (0..).zip(["link_116", "link_117", "link_118", "link_119", "link_120"]) {
        let piece = cut.pieces.iter().find(|piece| piece.id == id).expect(id);
        let Shape::Through(spots) = &piece.shape else { panic!("{piece:?}") };
        let [rear, front] = [n, n + 1].map(|pin| centre(&cut, &format!("roller_{pin}")).0.x_mm);
        let (least, most) = spots.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), spot| {
            (least.min(spot.x_mm), most.max(spot.x_mm))
        });
        assert!(least < rear - 4.0 && most > front + 4.0, "{id} from {least} to {most}, its pins {rear} and {front}");
        assert!((rear - least - (most - front)).abs() < 1e-9, "{id} stands out as far at either end");
    }
}

#[test]
fn only_a_plate_that_is_off_its_place_is_drawn_as_a_limit() {
    let press = picture(PRESS);
    let limits: Vec<&str> =
        press.pieces.iter().filter(|piece| piece.ink == super::Ink::Limit).map(|piece| piece.id.as_str()).collect();
    assert_eq!(limits, ["wide_connecting_pressed", "narrow_connecting_pressed"]);
}
