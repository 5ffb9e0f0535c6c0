//! `slack.hang`: how a slack run hangs at rest, and what lifting it from rest reads.

use drive::chain::hang;
use measure::bounds;

use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const HANG: Figure = Figure {
    name: "slack.hang",
    says: "A run hanging at rest: its sag, its total travel, what lifting it from rest reads, and its tension.",
    given: &[
        Field::number("span_mm", &bounds::chain::SPAN).meaning("free run, tangent point to tangent point"),
        Field::number("surplus_mm", &bounds::chain::SURPLUS).meaning("chain beyond taut in this run"),
        Field::number("mass_kg_per_m", &bounds::chain::HANGING_MASS).optional("none: no tension"),
    ],
    answer: &[
        ("slack_mm", "total mid-run travel, mm"),
        ("sag_mm", "below the straight line at rest, mm"),
        ("rest_to_lift_mm", "from rest to pushed fully in, mm"),
        ("tension_n", "horizontal tension of the hanging run, N; with mass_kg_per_m"),
    ],
    formula: "m = √(2 S e + e²); sinh(u)/u = (S + e)/S, sag (S/2u)(cosh u − 1), H = q g S/2u; rest to lift m/2 + sag",
    sources: &["geometry", "free-body", "exact-units"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let hung = hang(given.mm("span_mm")?, given.mm("surplus_mm")?);
    let tension = given.opt("mass_kg_per_m").map(|mass| (hung.tension_per_mass * mass).n());
    Ok(Answer::new()
        .num("slack_mm", hung.travel.mm())
        .num("sag_mm", hung.sag.mm())
        .num("rest_to_lift_mm", hung.rest_to_lift.mm())
        .num_if("tension_n", tension))
}
