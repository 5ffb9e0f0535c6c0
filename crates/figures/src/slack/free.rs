//! `slack.free`: total movement of one run, from surplus, reading or links.

use drive::slack::{Fault, Layout, Run, free};
use measure::bounds::slack as bound;
use measure::shown::quantity;
use measure::{Angle, Length};

use super::fields::{ARM_ANGLE, GEOMETRY, LINKS, STATION, joined};
use super::geometry::{at_angle, at_field, large_slack, noted, odd_links, refusal, surplus_of};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.free",
    says: "Slack of the free kind: total movement of one run square to it, pushed fully out to pushed fully in.",
    given: &joined::<16>(
        &GEOMETRY,
        &[
            ARM_ANGLE,
            Field::word("run", &["lower", "upper"]).optional("lower"),
            STATION,
            Field::number("surplus_mm", &bound::SURPLUS).optional("one of three").meaning("chain beyond taut"),
            Field::number("slack_mm", &bound::SLACK).optional("one of three").meaning("a reading, total movement"),
            LINKS.optional("one of three"),
        ],
    ),
    answer: &[
        ("surplus_mm", "chain beyond taut"),
        ("slack_mm", "total movement at the station"),
        ("mid_slack_mm", "the same surplus read at mid-run"),
        ("span_mm", "straight run, tangent point to tangent point"),
    ],
    formula: "F = √(2ae + e²) √(1 - ((2λ - 1) a/(a + e))²); back: e = hypot(λa, F/2) + hypot((1-λ)a, F/2) - a",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    one_of_three(given)?;
    let (layout, arm) = at_angle(given)?;
    let run = if given.opt_text("run") == Some("upper") { Run::Upper } else { Run::Lower };
    if layout.rests(arm, run) {
        return Err(at_field("run", Fault::Rests));
    }
    let (span, station) = (layout.span(arm), given.num_or("station", 0.5));
    let surplus = surplus(given, &layout, arm, station)?;
    let slack = given.opt("slack_mm").map_or_else(|| free::slack(span, surplus, station), Length::from_mm);
    let cut = layout.cut_off(arm, run, station, slack * 0.5);
    let answer = Answer::new()
        .num("surplus_mm", surplus.mm())
        .num("slack_mm", slack.mm())
        .num("mid_slack_mm", free::slack(span, surplus, 0.5).mm())
        .num("span_mm", span.mm());
    let answer = large_slack(noted(answer, given), slack.mm()).notice_if(cut, "cut_off", || {
        format!(
            "pushed in by {} the run meets the slider first: a reading comes out short. Use the gap kind.",
            quantity(slack.mm() / 2.0, "mm", 1)
        )
    });
    if !given.has("links") {
        return Ok(answer);
    }
    let links = given.links("links")?;
    let answer = answer.notice(
        "from_links",
        format!(
            "from {} links and measured geometry: 1 mm of centre distance is about {:.0} mm of slack here, so this is \
         arithmetic, not a reading.",
            links.count(),
            2.0 * span.mm() / slack.mm()
        ),
    );
    Ok(odd_links(answer, links))
}

fn one_of_three(given: &Given<'_>) -> Result<(), Refusal> {
    let count = ["surplus_mm", "slack_mm", "links"].iter().filter(|name| given.has(name)).count();
    if count == 1 {
        return Ok(());
    }
    Err(Refusal::new(
        "surplus_mm",
        "one_of_three",
        format!("surplus_mm, slack_mm and links: {count} of them given, exactly one is wanted. Leave the others out."),
    ))
}

fn surplus(given: &Given<'_>, layout: &Layout, arm: Angle, station: f64) -> Result<Length, Refusal> {
    if let Some(slack) = given.opt("slack_mm") {
        return Ok(free::surplus(layout.span(arm), Length::from_mm(slack), station));
    }
    if given.has("links") {
        let surplus = surplus_of(layout, arm, given.links("links")?);
        return if surplus.mm() > 0.0 { Ok(surplus) } else { Err(refusal(Fault::TooShort { surplus })) };
    }
    let surplus = given.mm("surplus_mm")?;
    if surplus.mm() > 0.0 { Ok(surplus) } else { Err(at_field("surplus_mm", Fault::TooShort { surplus })) }
}
