//! `tyre.size`: nominal, unloaded size from the marking.

use drive::chain::tyre::{Unread, tyre};
use measure::bounds;

use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const SIZE: Figure = Figure {
    name: "tyre.size",
    says: "Nominal, unloaded size of a tyre from its marking.",
    given: &[Field::text("marking").meaning("metric 140/80-18, or inch 4.10-18; text after the rim is left aside")],
    answer: &[
        ("diameter_mm", "outside diameter, mm"),
        ("section_height_mm", "rim to tread, mm"),
        ("circumference_mm", "unloaded, mm"),
        ("width_mm", "nominal width, mm"),
        ("rim_in", "rim diameter, inches"),
    ],
    formula: "D = 25.4 rim + 2 H; H = W ratio/100, inch H = W, or 0.9 W for widths ending in .10 or .60",
    sources: &["tyre-sizes", "memory"],
    ask: size,
};

fn size(given: &Given<'_>) -> Result<Answer, Refusal> {
    let marking = given.text("marking")?;
    let tyre = tyre(marking).map_err(|unread| refusal(marking, unread))?;
    let diameter = tyre.diameter();
    Ok(Answer::new()
        .num("diameter_mm", diameter.mm())
        .num("section_height_mm", tyre.section_height.mm())
        .num("circumference_mm", tyre.circumference().mm())
        .num("width_mm", tyre.width.mm())
        .whole("rim_in", tyre.rim_in)
        .notice(
            "nominal",
            format!(
                "{:.0} mm is nominal and unloaded: real off-road tyres differ by -1 to +4 %. A measured rollout beats it.",
                diameter.mm()
            ),
        )
        .notice_if(tyre.low_inch_ratio, "low_inch_ratio", || {
            format!("The inch width of {marking} was taken as 0.9 high for its width; which widths do so is from memory.")
        })
        .notice_if(tyre.service_text, "service_text_ignored", || {
            format!("Of \"{marking}\" only the size before and at the rim was read.")
        }))
}

fn refusal(marking: &str, unread: Unread) -> Refusal {
    let (code, why) = match unread {
        Unread::Form => ("no_tyre_size", "width, ratio and rim are wanted in that order".to_owned()),
        Unread::Zero => ("no_tyre_size", "width, ratio and rim must be above zero".to_owned()),
        Unread::Rim(rim) => {
            let bound = &bounds::chain::RIM;
            ("out_of_range", format!("its rim is {rim}; {} is possible ({})", bound.range(), bound.word))
        }
    };
    let shown: String = marking.chars().take(40).collect();
    Refusal::new(
        "marking",
        code,
        format!("marking is \"{shown}\": {why}. Write it as on the side wall, like 140/80-18 or 4.10-18."),
    )
}
