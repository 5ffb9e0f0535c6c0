//! The outer width of a chain against the guide and the engine case: air on both sides, or none.
//!
//! A sealed chain is wider over its pins than a plain one of the same size. Guide and case are the sheet's own entries.

use upkeep::bike::{Bike, field};

use super::Asked;
use crate::fact::Fact;
use crate::verdict::{Reason, Verdict};
use crate::words::{mm, quantity};

/// Under this much air on a side the fit asks for care. The tool's own threshold.
const CARE_AIR_MM: f64 = 1.0;

/// A place that the chain must pass: the sheet's field, what it is called, and how much room on a side it leaves.
struct Passage {
    field: &'static str,
    name: &'static str,
    place: &'static str,
    key: &'static str,
    label: &'static str,
    air_mm: fn(f64, f64) -> f64,
}

/// The guide is as wide as it is; towards the case half of the chain stands out from the middle of the teeth.
const PASSAGES: [Passage; 2] = [
    Passage {
        field: "guide_width_mm",
        name: "chain guide",
        place: "bike?field=guide_width_mm#guide_width_mm",
        key: "guide_air_mm",
        label: "Air in the guide, each side",
        air_mm: |room_mm, wide_mm| (room_mm - wide_mm) / 2.0,
    },
    Passage {
        field: "case_gap_mm",
        name: "engine case",
        place: "bike?field=case_gap_mm#case_gap_mm",
        key: "case_air_mm",
        label: "Air to the engine case",
        air_mm: |room_mm, wide_mm| room_mm - wide_mm / 2.0,
    },
];

/// What the width makes of it, with the air that it leaves.
pub(super) fn judged(bike: &Bike, asked: &Asked) -> (Vec<Reason>, Vec<Fact>) {
    if !asked.what.buys()[0] {
        return (Vec::new(), Vec::new());
    }
    let Some(wide_mm) = asked.outer_width_mm else { return (not_said(bike, asked).into_iter().collect(), Vec::new()) };
    let (mut reasons, mut facts) = (Vec::new(), Vec::new());
    for passage in &PASSAGES {
        match bike.number(passage.field) {
            Some(room_mm) => {
                let air_mm = (passage.air_mm)(room_mm, wide_mm);
                reasons.extend(tight(passage, air_mm, wide_mm, room_mm));
                facts.push(
                    Fact::new(passage.key, passage.label, mm(air_mm), air_mm)
                        .because(format!("{} over the pins, {} at the {}", mm(wide_mm), mm(room_mm), passage.name))
                        .sure("as good as the caliper; the chain runs in the middle of the teeth")
                        .unless("a worn guide, a bent bracket, a sprocket of another offset"),
                );
            }
            None => reasons.push(missing(passage)),
        }
    }
    (reasons, facts)
}

fn tight(passage: &Passage, air_mm: f64, wide_mm: f64, room_mm: f64) -> Option<Reason> {
    let sizes = format!("{} over the pins, {} there", mm(wide_mm), mm(room_mm));
    if air_mm <= 0.0 {
        let text = format!("It does not pass the {}: {sizes}, {} too wide on a side.", passage.name, mm(-air_mm));
        return Some(Reason::new(Verdict::Stop, "", text));
    }
    (air_mm < CARE_AIR_MM).then(|| {
        let text = format!(
            "Only {} of air at the {} ({sizes}; care under {}, the tool's own threshold).",
            mm(air_mm),
            passage.name,
            quantity(CARE_AIR_MM, "mm", 0)
        );
        Reason::new(Verdict::Care, "", text)
    })
}

fn missing(passage: &Passage) -> Reason {
    let how_to = field(passage.field).map_or("", |field| field.how_to);
    let text =
        format!("Whether it passes the {} is not known: {} is not on the bike sheet.", passage.name, passage.field);
    Reason::new(Verdict::Unknown, "", text).cleared_at(passage.place, how_to, 2)
}

/// A chain whose width nobody typed: only a plain one in place of a sealed one of the same size is surely no wider.
fn not_said(bike: &Bike, asked: &Asked) -> Option<Reason> {
    let same_size = asked.size.as_deref().is_some_and(|size| bike.word("size") == Some(size));
    if same_size && asked.sealed == Some(false) && bike.flag("sealed") == Some(true) {
        return None;
    }
    let wider = if asked.sealed == Some(true) { "A sealed chain is wider than a plain one. " } else { "" };
    let text = format!(
        "{wider}Its outer width is not said: measure it over the pin ends of the connecting link, or ask the seller."
    );
    Some(Reason::new(Verdict::Unknown, "", text))
}
