//! `slack.taut_loop`: the tightest loop round sprockets and slider.

use super::fields::{ARM_ANGLE, GEOMETRY, LINKS, joined};
use super::geometry::{at_angle, noted, odd_links, surplus_of};
use crate::{Answer, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.taut_loop",
    says: "Chain that the tightest loop round both sprockets and the slider takes at an arm angle.",
    given: &joined::<12>(&GEOMETRY, &[ARM_ANGLE, LINKS.optional("no surplus asked")]),
    answer: &[
        ("length_mm", "chain that the taut loop takes"),
        ("centre_mm", "countershaft to axle"),
        ("span_mm", "straight run, tangent point to tangent point, slider left out"),
        ("wrap_front_deg", "wrap on the front sprocket"),
        ("wrap_rear_deg", "wrap on the rear sprocket"),
        ("on_slider", "whether the taut loop touches the slider"),
        ("surplus_mm", "with links: chain beyond taut, below 0 = does not go round"),
    ],
    formula: "L = border of the hull of the discs; arcs on sprockets count N p / 2π for each radian",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (layout, arm) = at_angle(given)?;
    let taut = layout.taut_loop(arm);
    let answer = Answer::new()
        .num("length_mm", taut.length.mm())
        .num("centre_mm", layout.centre(arm).mm())
        .num("span_mm", layout.span(arm).mm())
        .num("wrap_front_deg", taut.wrap_front.deg())
        .num("wrap_rear_deg", taut.wrap_rear.deg())
        .flag("on_slider", taut.on_slider);
    let answer = noted(answer, given);
    if !given.has("links") {
        return Ok(answer);
    }
    let links = given.links("links")?;
    Ok(odd_links(answer.num("surplus_mm", surplus_of(&layout, arm, links).mm()), links))
}
