//! `torque.class`: what the number on a bolt head promises.

use upkeep::torque::PropertyClass;

use super::bolt;
use crate::{Answer, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "torque.class",
    says: "Least strengths and loads of a bolt by the number on its head.",
    given: &[bolt::CLASS, bolt::DIAMETER, bolt::PITCH],
    answer: &[
        ("tensile_mpa", "least tensile strength"),
        ("yield_mpa", "least yield or 0.2 % proof strength"),
        ("proof_mpa", "stress under proof load"),
        ("proof_load_n", "proof load of the thread"),
        ("tensile_load_n", "least breaking load of the thread"),
    ],
    formula: "load = stress area × stress",
    sources: &["iso-898-1", "iso-thread"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (_, strength) = bolt::class(given)?;
    let thread = bolt::thread(given)?;
    Ok(Answer::new()
        .num("tensile_mpa", strength.tensile_mpa)
        .num("yield_mpa", strength.yield_mpa)
        .num("proof_mpa", strength.proof_mpa)
        .num("proof_load_n", PropertyClass::load(&thread, strength.proof_mpa).n())
        .num("tensile_load_n", PropertyClass::load(&thread, strength.tensile_mpa).n()))
}
