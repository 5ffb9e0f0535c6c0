//! `sprocket.geometry`: diameters, gap and tooth forms.

use drive::chain::sprocket::{Gaps, NARROW_TOOTH_PITCH, blank, gaps, tooth_width};
use measure::{Length, bounds};

use super::notice::few_teeth;
use super::pair::PITCH;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const GEOMETRY: Figure = Figure {
    name: "sprocket.geometry",
    says: "Diameters, gap and tooth forms of a sprocket, to know an unknown one or tell root wear.",
    given: &[
        PITCH,
        Field::whole("teeth", &bounds::TEETH),
        Field::number("roller_mm", &bounds::chain::ROLLER).optional("none").meaning("less than the pitch"),
        Field::number("inner_width_mm", &bounds::chain::INNER_WIDTH).optional("none"),
    ],
    answer: &[
        ("pitch_diameter_mm", "through the pins, mm"),
        ("hub_max_mm", "largest hub that clears the plates, mm"),
        ("tip_turned_mm", "tip diameter as turned, approximate, mm"),
        ("root_mm", "diameter of the gap bottoms, mm; with roller_mm"),
        ("over_pins_mm", "over two pins of roller diameter in (nearly) opposite gaps, mm"),
        ("caliper_mm", "between the bottoms of those gaps, mm"),
        ("tip_min_mm", "smallest tip diameter, mm"),
        ("tip_mm", "middle tip diameter, mm"),
        ("tip_max_mm", "largest tip diameter, mm"),
        ("seat_radius_min_mm", "smallest radius of the roller seat, mm"),
        ("seat_radius_mm", "middle radius of the roller seat, mm"),
        ("seat_radius_max_mm", "largest radius of the roller seat, mm"),
        ("flank_radius_min_mm", "smallest flank radius, mm"),
        ("flank_radius_mm", "middle flank radius, mm"),
        ("flank_radius_max_mm", "largest flank radius, mm"),
        ("seat_angle_min_deg", "smallest seat angle, degrees"),
        ("seat_angle_max_deg", "largest seat angle, degrees"),
        ("tooth_width_mm", "width of a tooth, mm; with inner_width_mm"),
    ],
    formula: "d = p/sin(π/z); root d − d1; over pins d + d1, odd z d cos(π/2z) + d1; \
              tip d + p(1 − 1.6/z) − d1 to d + 1.25 p − d1; tooth 0.95 b1, up to 12.7 mm pitch 0.93 b1",
    sources: &["geometry", "machine-textbook", "inch-sprocket-forms", "memory"],
    ask: geometry,
};

fn geometry(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (pitch, teeth) = (given.mm("pitch_mm")?, given.teeth("teeth")?);
    let roller = given.opt("roller_mm").map(Length::from_mm);
    let width = given.opt("inner_width_mm").map(Length::from_mm);
    if let Some(roller) = roller.filter(|roller| *roller >= pitch) {
        return Err(Refusal::new(
            "roller_mm",
            "not_below_pitch",
            format!(
                "roller_mm is {} mm, not below pitch_mm {} mm; a roller is about two thirds of the pitch. \
                 Measure the roller, not the plate.",
                roller.mm(),
                pitch.mm()
            ),
        ));
    }
    let blank = blank(pitch, teeth);
    let answer = Answer::new()
        .num("pitch_diameter_mm", blank.pitch_diameter.mm())
        .num("hub_max_mm", blank.hub_max.mm())
        .num("tip_turned_mm", blank.tip_turned.mm());
    let answer = match roller {
        Some(roller) => with_gaps(answer, &gaps(pitch, teeth, roller)),
        None => answer,
    };
    let answer = answer.num_if("tooth_width_mm", width.map(|width| tooth_width(pitch, width).mm()));
    let narrow = width.is_some() && pitch <= NARROW_TOOTH_PITCH;
    let answer = answer.notice_if(roller.is_some() || narrow, "memory_values", || memory(roller.is_some(), narrow));
    Ok(few_teeth(answer, &[("teeth", teeth)]))
}

fn with_gaps(answer: Answer, gaps: &Gaps) -> Answer {
    answer
        .num("root_mm", gaps.root.mm())
        .num("over_pins_mm", gaps.over_pins.mm())
        .num("caliper_mm", gaps.caliper.mm())
        .num("tip_min_mm", gaps.tip.min.mm())
        .num("tip_mm", gaps.tip.middle().mm())
        .num("tip_max_mm", gaps.tip.max.mm())
        .num("seat_radius_min_mm", gaps.seat_radius.min.mm())
        .num("seat_radius_mm", gaps.seat_radius.middle().mm())
        .num("seat_radius_max_mm", gaps.seat_radius.max.mm())
        .num("flank_radius_min_mm", gaps.flank_radius.min.mm())
        .num("flank_radius_mm", gaps.flank_radius.middle().mm())
        .num("flank_radius_max_mm", gaps.flank_radius.max.mm())
        .num("seat_angle_min_deg", gaps.seat_angle.min.deg())
        .num("seat_angle_max_deg", gaps.seat_angle.max.deg())
}

fn memory(seat: bool, narrow: bool) -> String {
    let mut parts = Vec::new();
    if seat {
        parts.push("the seat angles");
    }
    if narrow {
        parts.push("the factor 0.93 of the tooth width");
    }
    format!("From memory, not verified: {}.", parts.join(" and "))
}
