//! `slack.outline`: all that a drawing to scale needs, so that the drawing computes nothing.

use drive::slack::outline::{self, Bend, Circle, On, Straight};
use serde_json::{Value, json};

use super::fields::{ARM_ANGLE, GEOMETRY, joined};
use super::geometry::{at_angle, noted};
use crate::{Answer, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.outline",
    says: "Circles, straight pieces and arcs of the taut loop at an arm angle, in the chassis frame: x forward, z up, \
           the pivot at 0, 0.",
    given: &joined::<11>(&GEOMETRY, &[ARM_ANGLE]),
    answer: &[
        ("pivot", "{x_mm, z_mm}"),
        ("countershaft", "{x_mm, z_mm, radius_mm}: pin circle of the front sprocket"),
        ("axle", "{x_mm, z_mm, radius_mm}: pin circle of the rear sprocket"),
        ("slider", "{x_mm, z_mm, radius_mm}: pin line on the slider; null if left out"),
        ("upper", "list of {from_x_mm, from_z_mm, to_x_mm, to_z_mm}, front to rear: one piece, two over the slider"),
        ("lower", "the same for the lower run"),
        (
            "arcs",
            "list of {on (front, rear, slider), from_deg, to_deg} in order round the loop from the front sprocket; \
             angles of the outward normal, from forward towards up",
        ),
        ("on_slider", "whether the taut loop touches the slider"),
        ("length_mm", "chain that the loop takes"),
    ],
    formula: "border of the hull of the discs; each straight piece joins the points of two discs with one normal",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (layout, arm) = at_angle(given)?;
    let outline = outline::outline(&layout, arm);
    let list = |pieces: &[Straight]| pieces.iter().map(piece).collect::<Vec<Value>>();
    let answer = Answer::new()
        .json("pivot", json!({"x_mm": 0.0, "z_mm": 0.0}))
        .json("countershaft", circle(&outline.front))
        .json("axle", circle(&outline.rear))
        .json("slider", outline.slider.as_ref().map_or(Value::Null, circle))
        .json("upper", list(&outline.upper))
        .json("lower", list(&outline.lower))
        .json("arcs", outline.bends.iter().map(bend).collect::<Vec<Value>>())
        .flag("on_slider", outline.bends.iter().any(|bend| bend.on == On::Slider))
        .num("length_mm", outline.length_mm);
    Ok(noted(answer, given))
}

fn circle(circle: &Circle) -> Value {
    json!({"x_mm": circle.centre.x_mm, "z_mm": circle.centre.z_mm, "radius_mm": circle.radius_mm})
}

fn piece(piece: &Straight) -> Value {
    json!({
        "from_x_mm": piece.from.x_mm, "from_z_mm": piece.from.z_mm,
        "to_x_mm": piece.to.x_mm, "to_z_mm": piece.to.z_mm,
    })
}

fn bend(bend: &Bend) -> Value {
    let on = match bend.on {
        On::Front => "front",
        On::Rear => "rear",
        On::Slider => "slider",
    };
    json!({"on": on, "from_deg": bend.from.deg(), "to_deg": bend.to.deg()})
}
