//! One chart with every kind of layer and one drawing with every kind of piece; their figures are invented.

use maud::{Markup, html};

use crate::frame::chart::{Axis, Chart, Layer, chart};
use crate::frame::drawing::{Drawing, Ink, Label, Piece, Shape, Spot, drawing};

/// Both pictures.
pub(super) fn pictures() -> Markup {
    html! {
        h2 { "Pictures" }
        (wear())
        (side_view())
        (gear_steps())
    }
}

fn wear() -> Markup {
    let read = [
        (173.1, Some(0.02)),
        (190.0, Some(0.16)),
        (205.0, Some(0.3)),
        (222.6, Some(0.45)),
        (245.4, Some(0.7)),
        (262.0, Some(0.84)),
        (279.5, Some(0.95)),
    ];
    let fitted = [(173.1, Some(0.01)), (279.5, Some(0.97))];
    let ahead = [(279.5, Some(0.97)), (300.0, Some(1.16))];
    let band = [(279.5, 0.92, 1.02), (300.0, 1.06, 1.28)];
    let layers = [
        Layer::Band { name: "likely", points: &band },
        Layer::Line { name: "fitted", points: &fitted },
        Layer::Ahead { name: "ahead", points: &ahead },
        Layer::Marks { name: "read", points: &read },
        Layer::Limit { words: "limit 1.0 % (bike sheet)", at: 1.0 },
    ];
    chart(&Chart {
        id: "wear",
        title: "Chain B, elongation (invented).",
        finding: "It passes 1.0 % between 278 and 285 hours.",
        along: Axis { name: "total hours", unit: "h", decimals: 1, reach: &[] },
        up: Axis { name: "elongation", unit: "%", decimals: 2, reach: &[0.0] },
        layers: &layers,
    })
}

fn gear_steps() -> Markup {
    let gears =
        [(0.0, Some(1.0)), (12.0, Some(2.0)), (31.0, Some(3.0)), (40.0, None), (52.0, Some(2.0)), (70.0, Some(2.0))];
    chart(&Chart {
        id: "gears",
        title: "Gears along the track (invented).",
        finding: "Second gear holds for most of it; from 40 to 52 minutes nothing was recorded.",
        along: Axis { name: "time", unit: "min", decimals: 0, reach: &[] },
        up: Axis { name: "gear", unit: "", decimals: 0, reach: &[0.0] },
        layers: &[Layer::Step { name: "gear", points: &gears }],
    })
}

fn side_view() -> Markup {
    let (front, rear) = (Spot::new(72.0, 10.0), Spot::new(-600.0, -70.0));
    let piece = |id, ink, shape| Piece { id, ink, shape };
    let pieces = [
        piece("arm", Ink::Steel, Shape::Segment { from: Spot::new(0.0, 0.0), to: rear }),
        piece("line_of_three", Ink::Help, Shape::Segment { from: front, to: rear }),
        piece("front_pitch_circle", Ink::Steel, Shape::Circle { centre: front, radius_mm: 35.672 }),
        piece("rear_pitch_circle", Ink::Steel, Shape::Circle { centre: rear, radius_mm: 121.367 }),
        piece(
            "upper_run",
            Ink::Chain,
            Shape::Through(vec![Spot::new(68.0, 45.0), Spot::new(0.0, 38.0), Spot::new(-618.0, 50.0)]),
        ),
        piece("lower_run", Ink::Chain, Shape::Segment { from: Spot::new(80.0, -24.8), to: Spot::new(-573.0, -188.3) }),
        piece(
            "lower_run_sagging",
            Ink::Other,
            Shape::Through(vec![Spot::new(80.0, -24.8), Spot::new(-260.0, -160.0), Spot::new(-573.0, -188.3)]),
        ),
        piece(
            "rear_wrap",
            Ink::Chain,
            Shape::Arc {
                centre: rear,
                radius_mm: 121.367,
                from: Spot::new(-618.0, 50.025),
                to: Spot::new(-573.0, -188.325),
                clockwise: false,
            },
        ),
        piece("slider", Ink::Limit, Shape::Segment { from: Spot::new(20.0, 33.0), to: Spot::new(-60.0, 30.0) }),
        piece("pivot", Ink::Steel, Shape::Dot(Spot::new(0.0, 0.0))),
        piece("axle", Ink::Steel, Shape::Dot(rear)),
    ];
    let labels = [
        Label { at: Spot::new(0.0, -30.0), words: "pivot" },
        Label { at: Spot::new(-600.0, -80.0), words: "axle" },
        Label { at: Spot::new(-270.0, -150.0), words: "slack 85 mm" },
    ];
    drawing(&Drawing {
        id: "side",
        title: "Side view (invented).",
        finding: "The lower run hangs 85 mm between its ends.",
        pieces: &pieces,
        labels: &labels,
    })
}
