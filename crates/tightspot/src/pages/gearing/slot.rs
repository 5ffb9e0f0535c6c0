//! The axle in its slot, to scale: front stop at the right, for the bike looks to the right.

use advice::fit::{CARE_ROOM_MM, Place};
use advice::words::mm;
use maud::Markup;

use crate::frame::drawing::{Drawing, Ink, Label, Piece, Shape, Spot, drawing};

/// Half the height of the drawn stops; the picture has no other height.
const STOP_MM: f64 = 5.0;

/// How far inwards the words of the stops stand, as a part of the slot.
const INWARDS: f64 = 0.12;

/// The drawing of one place.
pub(super) fn slot(place: &Place) -> Markup {
    let rear_x = -(place.from_front_mm + place.left_mm);
    let axle_x = -place.from_front_mm;
    let upright =
        |x_mm: f64, half_mm: f64| Shape::Segment { from: Spot::new(x_mm, -half_mm), to: Spot::new(x_mm, half_mm) };
    let piece = |id, ink, shape| Piece { id, ink, shape };
    let pieces = [
        piece("slot", Ink::Steel, Shape::Segment { from: Spot::new(rear_x, 0.0), to: Spot::new(0.0, 0.0) }),
        piece("care_front", Ink::Help, upright(-CARE_ROOM_MM, STOP_MM * 0.6)),
        piece("care_rear", Ink::Help, upright(rear_x + CARE_ROOM_MM, STOP_MM * 0.6)),
        piece("front_stop", Ink::Limit, upright(0.0, STOP_MM)),
        piece("rear_stop", Ink::Limit, upright(rear_x, STOP_MM)),
        piece("axle", Ink::Chain, Shape::Dot(Spot::new(axle_x, 0.0))),
    ];
    let labels = [
        // Words stand around their spot: those of the stops a little inwards, or a phone would cut them off.
        Label { at: Spot::new(rear_x * INWARDS, STOP_MM), words: "front stop" },
        Label { at: Spot::new(rear_x * (1.0 - INWARDS), STOP_MM), words: "rear stop" },
        Label { at: Spot::new(axle_x, 1.2), words: "axle" },
    ];
    let finding = match (place.from_front_mm < 0.0, place.left_mm < 0.0) {
        (true, _) => format!("A new chain would put the axle {} in front of the front stop.", mm(-place.from_front_mm)),
        (_, true) => format!("A new chain would put the axle {} behind the rear stop.", mm(-place.left_mm)),
        _ => format!(
            "A new chain puts the axle {} behind the front stop and leaves {} to the rear one.",
            mm(place.from_front_mm),
            mm(place.left_mm)
        ),
    };
    drawing(&Drawing {
        id: "slot",
        title: "The axle in its slot, seen with the front of the bike to the right.",
        finding: &format!("{finding} The thin lines mark {} from each stop, where care begins.", mm(CARE_ROOM_MM)),
        pieces: &pieces,
        labels: &labels,
    })
}
