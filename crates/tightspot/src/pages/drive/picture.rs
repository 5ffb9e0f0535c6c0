//! The drive to scale at three places of the travel, and slack between them. Spots come from the figures; nothing is
//! computed here but degrees into spots on their circles.

use advice::drawing::{Circle, Outline, Piece as Straight, Spot as CurveSpot};
use advice::slack::SlackView;
use advice::words::{mm, quantity};
use maud::{Markup, html};

use crate::frame::chart::{Axis, Chart, Layer, Point, chart};
use crate::frame::details;
use crate::frame::drawing::{Drawing, Ink, Label, Piece, Shape, Spot, drawing};
use crate::frame::number::fixed;

const PIVOT: Spot = Spot::new(0.0, 0.0);

/// All pictures.
pub(super) fn pictures(view: &SlackView, slack_mm: Option<f64>) -> Markup {
    html! {
        (details("The drive to scale", &html! {
            p { "Seen from the right, chain just taut, front to the right. Circles are where the chain's pins run; the dashed one is the slider's curve, the thin line joins front sprocket and axle." }
            @for outline in &view.outlines { (side_view(outline)) }
        }))
        h2 { "Slack through the travel" }
        (through_travel(view, slack_mm))
    }
}

/// The name of a place as an id: `full_extension`.
pub(super) fn place_id(outline: &Outline) -> String {
    outline.place.replace(' ', "_")
}

fn side_view(outline: &Outline) -> Markup {
    let ids = Ids::of(outline);
    let (front, axle) = (centre(&outline.countershaft), centre(&outline.axle));
    let steel = |id, shape| Piece { id, ink: Ink::Steel, shape };
    let mut pieces = vec![
        Piece { id: "centre_line", ink: Ink::Help, shape: Shape::Segment { from: front, to: axle } },
        steel("swingarm", Shape::Segment { from: PIVOT, to: axle }),
        steel("front_pin_circle", circle(&outline.countershaft)),
        steel("rear_pin_circle", circle(&outline.axle)),
    ];
    if let Some(slider) = &outline.slider {
        pieces.push(Piece { id: "slider", ink: Ink::Limit, shape: circle(slider) });
    }
    let runs = ids.upper.iter().zip(&outline.upper).chain(ids.lower.iter().zip(&outline.lower));
    pieces.extend(runs.map(|(id, run)| Piece { id, ink: Ink::Chain, shape: straight(run) }));
    pieces.extend(ids.wraps.iter().zip(wraps(outline)).map(|(id, shape)| Piece { id, ink: Ink::Chain, shape }));
    for (id, at) in [("pivot", PIVOT), ("countershaft", front), ("axle", axle)] {
        pieces.push(steel(id, Shape::Dot(at)));
    }
    let (id, title) = (place_id(outline), format!("At {}.", outline.place));
    let touching = match (&outline.slider, outline.on_slider) {
        (None, _) => "the bike sheet has no slider",
        (Some(_), true) => "the chain rests on the slider",
        (Some(_), false) => "the chain is clear of the slider",
    };
    let side = if outline.arm_angle_deg < 0.0 { "above" } else { "below" };
    let finding = format!("Arm {}° {side} level; {touching}.", fixed(outline.arm_angle_deg.abs(), 1));
    let labels = [
        Label { at: Spot::new(axle.x_mm, axle.z_mm), words: "axle" },
        Label { at: Spot::new(front.x_mm, front.z_mm + outline.countershaft.radius_mm), words: "front" },
    ];
    drawing(&Drawing { id: &id, title: &title, finding: &finding, pieces: &pieces, labels: &labels })
}

/// The names of what there may be several of: `upper_1`, `lower_1`, `wrap_front_1`.
struct Ids {
    upper: Vec<String>,
    lower: Vec<String>,
    wraps: Vec<String>,
}

impl Ids {
    fn of(outline: &Outline) -> Self {
        let numbered = |word: &str, count: usize| (1..=count).map(|n| format!("{word}_{n}")).collect();
        Self {
            upper: numbered("upper", outline.upper.len()),
            lower: numbered("lower", outline.lower.len()),
            wraps: outline.arcs.iter().enumerate().map(|(n, bend)| format!("wrap_{}_{}", bend.on, n + 1)).collect(),
        }
    }
}

const fn centre(circle: &Circle) -> Spot {
    Spot::new(circle.x_mm, circle.z_mm)
}

const fn circle(circle: &Circle) -> Shape {
    Shape::Circle { centre: centre(circle), radius_mm: circle.radius_mm }
}

const fn straight(run: &Straight) -> Shape {
    Shape::Segment { from: Spot::new(run.from_x_mm, run.from_z_mm), to: Spot::new(run.to_x_mm, run.to_z_mm) }
}

/// The bends; the loop runs from forward towards up, which is against the clock as drawn.
fn wraps(outline: &Outline) -> impl Iterator<Item = Shape> {
    outline.arcs.iter().map(|bend| {
        let round = match bend.on.as_str() {
            "front" => &outline.countershaft,
            "rear" => &outline.axle,
            _ => outline.slider.as_ref().unwrap_or(&outline.axle),
        };
        let on = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            Spot::new(round.x_mm + round.radius_mm * cos, round.z_mm + round.radius_mm * sin)
        };
        Shape::Arc {
            centre: centre(round),
            radius_mm: round.radius_mm,
            from: on(bend.from_deg),
            to: on(bend.to_deg),
            clockwise: false,
        }
    })
}

fn through_travel(view: &SlackView, slack_mm: Option<f64>) -> Markup {
    let (set, read) = (points(&view.curve), view.read_curve.as_deref().map(points));
    let set_name = format!("set to {}", mm(view.target_mm));
    let read_name = slack_mm.map(|slack| format!("as read, {}", quantity(slack, "mm", 0))).unwrap_or_default();
    let mut layers = vec![Layer::Line { name: &set_name, points: &set }, Layer::Limit { words: "just taut", at: 0.0 }];
    if let Some(read) = &read {
        layers.push(Layer::Line { name: &read_name, points: read });
    }
    let gap = view.curve.iter().any(|spot| spot.slack_mm.is_none());
    let gap = gap.then(|| "Where a line is missing the lower run rests on the slider.".to_owned());
    let read_least = view.read_curve.as_deref().map(|curve| least(curve, &read_name));
    let finding = [Some(least(&view.curve, &set_name)), read_least, gap];
    let finding = finding.into_iter().flatten().collect::<Vec<_>>().join(" ");
    chart(&Chart {
        id: "travel",
        title: "Free slack at mid lower run.",
        finding: &finding,
        along: Axis { name: "wheel travel", unit: "mm", decimals: 0, reach: &[] },
        up: Axis { name: "slack", unit: "mm", decimals: 1, reach: &[0.0] },
        layers: &layers,
    })
}

/// Where a curve is lowest, in a sentence.
fn least(curve: &[CurveSpot], name: &str) -> String {
    let known = curve.iter().filter_map(|spot| Some((spot.travel_mm, spot.slack_mm?)));
    let Some((travel, slack)) = known.min_by(|one, other| one.1.total_cmp(&other.1)) else {
        return format!("Slack {name} is not known: the lower run rests on the slider.");
    };
    let at = quantity(travel, "mm", 0);
    if slack > 0.0 {
        format!("Slack {name}: least about {at} into the travel, {} left.", quantity(slack, "mm", 0))
    } else {
        format!("Slack {name}: none left from about {at} into the travel, the chain is taut there.")
    }
}

fn points(curve: &[CurveSpot]) -> Vec<Point> {
    curve.iter().map(|spot| (spot.travel_mm, spot.slack_mm)).collect()
}
