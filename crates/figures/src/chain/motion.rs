//! `chain.pairing` and `chain.ripple`: how links and teeth meet, how unevenly a polygon drives.

use drive::chain::motion::{pairing as meet, pulse};
use measure::bounds;

use super::notice::few_teeth;
use super::pair::LINKS;
use crate::{Answer, Field, Figure, Given, Refusal};

const TEETH: Field = Field::whole("teeth", &bounds::TEETH);

pub(super) const PAIRING: Figure = Figure {
    name: "chain.pairing",
    says: "When the same link meets the same tooth again, and how many links a tooth meets.",
    given: &[LINKS, TEETH],
    answer: &[
        ("passes_to_repeat", "links that pass until the same link meets the same tooth"),
        ("loops_to_repeat", "loops of the chain until then"),
        ("turns_to_repeat", "turns of the sprocket until then"),
        ("links_met", "different links that one tooth meets"),
        ("same_kind", "whether a tooth only ever meets inner, or only outer, links"),
    ],
    formula: "lcm(N, z) passes, z/gcd loops, N/gcd turns and links; same kind if N and z are even",
    sources: &["geometry"],
    ask: pairing,
};

fn pairing(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (links, teeth) = (given.links("links")?, given.teeth("teeth")?);
    let met = meet(links, teeth);
    Ok(Answer::new()
        .whole("passes_to_repeat", met.passes)
        .whole("loops_to_repeat", met.loops)
        .whole("turns_to_repeat", met.turns)
        .whole("links_met", met.links_met)
        .flag("same_kind", met.same_kind)
        .notice_if(met.loops == 1, "one_loop", || {
            format!(
                "{} teeth divide {} links: each tooth meets the same {} links every loop, and both wear to each other.",
                teeth.count(),
                links.count(),
                met.links_met
            )
        })
        .notice_if(met.same_kind, "same_kind", || {
            format!(
                "{} links and {} teeth are both even: a tooth meets only inner or only outer links.",
                links.count(),
                teeth.count()
            )
        }))
}

pub(super) const RIPPLE: Figure = Figure {
    name: "chain.ripple",
    says: "Speed pulse of one evenly turning sprocket, and the bend of a joint on it.",
    given: &[TEETH],
    answer: &[
        ("ripple_of_max_pct", "fastest less slowest, percent of the fastest"),
        ("ripple_of_mean_pct", "fastest less slowest, percent of the mean"),
        ("bend_deg", "bend of a joint entering, and again leaving, degrees"),
    ],
    formula: "1 − cos(π/z); (π/z) tan(π/2z); 360°/z",
    sources: &["geometry"],
    ask: ripple,
};

fn ripple(given: &Given<'_>) -> Result<Answer, Refusal> {
    let teeth = given.teeth("teeth")?;
    let pulse = pulse(teeth);
    let answer = Answer::new()
        .num("ripple_of_max_pct", pulse.of_max * 100.0)
        .num("ripple_of_mean_pct", pulse.of_mean * 100.0)
        .num("bend_deg", pulse.bend.deg());
    Ok(few_teeth(answer, &[("teeth", teeth)]))
}
