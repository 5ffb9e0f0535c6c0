//! `torque.thread`: sizes of a metric thread.

use super::bolt;
use crate::{Answer, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "torque.thread",
    says: "Sizes and stress area of a metric thread.",
    given: &[bolt::DIAMETER, bolt::PITCH],
    answer: &[
        ("thread_pitch_mm", "pitch, as given or coarse"),
        ("height_mm", "height H of the sharp triangle"),
        ("pitch_diameter_mm", "pitch diameter d2"),
        ("minor_diameter_mm", "minor diameter D1 of the nut thread"),
        ("root_diameter_mm", "root diameter d3 of the bolt thread"),
        ("stress_area_mm2", "area that carries the load"),
    ],
    formula: "H = √3/2 P; d2 = d − 0.75 H; D1 = d − 1.25 H; d3 = D1 − H/6; As = π/4 ((d2 + d3)/2)²",
    sources: &["iso-thread", "iso-898-1"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let thread = bolt::thread(given)?;
    Ok(Answer::new()
        .num("thread_pitch_mm", thread.pitch().mm())
        .num("height_mm", thread.height().mm())
        .num("pitch_diameter_mm", thread.pitch_diameter().mm())
        .num("minor_diameter_mm", thread.minor_diameter().mm())
        .num("root_diameter_mm", thread.root_diameter().mm())
        .num("stress_area_mm2", thread.stress_area_mm2())
        .notice_if(!thread.is_coarse(), "not_coarse", || {
            format!("Pitch {} mm is not the coarse one of {} mm.", thread.pitch().mm(), thread.diameter().mm())
        }))
}
