//! Fasteners in a ring: each with its turn in the crossing order that `torque.star` gives.

use super::{Ink, Picture, STAR, Spot};
use crate::ask::{Given, ask, with};

const RADIUS_MM: f64 = 100.0;

/// The order of tightening for so many fasteners; none where there is no such ring.
pub(super) fn crossing(count: u32) -> Option<Picture> {
    let answer = ask("torque.star", &with(Given::new(), "bolts", count)).ok()?;
    let order: Vec<u32> = answer
        .at("order")?
        .as_array()?
        .iter()
        .filter_map(|bolt| bolt.as_u64().and_then(|bolt| u32::try_from(bolt).ok()))
        .collect();
    let words: Vec<String> = order.iter().map(ToString::to_string).collect();
    let finding = format!(
        "Counted clockwise from any one as 1, tighten in the order {}; the numbers on the picture are the turns.",
        words.join("-")
    );
    let mut picture = Picture::new(STAR, &format!("Crossing order of {count} fasteners."), finding);
    let centre = Spot::new(0.0, 0.0);
    let place = |bolt: u32, radius: f64| centre.polar(radius, 90.0 - 360.0 * f64::from(bolt - 1) / f64::from(count));
    picture.circle("ring", Ink::Help, centre, RADIUS_MM);
    for (at, pair) in order.windows(2).enumerate() {
        // The line stops short of the next fastener, so that its head is seen.
        let (from, to) = (place(pair[0], RADIUS_MM - 17.0), place(pair[1], RADIUS_MM - 17.0));
        picture.arrow(&format!("way_{}", at + 1), Ink::Other, from, to, 9.0);
    }
    for (turn, bolt) in order.iter().enumerate() {
        picture.circle(&format!("fastener_{bolt}"), Ink::Steel, place(*bolt, RADIUS_MM), 13.0);
        picture.say(place(*bolt, RADIUS_MM + 40.0).plus(0.0, -14.0), format!("{}", turn + 1));
    }
    Some(picture)
}
