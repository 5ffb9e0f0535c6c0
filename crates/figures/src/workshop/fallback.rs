//! `torque.fallback`: a torque where the manual gives none, for plain steel bolts of guides and brackets only.

use measure::bounds::workshop as bounds;
use upkeep::torque::{fallback, hexagon_contact};

use super::bolt;
use super::preload::band_of;
use crate::{Answer, Field, Figure, Given, Refusal};

const PLACES: [&str; 4] = ["guide", "guard", "bracket", "roller"];
const FRICTION_LOW: f64 = 0.10;
const FRICTION_HIGH: f64 = 0.20;

pub(super) const FIGURE: Figure = Figure {
    name: "torque.fallback",
    says: "A torque for a plain steel bolt of a guide, guard, bracket or roller of which the manual says nothing.",
    given: &[
        bolt::DIAMETER,
        bolt::PITCH,
        bolt::CLASS,
        Field::text("material").meaning("of the thread: steel; for any other there is no computed figure"),
        Field::text("place")
            .meaning("guide, guard, bracket or roller; for any other place there is no computed figure"),
        Field::flag("manual_checked").meaning("true: I looked and the manual has none"),
        bolt::CONTACT.optional("hexagon head of 5, 6, 8, 10, 12, 14 or 16 mm"),
        Field::number("friction_low", &bounds::FRICTION).optional("0.10"),
        Field::number("friction_high", &bounds::FRICTION).optional("0.20"),
    ],
    answer: &[
        ("torque_nm", "as computed"),
        ("set_nm", "rounded down to two figures: what is shown"),
        ("preload_low_n", "preload at friction_high"),
        ("preload_high_n", "preload at friction_low"),
        ("proof_low_pct", "share of the proof load at friction_high"),
        ("proof_high_pct", "share of the proof load at friction_low"),
    ],
    formula: "torque that gives 75 % of the proof load at the lowest friction of the band",
    sources: &["practice", "vdi-2230", "iso-898-1", "hexagon-heads"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    allowed(given)?;
    let (class, _) = bolt::class(given)?;
    let diameter = given.mm("diameter_mm")?;
    let contact = if given.has("head_contact_mm") {
        bolt::contact(given)?
    } else {
        hexagon_contact(diameter).ok_or_else(|| {
            Refusal::new(
                "head_contact_mm",
                "no_head_size",
                format!(
                    "head_contact_mm is missing and no head size of {} mm is known. Measure half of bearing face \
                     plus clearance hole and give it.",
                    diameter.mm()
                ),
            )
        })?
    };
    let band = band_of(given.num_or("friction_low", FRICTION_LOW), given.num_or("friction_high", FRICTION_HIGH))?;
    let thread = bolt::thread(given)?;
    let found = fallback(&thread, class, contact, band).ok_or_else(|| Refusal::missing("property_class"))?;
    Ok(Answer::new()
        .num("torque_nm", found.torque.nm())
        .num("set_nm", found.set.nm())
        .num("preload_low_n", found.preload_low.n())
        .num("preload_high_n", found.preload_high.n())
        .num("proof_low_pct", found.proof_low_pct)
        .num("proof_high_pct", found.proof_high_pct)
        .notice(
            "no_manual_figure",
            format!(
                "{} N·m is computed, not from your manual: only for a plain steel bolt in steel. A manual's figure \
                 always wins.",
                found.set.nm()
            ),
        ))
}

/// Only where a computed figure can do no harm.
fn allowed(given: &Given<'_>) -> Result<(), Refusal> {
    let place = given.text("place")?;
    if !PLACES.contains(&place) {
        return Err(Refusal::new(
            "place",
            "manual_only",
            format!(
                "place is \"{place}\"; a computed torque is possible for guide, guard, bracket and roller only. \
                 Take the figure from the bike's manual or ask a workshop."
            ),
        ));
    }
    let material = given.text("material")?;
    if material != "steel" {
        return Err(Refusal::new(
            "material",
            "manual_only",
            format!("material is \"{material}\"; a computed torque is possible for a thread in steel only."),
        ));
    }
    if !given.flag_or("manual_checked", false) {
        return Err(Refusal::new(
            "manual_checked",
            "look_first",
            "manual_checked is false; true is possible. Look in the bike's manual first: its figure always wins.",
        ));
    }
    Ok(())
}
