//! `chain.axle_shift`: how far the axle moves for other teeth, another link count or elongation.

use drive::chain::Sprockets;
use measure::{Links, Teeth, bounds};

use super::notice::{few_teeth, odd_links};
use super::pair::{Drive, FRONT, LINKS, PITCH, REAR};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const AXLE_SHIFT: Figure = Figure {
    name: "chain.axle_shift",
    says: "How far the axle moves, back positive, for other teeth, another link count or elongation.",
    given: &[
        PITCH,
        FRONT,
        REAR,
        LINKS,
        Field::whole("to_front_teeth", &bounds::TEETH).optional("unchanged"),
        Field::whole("to_rear_teeth", &bounds::TEETH).optional("unchanged"),
        Field::whole("to_links", &bounds::LINKS).optional("unchanged"),
        Field::number("to_elongation_pct", &bounds::ELONGATION).optional("0"),
    ],
    answer: &[
        ("centre_mm", "taut centre before, new chain, mm"),
        ("to_centre_mm", "taut centre after, seated bound, mm"),
        (
            "shift_seated_mm",
            "axle moves back so far if the longer chain stays seated at the old pitch: upper bound, mm",
        ),
        ("shift_ride_up_mm", "axle moves back so far if every pitch grows, on the sprockets too: lower bound, mm"),
    ],
    formula: "difference of two centres from L(C) = N; worn: seated L(C) = N(1 + ε), ride-up C(1 + ε)",
    sources: &["geometry"],
    ask: axle_shift,
};

fn axle_shift(given: &Given<'_>) -> Result<Answer, Refusal> {
    let before = Drive::of(given)?;
    let links = given.links("links")?;
    let centre = before.taut("links", links)?;
    let teeth = |to: &str, now: Teeth| if given.has(to) { given.teeth(to) } else { Ok(now) };
    let (front, rear) = (teeth("to_front_teeth", before.front)?, teeth("to_rear_teeth", before.rear)?);
    let to_links = if given.has("to_links") { given.links("to_links")? } else { links };
    let after = Drive { front, rear, pair: Sprockets::new(before.pair.pitch(), front, rear) };
    let new = after
        .taut("to_links", to_links)
        .map_err(|refusal| if given.has("to_links") { refusal } else { kept(&after, links) })?;
    let grown = 1.0 + given.elongation("to_elongation_pct").fraction();
    // A negative reading on a chain that only just goes round cannot make it too short to do so.
    let seated = after.pair.centre((to_links.real() * grown).max(after.pair.least_links())).unwrap_or(new);
    let answer = Answer::new()
        .num("centre_mm", centre.mm())
        .num("to_centre_mm", seated.mm())
        .num("shift_seated_mm", (seated - centre).mm())
        .num("shift_ride_up_mm", (new * grown - centre).mm());
    Ok(worded(answer, &before, &after, (links, to_links)))
}

/// The chain on the bike does not go round the wanted sprockets.
fn kept(after: &Drive, links: Links) -> Refusal {
    Refusal::new(
        "to_links",
        "too_few_links",
        format!(
            "to_links is left at {}; {} and {} teeth need {} links or more. Give to_links for a longer chain.",
            links.count(),
            after.front.count(),
            after.rear.count(),
            after.pair.least_links().ceil()
        ),
    )
}

fn worded(answer: Answer, before: &Drive, after: &Drive, (links, to_links): (Links, Links)) -> Answer {
    let answer = odd_links(answer, &[("links", links), ("to_links", to_links)]);
    let [front, rear] = before.sprockets();
    few_teeth(answer, &[front, rear, ("to_front_teeth", after.front), ("to_rear_teeth", after.rear)])
}

#[cfg(test)]
mod tests {
    use crate::{NoTracks, ask};
    use serde_json::json;

    #[test]
    fn nothing_changed_moves_nothing() {
        let given = json!({"pitch_mm": 15.875, "front_teeth": 14, "rear_teeth": 48, "links": 118});
        let answer = ask("chain.axle_shift", given.as_object().expect("an object"), &NoTracks).expect("answers");
        assert_eq!(answer.get("shift_seated_mm"), Some(0.0));
        assert_eq!(answer.get("shift_ride_up_mm"), Some(0.0));
    }
}
