//! `chain.rating`: the industrial power rating, as context only.

use drive::chain::rating::{Limit, rating as rate};
use measure::{Length, Teeth, bounds};

use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const RATING: Figure = Figure {
    name: "chain.rating",
    says: "Power rating of an industrial chain drive: context for a motorcycle, never a limit.",
    given: &[
        Field::number("pitch_mm", &bounds::chain::RATED_PITCH),
        Field::whole("teeth", &bounds::chain::RATED_TEETH).meaning("of the small sprocket"),
        Field::number("rpm", &bounds::RPM).meaning("of the small sprocket"),
    ],
    answer: &[
        ("power_kw", "the lower of both ratings, kW"),
        ("plate_kw", "link plate fatigue, kW"),
        ("impact_kw", "roller and bush impact, kW"),
        ("limited_by", "plate or impact"),
    ],
    formula: "H1 = 0.004 z^1.08 n^0.9 P^(3 − 0.07 P), H2 = 17 000 (z/n)^1.5 P^0.8; hp, P in inches",
    sources: &["power-tables"],
    ask: rating,
};

fn rating(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (pitch, teeth, rpm) = (given.mm("pitch_mm")?, given.teeth("teeth")?, given.num("rpm")?);
    let rated = rate(pitch, teeth, rpm);
    let limited_by = match rated.limit() {
        Limit::Plate => "plate",
        Limit::Impact => "impact",
    };
    let power = rated.power().kw();
    let beyond = beyond_tables(pitch, teeth, rpm);
    Ok(Answer::new()
        .num("power_kw", power)
        .num("plate_kw", rated.plate.kw())
        .num("impact_kw", rated.impact.kw())
        .text("limited_by", limited_by)
        .notice(
            "industrial_context",
            format!(
                "{power:.1} kW is for 15 000 h of steady load; an off-road engine sends several times that through the \
             same chain for tens of hours. Context, not a limit."
            ),
        )
        .notice_if(beyond.is_some(), "beyond_tables", || {
            format!("{} lies beyond the tables that the formula was checked against.", beyond.unwrap_or_default())
        })
        .notice_if(is(pitch, HALF_INCH), "light_series", || {
            format!(
                "At pitch_mm {} the light series (No. 41) is rated at about a fifth of this, from memory.",
                pitch.mm()
            )
        }))
}

const HALF_INCH: Length = Length::from_mm(12.7);
const FIVE_EIGHTHS: Length = Length::from_mm(15.875);

fn is(pitch: Length, size: Length) -> bool {
    (pitch - size).abs().mm() < 1e-9
}

/// What lies outside the printed tables, if anything: their pitches, 11 to 17 teeth, their highest speed.
fn beyond_tables(pitch: Length, teeth: Teeth, rpm: f64) -> Option<String> {
    let fastest = if is(pitch, HALF_INCH) {
        1800.0
    } else if is(pitch, FIVE_EIGHTHS) {
        1600.0
    } else {
        return Some(format!("pitch_mm {}", pitch.mm()));
    };
    if !(11..=17).contains(&teeth.count()) {
        return Some(format!("teeth {}", teeth.count()));
    }
    (rpm > fastest).then(|| format!("rpm {rpm}"))
}
