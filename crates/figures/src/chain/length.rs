//! `chain.links` and `chain.centre`: links needed at a centre distance, and the centre of a link count.

use drive::chain::{slack_centre, sweep};
use measure::{Length, bounds};

use super::notice::{few_teeth, odd_links};
use super::pair::{Drive, FRONT, LINKS as LINKS_FIELD, PITCH, REAR};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const LINKS: Figure = Figure {
    name: "chain.links",
    says: "Links needed at a centre distance, and the even counts on either side with their own centre.",
    given: &[PITCH, FRONT, REAR, Field::number("centre_mm", &bounds::CENTRE).meaning("countershaft to axle, taut")],
    answer: &[
        ("links_needed", "links for a taut chain, a real number"),
        ("links_even_below", "largest even count not above it"),
        ("links_even_above", "smallest even count not below it"),
        ("centre_even_below_mm", "taut centre of the count below, mm; null where the sprockets would touch"),
        ("centre_even_above_mm", "taut centre of the count above, mm"),
        ("span_mm", "taut run from tangent point to tangent point, mm"),
        ("run_angle_deg", "taut run to the line of centres, degrees"),
    ],
    formula: "L = 2 (C/p) cos β + (z1 + z2)/2 + (z2 − z1) β/π, sin β = (r2 − r1)/C, r = p/(2 sin(π/z))",
    sources: &["geometry"],
    ask: links,
};

fn links(given: &Given<'_>) -> Result<Answer, Refusal> {
    let drive = Drive::of(given)?;
    let centre = drive.centre(given, "centre_mm")?;
    let needed = drive.pair.links_needed(centre);
    let (below, above) = (2.0 * (needed / 2.0).floor(), 2.0 * (needed / 2.0).ceil());
    let centre_of = |count| drive.pair.centre(count).map(Length::mm);
    let answer = Answer::new()
        .num("links_needed", needed)
        .json("links_even_below", count(below))
        .json("links_even_above", count(above))
        .num_or_null("centre_even_below_mm", centre_of(below))
        .num_or_null("centre_even_above_mm", centre_of(above))
        .num("span_mm", drive.pair.span(centre).mm())
        .num("run_angle_deg", drive.pair.run_angle(centre).deg());
    Ok(few_teeth(answer, &drive.sprockets()))
}

/// A whole real as a JSON count.
fn count(whole: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "links between bounded stops")]
    let count = whole as u32;
    count
}

pub(super) const CENTRE: Figure = Figure {
    name: "chain.centre",
    says: "Taut centre distance of a link count, its tight phase and ripple, and the centre at a wanted slack.",
    given: &[
        PITCH,
        FRONT,
        REAR,
        LINKS_FIELD,
        Field::number("slack_mm", &bounds::chain::SLACK)
            .optional("none")
            .meaning("total mid-run travel, nothing touching the run"),
    ],
    answer: &[
        ("centre_mm", "taut centre distance, mean over one tooth, mm"),
        ("centre_tight_mm", "largest centre distance that never binds, mm"),
        ("ripple_mm", "need for chain over one tooth, peak to peak, mm"),
        ("span_mm", "taut run from tangent point to tangent point, mm"),
        ("run_angle_deg", "taut run to the line of centres, degrees"),
        ("centre_slack_mm", "centre distance at the wanted slack, mm"),
    ],
    formula: "L(C) = N by Newton; tight phase and ripple by rigid links on the pitch polygons over one tooth; \
              slack: (N − L(C)) p = surplus that lets the middle of the run travel so far",
    sources: &["geometry"],
    ask: centre,
};

fn centre(given: &Given<'_>) -> Result<Answer, Refusal> {
    let drive = Drive::of(given)?;
    let links = given.links("links")?;
    let centre = drive.taut("links", links)?;
    let swept = sweep(&drive.pair, links.real()).ok_or_else(|| drive.too_few("links", links))?;
    let slack = given.opt("slack_mm");
    let at_slack = slack.map(|slack| at_slack(&drive, links, slack)).transpose()?;
    let span = drive.pair.span(centre);
    let answer = Answer::new()
        .num("centre_mm", centre.mm())
        .num("centre_tight_mm", swept.tight_centre.mm())
        .num("ripple_mm", swept.ripple.mm())
        .num("span_mm", span.mm())
        .num("run_angle_deg", drive.pair.run_angle(centre).deg())
        .num_if("centre_slack_mm", at_slack.map(Length::mm))
        .notice_if(slack.is_some(), "tape_warning", || tape_warning(slack.unwrap_or_default(), centre, at_slack));
    Ok(few_teeth(odd_links(answer, &[("links", links)]), &drive.sprockets()))
}

fn at_slack(drive: &Drive, links: measure::Links, slack: f64) -> Result<Length, Refusal> {
    slack_centre(&drive.pair, links.real(), Length::from_mm(slack)).ok_or_else(|| {
        Refusal::new(
            "slack_mm",
            "more_slack_than_room",
            format!(
                "slack_mm is {slack} mm; on {} links the tooth tips would touch before the run is that slack. \
                 Ask for less slack or more links.",
                links.count()
            ),
        )
    })
}

fn tape_warning(slack: f64, taut: Length, at_slack: Option<Length>) -> String {
    let forward = at_slack.map_or(0.0, |centre| (taut - centre).mm());
    format!(
        "slack_mm {slack} lies only {forward:.2} mm of axle from taut: never predict slack from a tape-measured \
         centre. Measure the slack itself and use this for changes from there."
    )
}
