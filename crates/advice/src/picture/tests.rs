//! What the pictures must hold: the chain is where it says, and what is told apart is told apart.

use upkeep::bike::Bike;

use super::{CLIP, CUT, NIP, PRESS, Picture, SLACK, STAR, Shape, Spot, names_for, of};
use crate::Setup;

const SETUP: Setup = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };

pub(super) fn bike() -> Bike {
    Bike::from_toml(include_str!("../../../../data/bikes/alder-350.toml")).expect("the demo's bike")
}

pub(super) fn picture(name: &str) -> Picture {
    of(name, &bike(), SETUP).expect(name)
}

pub(super) fn ends(picture: &Picture, id: &str) -> (Spot, Spot) {
    match &picture.pieces.iter().find(|piece| piece.id == id).expect(id).shape {
        Shape::Segment { from, to } => (*from, *to),
        other => panic!("{id} is {other:?}"),
    }
}

pub(super) fn centre(picture: &Picture, id: &str) -> (Spot, f64) {
    match &picture.pieces.iter().find(|piece| piece.id == id).expect(id).shape {
        Shape::Circle { centre, radius_mm } => (*centre, *radius_mm),
        other => panic!("{id} is {other:?}"),
    }
}

pub(super) fn apart(one: Spot, other: Spot) -> f64 {
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

/// Every spot of a picture with the name of what it belongs to, and each radius as a spot of its own.
fn spots(picture: &Picture) -> Vec<(String, Spot)> {
    let of_pieces = picture.pieces.iter().flat_map(|piece| {
        let room = |(spot, radius): (Spot, f64)| [spot, Spot::new(radius, 0.0)];
        piece.shape.reach().into_iter().flat_map(room).map(|spot| (piece.id.clone(), spot)).collect::<Vec<_>>()
    });
    of_pieces.chain(picture.labels.iter().map(|label| (label.words.clone(), label.at))).collect()
}

#[test]
fn the_cut_chain_grows_with_its_pitch_in_every_place() {
    let text = include_str!("../../../../data/bikes/alder-350.toml");
    let smaller =
        Bike::from_toml(&text.replace("pitch_mm = 15.875\nsize = \"520\"", "pitch_mm = 12.7")).expect("a bike");
    let (large, small) = (picture(CUT), of(CUT, &smaller, SETUP).expect("a picture"));
    let (large, small) = (spots(&large), spots(&small));
    assert_eq!(large.len(), small.len());
    for ((id, one), (_, other)) in large.iter().zip(&small) {
        for (one, other) in [(one.x_mm, other.x_mm), (one.z_mm, other.z_mm)] {
            assert!((one * 12.7 - other * 15.875).abs() < 1e-6, "{id}: {one} and {other}");
        }
    }
}

#[test]
fn both_presses_point_down_at_their_pin_and_stop_short_of_it() {
    let cut = picture(CUT);
    for (pin, roller) in [("pin_near", "roller_2"), ("pin_far", "roller_3")] {
        let ((at, radius), (from, to)) = (centre(&cut, roller), ends(&cut, &format!("{pin}_press")));
        assert!((from.x_mm - at.x_mm).abs() < 1e-9 && (to.x_mm - at.x_mm).abs() < 1e-9, "{pin}: straight down");
        assert!(from.z_mm > to.z_mm && to.z_mm > at.z_mm + radius, "{pin}: from above, not into the pin");
        assert!(from.z_mm - at.z_mm < 2.0 * 15.875, "{pin}: near it");
    }
}

#[test]
fn every_arrow_has_its_head_at_its_end_with_both_barbs_behind_it() {
    let shown = [STAR, CLIP, CUT, PRESS, SLACK, NIP].map(picture);
    let mut heads = 0;
    for picture in &shown {
        for (id, line) in picture.pieces.iter().filter_map(|piece| Some((piece.id.strip_suffix("_head")?, piece))) {
            let Shape::Through(head) = &line.shape else { panic!("{line:?}") };
            let [left, tip, right] = head[..] else { panic!("{head:?}") };
            // A bent arrow ends on its arc.
            let Some(Shape::Segment { from, to }) =
                picture.pieces.iter().find(|piece| piece.id == id).map(|piece| &piece.shape)
            else {
                continue;
            };
            heads += 1;
            assert!(apart(tip, *to) < 1e-9, "{id}: the tip is its end");
            assert!((apart(left, tip) - apart(right, tip)).abs() < 1e-9, "{id}: both barbs as long");
            assert!((off_line(left, (*from, *to)) - off_line(right, (*from, *to))).abs() < 1e-9, "{id}: even");
            assert!(apart(left, right) > 0.5 * apart(left, tip), "{id}: open");
            for barb in [left, right] {
                assert!(apart(barb, *from) < apart(tip, *from), "{id}: barbs point back");
            }
        }
    }
    assert!(heads >= 16, "{heads}");
}

#[test]
fn each_way_of_the_chain_lies_along_the_middle_of_its_run_and_inside_the_loop() {
    let nips = picture(NIP);
    for id in ["forward_", "back_"] {
        for run in ["upper", "lower"] {
            let ((front, rear), (from, to)) =
                (ends(&nips, &format!("{id}{run}")), ends(&nips, &format!("{id}{run}_way")));
            let middle = |one: f64, other: f64| f64::midpoint(one, other);
            let off = middle(from.z_mm, to.z_mm) - middle(front.z_mm, rear.z_mm);
            assert!(
                (middle(from.x_mm, to.x_mm) - middle(front.x_mm, rear.x_mm)).abs() < 1e-9,
                "{id}{run}: at the middle"
            );
            assert!(if run == "upper" { (-40.0..-10.0).contains(&off) } else { (10.0..40.0).contains(&off) }, "{off}");
            let slope = |one: Spot, other: Spot| (one.z_mm - other.z_mm) / (one.x_mm - other.x_mm);
            assert!((slope(from, to) - slope(front, rear)).abs() < 1e-9, "{id}{run}: beside it, not across");
            assert!(apart(from, to) < 0.5 * apart(front, rear), "{id}{run}: shorter than the run");
        }
        // The bent arrow lies in the rear sprocket and turns the way the wheel does.
        let (hub, radius) = centre(&nips, &format!("{id}rear"));
        let turn = nips.pieces.iter().find(|piece| piece.id == format!("{id}turn")).expect("a turn");
        let Shape::Arc { centre: at, radius_mm, from, to, clockwise } = turn.shape.clone() else { panic!("{turn:?}") };
        assert!(apart(at, hub) < 1e-9 && radius_mm < radius, "{id}: round the hub");
        assert!((apart(from, at) - radius_mm).abs() < 1e-9 && (apart(to, at) - radius_mm).abs() < 1e-9);
        assert!(from.z_mm > hub.z_mm && to.z_mm > hub.z_mm, "{id}: over the hub");
        assert_eq!((to.x_mm > from.x_mm, clockwise), (id == "forward_", id == "forward_"));
        let head = nips.pieces.iter().find(|piece| piece.id == format!("{id}turn_head")).expect("a head");
        let Shape::Through(head) = &head.shape else { panic!("{head:?}") };
        let [left, tip, right] = head[..] else { panic!("{head:?}") };
        assert!(apart(tip, to) < 1e-9 && (apart(left, tip) - apart(right, tip)).abs() < 1e-9);
        assert!(
            apart(left, from) < apart(tip, from) && apart(right, from) < apart(tip, from),
            "{id}: barbs point back"
        );
    }
    let here = nips.labels.iter().filter(|label| label.words == "here").map(|label| label.at).collect::<Vec<_>>();
    assert_eq!(here.len(), 4);
    // Outside of the loop: under the lower run, over the upper one.
    let nip_places =
        [("forward_nip_rear", -1.0), ("forward_nip_front", 1.0), ("back_nip_rear", 1.0), ("back_nip_front", -1.0)];
    for ((nip, side), spot) in nip_places.into_iter().zip(here) {
        let (at, radius) = centre(&nips, nip);
        let off = side * (spot.z_mm - at.z_mm);
        assert!((spot.x_mm - at.x_mm).abs() < 1e-9 && off > radius && off < 3.0 * radius, "{nip}: {off}");
    }
}

#[test]
fn what_is_said_of_each_clip_stands_beside_it() {
    let clip = picture(CLIP);
    for (id, words, outward) in [
        ("upper", "closed end forward", Spot::new(0.0, 1.0)),
        ("lower", "closed end rearward", Spot::new(0.0, -1.0)),
        ("behind", "up", Spot::new(0.0, 1.0)),
    ] {
        let (first, last) = (centre(&clip, &format!("{id}_pin_first")).0, centre(&clip, &format!("{id}_pin_second")).0);
        let middle = Spot::new(f64::midpoint(first.x_mm, last.x_mm), f64::midpoint(first.z_mm, last.z_mm));
        let at = clip.labels.iter().find(|label| label.words == words).expect(words).at;
        let out = (at.x_mm - middle.x_mm) * outward.x_mm + (at.z_mm - middle.z_mm) * outward.z_mm;
        assert!((50.0..130.0).contains(&out) && (at.x_mm - middle.x_mm).abs() < 20.0, "{words} {out} from its clip");
        let (from, to) = ends(&clip, &format!("{id}_travel"));
        let between = Spot::new(f64::midpoint(from.x_mm, to.x_mm), f64::midpoint(from.z_mm, to.z_mm));
        assert!((35.0..60.0).contains(&apart(between, middle)), "{id}: its arrow runs beside it");
        assert!((apart(from, to) - 110.0).abs() < 1e-9, "{id}: over its whole length");
    }
    let edge = |id: &str| {
        let piece = clip.pieces.iter().find(|piece| piece.id == format!("{id}_clip")).expect(id);
        let Shape::Through(spots) = &piece.shape else { panic!("{piece:?}") };
        spots.clone()
    };
    for id in ["upper", "lower", "behind"] {
        let (at, radius) = centre(&clip, &format!("{id}_pin_first"));
        let spots = edge(id);
        // Round where it is closed: seven spots as far from the pin there, three steps to either side of the way it leads.
        assert_eq!(spots.len(), 11);
        for spot in &spots[2..9] {
            assert!((apart(*spot, at) - 20.0).abs() < 1e-9 && radius < 20.0, "{id}");
        }
        assert!((apart(spots[2], spots[8]) - 40.0).abs() < 1e-9, "{id}: half round");
    }
}

#[test]
fn fasteners_stand_evenly_in_their_ring_with_their_turn_outside_and_the_ways_inside() {
    let star = picture(STAR);
    let (hub, radius) = centre(&star, "ring");
    let bolts: Vec<Spot> = (1..=6).map(|bolt| centre(&star, &format!("fastener_{bolt}")).0).collect();
    for (at, spot) in bolts.iter().enumerate() {
        assert!((apart(*spot, hub) - radius).abs() < 1e-9);
        assert!((apart(*spot, bolts[(at + 1) % 6]) - radius).abs() < 1e-9, "a sixth of the way round");
    }
    assert!(bolts[0].x_mm.abs() < 1e-9 && bolts[0].z_mm > 0.0, "the first one on top");
    for turn in 1..=5 {
        let (from, to) = ends(&star, &format!("way_{turn}"));
        assert!(
            (apart(from, hub) - apart(to, hub)).abs() < 1e-9 && apart(to, hub) < radius - 13.0,
            "short of the heads"
        );
        assert!(apart(to, hub) > 0.7 * radius, "and near them");
    }
    for label in &star.labels {
        let up = label.at.plus(0.0, 14.0);
        assert!((apart(up, hub) - radius - 40.0).abs() < 1e-9, "{}: outside of the ring", label.words);
    }
}

#[test]
fn a_step_has_the_pictures_of_its_own_work_and_of_the_joint_there_is() {
    let text = include_str!("../../../../data/bikes/alder-350.toml");
    let riveted = Bike::from_toml(&text.replace("joint = \"clip\"", "joint = \"rivet\"")).expect("a bike");
    let unsaid = Bike::from_toml(&text.replace("joint = \"clip\"", "#")).expect("a bike");
    for (token, names) in [
        ("do:rear-sprocket-swap", &[STAR][..]),
        ("do:measure-drivetrain", &[SLACK]),
        ("do:chain-slack-set", &[SLACK]),
        ("do:chain-slack-recheck", &[SLACK]),
        ("do:lay-up-new-chain", &[CUT]),
        ("do:count-twice", &[CUT]),
        ("do:grind-and-press", &[CUT]),
        ("do:nip-axle", &[NIP]),
        ("do:oil-new-chain", &[NIP]),
        ("do:chain-clean", &[NIP]),
        ("do:wheel-in", &[]),
    ] {
        assert_eq!(names_for(&bike(), token, &[]), names, "{token}");
    }
    for token in ["close:chain-open", "do:check-connecting-link"] {
        assert_eq!(names_for(&bike(), token, &[]), [CLIP, PRESS], "{token} with a clip");
        assert_eq!(names_for(&unsaid, token, &[]), [CLIP, PRESS], "{token}, the joint not said");
        assert_eq!(names_for(&riveted, token, &[]), [PRESS], "{token}, riveted: no clip to point anywhere");
    }
    assert_eq!(names_for(&bike(), "do:count-twice", &["pinch"]), [CUT, NIP]);
    assert_eq!(names_for(&bike(), "do:chain-clean", &["pinch"]), [NIP], "once");
    assert!(names_for(&bike(), "do:wheel-in", &["burn"]).is_empty());
}
