//! Laws of every picture: words clear of one another, mirrored things mirrored, what is alike drawn alike.

use upkeep::bike::Bike;

use super::tests::{apart, bike, centre, ends, picture};
use super::{CLIP, CUT, NIP, PRESS, Picture, SLACK, STAR, Shape, Spot, of};
use crate::Setup;

/// Every picture of both demo bikes on some setups.
fn all() -> Vec<(String, Picture)> {
    let sorrel = Bike::from_toml(include_str!("../../../../data/bikes/sorrel-250.toml")).expect("the demo's bike");
    let mut all = Vec::new();
    for bike in [bike(), sorrel] {
        let fitted = Setup::fitted(&bike).expect("a setup");
        for setup in [fitted, fitted.pair(13, 49), fitted.with_links(fitted.links + 2)] {
            let shown = [STAR, CLIP, CUT, PRESS, SLACK, NIP].map(|name| of(name, &bike, setup));
            let named = |picture: Picture| (format!("{} {} {setup}", bike.name, picture.id), picture);
            all.extend(shown.into_iter().flatten().map(named));
        }
    }
    assert!(all.len() >= 30, "{}", all.len());
    all
}

/// The least and the greatest of what is drawn, forward and up.
fn frame(picture: &Picture) -> [Spot; 2] {
    let start = [Spot::new(f64::INFINITY, f64::INFINITY), Spot::new(f64::NEG_INFINITY, f64::NEG_INFINITY)];
    picture.pieces.iter().flat_map(|piece| piece.shape.reach()).fold(start, |[low, high], (spot, round)| {
        [
            Spot::new(low.x_mm.min(spot.x_mm - round), low.z_mm.min(spot.z_mm - round)),
            Spot::new(high.x_mm.max(spot.x_mm + round), high.z_mm.max(spot.z_mm + round)),
        ]
    })
}

#[test]
fn no_word_stands_on_another_or_far_from_what_is_drawn() {
    for (name, picture) in all() {
        let [low, high] = frame(&picture);
        let wide = high.x_mm - low.x_mm;
        // As large as a page draws them on a phone.
        let boxes: Vec<[f64; 4]> = picture
            .labels
            .iter()
            .map(|label| {
                let letters = f64::from(u32::try_from(label.words.chars().count()).expect("a few"));
                let half = letters * wide * 0.012;
                [label.at.x_mm - half, label.at.x_mm + half, label.at.z_mm, label.at.z_mm + 0.045 * wide]
            })
            .collect();
        for (at, one) in boxes.iter().enumerate() {
            let words = &picture.labels[at].words;
            for (other, label) in boxes[at + 1..].iter().zip(&picture.labels[at + 1..]) {
                let clear = one[1] < other[0] || other[1] < one[0] || one[3] < other[2] || other[3] < one[2];
                assert!(clear, "{name}: {words} lies on {}", label.words);
            }
            let spot = picture.labels[at].at;
            let inside = |value: f64, low: f64, high: f64| (low - 0.25 * wide..=high + 0.15 * wide).contains(&value);
            assert!(
                inside(spot.x_mm, low.x_mm, high.x_mm) && inside(spot.z_mm, low.z_mm, high.z_mm),
                "{name}: {words}"
            );
        }
    }
}

#[test]
fn every_piece_has_a_name_of_its_own_and_a_length() {
    for (name, picture) in all() {
        let mut ids: Vec<&str> = picture.pieces.iter().map(|piece| piece.id.as_str()).collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "{name}");
        for piece in &picture.pieces {
            match &piece.shape {
                Shape::Circle { radius_mm, .. } => assert!(*radius_mm > 0.0, "{name} {}", piece.id),
                Shape::Segment { from, to } => assert!(apart(*from, *to) > 1.0, "{name} {}", piece.id),
                Shape::Arc { centre, radius_mm, from, to, .. } => {
                    for end in [from, to] {
                        assert!((apart(*centre, *end) - radius_mm).abs() < 1e-9, "{name} {}", piece.id);
                    }
                }
                Shape::Through(spots) => assert!(spots.len() >= 3, "{name} {}", piece.id),
                Shape::Dot(_) => {}
            }
        }
    }
}

/// A clip as it is on its link: each spot along the way the chain travels and across it, from the middle of both pins.
fn on_its_link(clip: &Picture, id: &str, towards: Spot) -> Vec<[f64; 2]> {
    let [first, last] = ["first", "second"].map(|pin| centre(clip, &format!("{id}_pin_{pin}")).0);
    let middle = Spot::new(f64::midpoint(first.x_mm, last.x_mm), f64::midpoint(first.z_mm, last.z_mm));
    let piece = clip.pieces.iter().find(|piece| piece.id == format!("{id}_clip")).expect(id);
    let Shape::Through(edge) = &piece.shape else { panic!("{piece:?}") };
    let of = |spot: &Spot| {
        let (x, z) = (spot.x_mm - middle.x_mm, spot.z_mm - middle.z_mm);
        [x * towards.x_mm + z * towards.z_mm, z * towards.x_mm - x * towards.z_mm]
    };
    edge.iter().chain(&[first, last]).map(of).collect()
}

#[test]
fn the_three_clips_are_one_clip_turned() {
    let clip = picture(CLIP);
    let ways = [("upper", Spot::new(1.0, 0.0)), ("lower", Spot::new(-1.0, 0.0)), ("behind", Spot::new(0.0, 1.0))];
    let [upper, lower, behind] = ways.map(|(id, towards)| on_its_link(&clip, id, towards));
    for other in [&lower, &behind] {
        for (one, other) in upper.iter().zip(other) {
            assert!((one[0] - other[0]).abs() < 1e-9 && (one[1] - other[1]).abs() < 1e-9, "{one:?} {other:?}");
        }
    }
    // Both halves are alike, the closed end ahead of the first pin, the open ends behind the second one and nearer together.
    let (edge, pins) = upper.split_at(11);
    for (one, other) in edge.iter().zip(edge.iter().rev()) {
        assert!((one[0] - other[0]).abs() < 1e-9 && (one[1] + other[1]).abs() < 1e-9, "{one:?} {other:?}");
    }
    assert!(edge[..6].windows(2).all(|two| two[0][0] <= two[1][0] + 1e-9), "forward from the open end");
    assert!(edge[5][0] > pins[0][0] && edge[1][0] < pins[1][0] && pins[1][0] < 0.0 && pins[0][0] > 0.0);
    assert!(edge[0][1] > 0.0 && edge[0][1] < 0.5 * edge[1][1], "{edge:?}");
}

#[test]
fn the_way_of_the_chain_is_drawn_outside_of_each_clip() {
    let clip = picture(CLIP);
    for (id, x, z) in [("upper", 0.0, 1.0), ("lower", 0.0, -1.0), ("behind", -1.0, 0.0)] {
        let (from, to) = ends(&clip, &format!("{id}_travel"));
        let out = |spot: Spot| spot.x_mm * x + spot.z_mm * z;
        let piece = clip.pieces.iter().find(|piece| piece.id == format!("{id}_clip")).expect(id);
        let Shape::Through(edge) = &piece.shape else { panic!("{piece:?}") };
        let outmost = edge.iter().map(|spot| out(*spot)).fold(f64::NEG_INFINITY, f64::max);
        assert!((out(from) - out(to)).abs() < 1e-9 && out(from) > outmost + 10.0, "{id}: {} {outmost}", out(from));
    }
}

#[test]
fn each_of_three_widths_is_drawn_under_the_one_before_and_said_under_itself() {
    let press = picture(PRESS);
    let cases = ["wide", "home", "narrow"].map(|case| {
        let spots = press.pieces.iter().filter(|piece| piece.id.starts_with(case));
        let z: Vec<f64> = spots.flat_map(|piece| piece.shape.reach()).map(|(spot, _)| spot.z_mm).collect();
        [z.iter().copied().fold(f64::INFINITY, f64::min), z.iter().copied().fold(f64::NEG_INFINITY, f64::max)]
    });
    let at = |words: &str| press.labels.iter().find(|label| label.words.starts_with(words)).expect(words).at;
    let said = ["wider", "equal", "narrower"].map(at);
    for row in 0..3 {
        let above_next = cases.get(row + 1).is_none_or(|next| said[row].z_mm > next[1]);
        assert!(said[row].z_mm < cases[row][0] && above_next, "{said:?} {cases:?}");
        assert!(said[row].x_mm.abs() < 20.0);
    }
    for (link, words) in [("neighbour", "neighbour"), ("connecting", "connecting")] {
        let (from, to) = ends(&press, &format!("wide_{link}_fixed"));
        let spot = at(words);
        assert!((spot.x_mm - f64::midpoint(from.x_mm, to.x_mm)).abs() < 20.0 && spot.z_mm > cases[0][1], "{words}");
    }
    // Both lines of the width run past both links, at the plates of the neighbour.
    for case in ["wide", "home", "narrow"] {
        for (line, plate) in [("upper", "pressed"), ("lower", "fixed")] {
            let (from, to) = ends(&press, &format!("{case}_width_{line}"));
            let (near, _) = ends(&press, &format!("{case}_neighbour_{plate}"));
            let (_, far) = ends(&press, &format!("{case}_connecting_{plate}"));
            assert!((from.z_mm - near.z_mm).abs() < 1e-9 && (to.z_mm - near.z_mm).abs() < 1e-9, "{case} {line}");
            assert!(from.x_mm < near.x_mm && to.x_mm > far.x_mm, "{case} {line}");
        }
        let (low, high) =
            (ends(&press, &format!("{case}_neighbour_fixed")), ends(&press, &format!("{case}_connecting_fixed")));
        assert!(
            (apart(low.0, low.1) - apart(high.0, high.1)).abs() < 1e-9 && low.1.x_mm < high.0.x_mm,
            "{case}: side by side"
        );
    }
}

#[test]
fn the_way_a_wheel_turns_is_said_between_its_runs() {
    let nips = picture(NIP);
    for (id, words) in [("forward_", "forward"), ("back_", "back")] {
        let at = nips.labels.iter().find(|label| label.words == words).expect(words).at;
        let height = |run: &str| {
            let (front, rear) = ends(&nips, &format!("{id}{run}"));
            rear.z_mm + (front.z_mm - rear.z_mm) * (at.x_mm - rear.x_mm) / (front.x_mm - rear.x_mm)
        };
        let (front, rear) = (centre(&nips, &format!("{id}front")), centre(&nips, &format!("{id}rear")));
        assert!(at.x_mm > rear.0.x_mm + rear.1 && at.x_mm < front.0.x_mm - front.1, "{words}: beside both wheels");
        // A word is about 28 high and stands on its spot.
        let off = at.z_mm + 14.0 - f64::midpoint(height("upper"), height("lower"));
        assert!(off.abs() < 14.0, "{words}: {off} off the middle");
    }
    let [forward, back] = ["forward_", "back_"].map(|id| centre(&nips, &format!("{id}rear")));
    assert!(forward.0.z_mm - forward.1 - 90.0 > back.0.z_mm + back.1, "one above the other, with room for a word");
}

#[test]
fn slack_is_drawn_across_the_run_at_its_middle_and_the_chain_goes_on_to_both_sprockets() {
    for (name, slack) in all().into_iter().filter(|(_, picture)| picture.id == SLACK) {
        let (front, rear) = ends(&slack, "lower_1");
        let (middle, up) = ends(&slack, "slack_up");
        let (_, down) = ends(&slack, "slack_down");
        let along = Spot::new(front.x_mm - rear.x_mm, front.z_mm - rear.z_mm);
        for end in [up, down] {
            let across = (end.x_mm - middle.x_mm) * along.x_mm + (end.z_mm - middle.z_mm) * along.z_mm;
            assert!(across.abs() < 1e-6, "{name}: not across by {across}");
        }
        assert!((apart(middle, up) - apart(middle, down)).abs() < 1e-9, "{name}: as far up as down");
        for (id, end) in [("pulled_up", up), ("pushed_down", down)] {
            let piece = slack.pieces.iter().find(|piece| piece.id == id).expect(id);
            let Shape::Through(spots) = &piece.shape else { panic!("{piece:?}") };
            let both = [spots[0], spots[spots.len() - 1]];
            assert!(spots.contains(&end) && both.contains(&front) && both.contains(&rear), "{name} {id}: {spots:?}");
        }
        let ((hub, radius), (axle, rear_mm)) = (centre(&slack, "front"), centre(&slack, "rear"));
        assert!((apart(front, hub) - radius).abs() < 1e-6 && (apart(rear, axle) - rear_mm).abs() < 1e-6, "{name}");
        assert!(
            !slack.pieces.iter().any(|piece| piece.id == "lower_2"),
            "{name}: the run where slack is read is one piece"
        );
    }
}
