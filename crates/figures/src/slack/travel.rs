//! `slack.travel`: one chain through the travel, the curve that a page draws.

use drive::slack::required::lower_surplus;
use drive::slack::tightest::tightest;
use drive::slack::travel::{Place, through};
use drive::slack::{Layout, Swing};
use measure::bounds::slack as bound;
use measure::shown::quantity;
use measure::{Length, Links};
use serde_json::{Value, json};

use super::fields::{DROOP, GEOMETRY, LINKS, MEASURED_AT, READING, TRAVEL, joined};
use super::geometry::{measured_at, noted, odd_links, placed, refusal, with_travel};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.travel",
    says: "Surplus and slack of one chain through the travel of the suspension, from its links or from one reading.",
    given: &joined::<16>(
        &GEOMETRY,
        &[
            DROOP,
            TRAVEL,
            LINKS.optional("one of two"),
            READING.optional("one of two"),
            MEASURED_AT.optional("droop_deg; only with slack_mm"),
            Field::whole("places", &bound::PLACES).meaning("places of the curve, both ends counted"),
        ],
    ),
    answer: &[
        ("chain_mm", "length of the whole chain"),
        ("tightest_deg", "arm angle where most chain is taken; null where every place is alike"),
        ("tightest_travel_mm", "wheel travel there; null where every place is alike"),
        ("least_surplus_mm", "surplus there, below 0 = taut before it"),
        (
            "curve",
            "list of {travel_mm, arm_angle_deg, centre_mm, surplus_mm, slack_mm, on_slider} from full extension to full \
             compression; slack_mm at mid lower run, 0 = taut, null where that run rests on the slider",
        ),
    ],
    formula: "surplus = chain - L_taut(φ); chain = n p, or L_taut + e(reading) where it was read; slack = √(2ae + e²)",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    if given.has("links") == given.has("slack_mm") {
        let count = if given.has("links") { "both" } else { "none" };
        return Err(Refusal::new(
            "links",
            "one_of_two",
            format!("links and slack_mm: {count} given, exactly one is wanted. A reading says more than a link count."),
        ));
    }
    let (layout, swing) = with_travel(given)?;
    let links = given.has("links").then(|| given.links("links")).transpose()?;
    let chain = chain(given, &layout, &swing, links)?;
    let steps = u16::try_from(given.whole("places")?.saturating_sub(1)).unwrap_or(u16::MAX);
    let curve = through(&layout, &swing, given.mm("travel_mm")?, chain, steps);
    let tightest = tightest(&layout, &swing);
    let least = chain - tightest.length;
    let place = (!tightest.constant).then_some(tightest.arm);
    let answer = Answer::new()
        .num("chain_mm", chain.mm())
        .num_or_null("tightest_deg", place.map(measure::Angle::deg))
        .num_or_null("tightest_travel_mm", place.map(|arm| swing.travel_at(arm).mm()))
        .num("least_surplus_mm", least.mm())
        .json("curve", curve.iter().map(point).collect::<Vec<Value>>());
    let answer = placed(noted(answer, given), given, &swing).notice_if(least.mm() <= 0.0, "taut_in_travel", || {
        format!(
            "at {:.1} deg the chain is {} short: it goes taut before the tightest place and can break itself, \
             the gearbox or the hub. Do not ride it like this.",
            tightest.arm.deg(),
            quantity(-least.mm(), "mm", 2)
        )
    });
    Ok(match links {
        Some(links) => odd_links(answer, links).notice(
            "from_links",
            format!("from {} links and measured geometry: arithmetic, not a reading. Read the slack.", links.count()),
        ),
        None => answer,
    })
}

/// The whole chain: counted, or found from a reading where it was taken.
fn chain(given: &Given<'_>, layout: &Layout, swing: &Swing, links: Option<Links>) -> Result<Length, Refusal> {
    let arm = measured_at(given, swing)?;
    if let Some(links) = links {
        return Ok(layout.pitch() * links.real());
    }
    let surplus = lower_surplus(layout, arm, given.mm("slack_mm")?, 0.5).map_err(refusal)?;
    Ok(layout.taut_length(arm) + surplus)
}

fn point(place: &Place) -> Value {
    json!({
        "travel_mm": place.travel.mm(),
        "arm_angle_deg": place.arm.deg(),
        "centre_mm": place.centre.mm(),
        "surplus_mm": place.surplus.mm(),
        "slack_mm": place.slack.map(Length::mm),
        "on_slider": place.on_slider,
    })
}
