//! One joint of the chain: which way its clip points, which pin to press out, how far its plate is pressed.

use upkeep::bike::Bike;

use super::run::Wheels;
use super::{CLIP, CUT, Ink, PRESS, Picture, Shape, Spot};
use crate::Setup;
use crate::ask::{Given, ask, with};

/// The clip at three places of the loop.
pub(super) fn clip() -> Picture {
    let finding = "The closed end leads the way the chain travels: forward on the upper run, rearward on the lower run, \
                   upward behind the rear sprocket.";
    let mut picture = Picture::new(CLIP, "Which way the clip points.", finding);
    let wheels = Wheels::schematic(Spot::new(0.0, 0.0));
    wheels.draw(&mut picture, "");
    let [upper, lower] = wheels.runs();
    let middle = |ends: (Spot, Spot)| Spot::new((ends.0.x_mm + ends.1.x_mm) / 2.0, (ends.0.z_mm + ends.1.z_mm) / 2.0);
    let (above, below) = (middle(upper).plus(10.0, 75.0), middle(lower).plus(10.0, -75.0));
    let behind = wheels.rear.plus(-wheels.rear_mm - 60.0, 0.0);
    for (id, at, towards, (x, z)) in [
        ("upper", above, 0.0, (0.0, 42.0)),
        ("lower", below, 180.0, (0.0, -52.0)),
        ("behind", behind, 90.0, (-42.0, 0.0)),
    ] {
        one_clip(&mut picture, id, at, towards);
        let beside = at.plus(x, z);
        picture.arrow(
            &format!("{id}_travel"),
            Ink::Chain,
            beside.polar(55.0, towards + 180.0),
            beside.polar(55.0, towards),
            16.0,
        );
    }
    picture.say(above.plus(0.0, 60.0), "closed end forward");
    picture.say(below.plus(0.0, -112.0), "closed end rearward");
    picture.say(behind.plus(10.0, 72.0), "up");
    picture
}

/// A clip as seen from its side: round and closed where it leads, open behind.
fn one_clip(picture: &mut Picture, id: &str, at: Spot, towards: f64) {
    let turned = |along: f64, across: f64| at.polar(along, towards).polar(across, towards + 90.0);
    for (pin, along) in [("first", 26.0), ("second", -26.0)] {
        picture.circle(&format!("{id}_pin_{pin}"), Ink::Steel, turned(along, 0.0), 9.0);
    }
    let mut edge = vec![turned(-50.0, 5.0), turned(-44.0, 16.0)];
    edge.extend((-3..=3).rev().map(|step| {
        let angle = 30.0 * f64::from(step);
        turned(26.0, 0.0).polar(20.0, towards + angle)
    }));
    edge.extend([turned(-44.0, -16.0), turned(-50.0, -5.0)]);
    picture.add(&format!("{id}_clip"), Ink::Chain, Shape::Through(edge));
}

/// The end of a new chain with its last links numbered, to the scale of its pitch.
pub(super) fn cut(bike: &Bike, setup: Setup) -> Picture {
    let pitch_mm = pitch(bike).unwrap_or(15.875);
    let (kept, gone) = (setup.links.saturating_sub(1), setup.links);
    let finding = format!(
        "Counted from the other end, link {kept} is an inner link and the last one kept; press the two pins out of the outer link \
         {gone}, whose place the connecting link takes."
    );
    let mut picture = Picture::new(CUT, "Which pins to press out.", finding);
    picture.to_scale = pitch(bike).is_some();
    let at = |pins: i32| Spot::new(pitch_mm * f64::from(pins), 0.0);
    // From the kept side on the left: outer, inner (kept), outer (comes off), inner, outer.
    for (number, first) in (0_i32..5).enumerate() {
        let outer = number.is_multiple_of(2);
        let (ink, radius) = match (outer, number) {
            (true, 2) => (Ink::Limit, 0.40),
            (true, _) => (Ink::Steel, 0.40),
            (false, 1) => (Ink::Chain, 0.30),
            (false, _) => (Ink::Other, 0.30),
        };
        plate(
            &mut picture,
            &format!("link_{}", kept + u32::try_from(number).unwrap_or_default() - 1),
            ink,
            [at(first), at(first + 1)],
            radius * pitch_mm,
        );
    }
    for pin in 0..=5 {
        picture.circle(&format!("roller_{pin}"), Ink::Help, at(pin), 0.2 * pitch_mm);
    }
    for (id, pin) in [("pin_near", 2), ("pin_far", 3)] {
        picture.add(id, Ink::Limit, Shape::Dot(at(pin)));
        let shaft = at(pin).plus(0.0, 1.25 * pitch_mm);
        picture.arrow(&format!("{id}_press"), Ink::Chain, shaft, at(pin).plus(0.0, 0.5 * pitch_mm), 0.2 * pitch_mm);
    }
    let middle = |first: i32| at(first).plus(pitch_mm / 2.0, 0.0);
    picture.say(middle(2).plus(0.0, 1.35 * pitch_mm), "press these two out");
    picture.say(middle(0).plus(0.0, 0.6 * pitch_mm), format!("{kept} kept"));
    picture.say(middle(2).plus(0.2 * pitch_mm, -1.25 * pitch_mm), format!("{gone} comes off"));
    picture.line("far_end", Ink::Help, at(0).plus(-0.4 * pitch_mm, 0.0), at(5).plus(0.4 * pitch_mm, 0.0));
    picture
}

/// The pitch of the chain: the sheet's own, else that of its size.
fn pitch(bike: &Bike) -> Option<f64> {
    let of_size = || ask("chain.size", &with(Given::new(), "size", bike.word("size")?)).ok()?.get("pitch_mm");
    bike.number("pitch_mm").or_else(of_size)
}

/// A plate round two pins.
fn plate(picture: &mut Picture, id: &str, ink: Ink, pins: [Spot; 2], radius_mm: f64) {
    let [rear, front] = pins;
    let half =
        |centre: Spot, from: f64| (0..=6).map(move |step| centre.polar(radius_mm, from + 30.0 * f64::from(step)));
    let mut edge: Vec<Spot> = half(front, -90.0).chain(half(rear, 90.0)).collect();
    edge.extend(edge.first().copied());
    picture.add(id, ink, Shape::Through(edge));
}

/// The connecting link from above beside its neighbour: not home, home, too far.
pub(super) fn press() -> Picture {
    let finding = "Home when the width over the connecting link's plates equals that of a neighbour outer link: wider means press \
                   on, narrower means rings or joint are squeezed, so take it apart and use a new one.";
    let mut picture = Picture::new(PRESS, "How far the plate is pressed.", finding);
    let cases =
        [("wide", 30.0, "wider: press on"), ("home", 0.0, "equal: home"), ("narrow", -22.0, "narrower: squeezed")];
    for (row, (id, out_mm, words)) in cases.into_iter().enumerate() {
        let base = Spot::new(0.0, -250.0 * f64::from(u32::try_from(row).unwrap_or_default()));
        seen_from_above(&mut picture, id, base, out_mm);
        picture.say(base.plus(0.0, -125.0), words);
    }
    picture.say(Spot::new(-100.0, 125.0), "neighbour");
    picture.say(Spot::new(110.0, 125.0), "connecting");
    picture
}

const HALF_MM: f64 = 60.0;

fn seen_from_above(picture: &mut Picture, id: &str, base: Spot, out_mm: f64) {
    // The fixed plate stands where it belongs; the pressed one, above, is off by so much.
    for (link, x, upper) in [("neighbour", -100.0, HALF_MM), ("connecting", 100.0, HALF_MM + out_mm)] {
        let ink = if link == "connecting" && out_mm != 0.0 { Ink::Limit } else { Ink::Chain };
        for (plate, z, ink) in [("pressed", upper, ink), ("fixed", -HALF_MM, Ink::Chain)] {
            picture.line(&format!("{id}_{link}_{plate}"), ink, base.plus(x - 75.0, z), base.plus(x + 75.0, z));
        }
        for (pin, at) in [("first", x - 45.0), ("second", x + 45.0)] {
            let ends = (base.plus(at, -HALF_MM - 12.0), base.plus(at, HALF_MM.max(upper) + 12.0));
            picture.line(&format!("{id}_{link}_pin_{pin}"), Ink::Steel, ends.0, ends.1);
        }
    }
    // The neighbour's width carried over to the connecting link.
    for (line, z) in [("upper", HALF_MM), ("lower", -HALF_MM)] {
        picture.line(&format!("{id}_width_{line}"), Ink::Help, base.plus(-190.0, z), base.plus(215.0, z));
    }
}
