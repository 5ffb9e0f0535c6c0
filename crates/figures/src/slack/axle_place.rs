//! `slack.axle_place`: where the axle must stand for a chain and a pair of sprockets.

use drive::slack::required::lower_slack;
use drive::slack::{axle, gap};
use measure::Length;
use measure::bounds::slack as bound;
use measure::shown::quantity;

use super::fields::{DEFAULT_MARGIN_MM, DROOP, GAP_IF_ASKED, GEOMETRY, LINKS, MARGIN, TRAVEL, joined};
use super::geometry::{at_field, gap_place, noted, odd_links, placed, refusal, surplus_of, with_travel};
use crate::{Answer, Field, Figure, Given, Refusal};

const ASKED: [Field; 16] = joined(
    &GEOMETRY,
    &[
        LINKS,
        DROOP,
        TRAVEL,
        MARGIN,
        Field::number("slot_min_mm", &bound::SLOT).meaning("arm length with the axle at the front stop"),
        Field::number("slot_max_mm", &bound::SLOT).meaning("arm length with the axle at the rear stop"),
    ],
);

pub(super) const FIGURE: Figure = Figure {
    name: "slack.axle_place",
    says: "The axle place at which this chain on these sprockets keeps the margin at the tightest place, and the \
           reading to set there.",
    given: &joined::<19>(&ASKED, &GAP_IF_ASKED),
    answer: &[
        ("axle_mm", "arm length wanted"),
        ("shift_mm", "from arm_mm, + back"),
        ("fit", "fits, too_short (before the front stop) or too_long (behind the rear stop)"),
        ("room_mm", "to the rear stop, below 0 = beyond it"),
        ("required_slack_mm", "slack at full extension there, mid lower run; null where that run rests on the slider"),
        ("required_gap_mm", "with the gap fields: gap at full extension there"),
    ],
    formula: "n p - max over the travel of L_taut(arm) = margin, solved for arm; arm angles held",
    sources: &["geometry", "ours"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let place = gap_place(given)?;
    let (low, high) = (given.mm("slot_min_mm")?, given.mm("slot_max_mm")?);
    if high <= low {
        return Err(Refusal::new(
            "slot_max_mm",
            "not_above",
            format!("slot_max_mm is {}; above slot_min_mm {} is possible. Exchange them?", high.mm(), low.mm()),
        ));
    }
    let (layout, swing) = with_travel(given)?;
    let links = given.links("links")?;
    let margin = Length::from_mm(given.num_or("margin_mm", DEFAULT_MARGIN_MM));
    let wanted = axle::place(&layout, &swing, links, margin).map_err(|fault| at_field("links", fault))?;
    let moved = layout.with_arm(wanted);
    let surplus = surplus_of(&moved, swing.extension, links);
    let slack = lower_slack(&moved, swing.extension, surplus);
    let fit = if wanted < low {
        "too_short"
    } else if wanted > high {
        "too_long"
    } else {
        "fits"
    };
    let mut answer = Answer::new()
        .num("axle_mm", wanted.mm())
        .num("shift_mm", (wanted - given.mm("arm_mm")?).mm())
        .text("fit", fit)
        .num("room_mm", (high - wanted).mm())
        .num_or_null("required_slack_mm", slack.slack.map(Length::mm));
    if let Some(place) = place {
        let gap = gap::gap(&moved, swing.extension, &place, surplus).map_err(refusal)?;
        answer = answer.num("required_gap_mm", gap.mm());
    }
    let worn = given.num_or("elongation_pct", 0.0);
    let answer = odd_links(placed(noted(answer, given), given, &swing), links)
        .notice_if(worn > 0.0, "worn_chain", || {
            format!(
                "at {worn} % elongation the chain rides up the teeth: this place is the lower bound. When it runs out \
                 of adjuster, chain.fit says."
            )
        })
        .notice_if(slack.cut_off, "cut_off", || {
            format!(
                "with {} of surplus the lower run meets the slider before it is pushed fully in. Use the gap kind.",
                quantity(surplus.mm(), "mm", 1)
            )
        });
    Ok(answer)
}
