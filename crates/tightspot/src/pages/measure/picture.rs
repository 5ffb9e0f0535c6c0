//! How a reading is taken, drawn: a pattern of the thing, not this bike.

use maud::Markup;

use crate::frame::drawing::{Drawing, Ink, Label, Piece, Shape, Spot, drawing};

/// One pitch of the chain that is drawn.
const PITCH_MM: f64 = 15.875;

const fn segment(id: &str, ink: Ink, from: Spot, to: Spot) -> Piece<'_> {
    Piece { id, ink, shape: Shape::Segment { from, to } }
}

/// The lower run pushed down and up; or lifted off the swingarm.
pub(super) fn slack(kind: &str) -> Markup {
    let (front, rear) = (Spot::new(0.0, 0.0), Spot::new(-420.0, -20.0));
    let circle = |id, centre, radius_mm| Piece { id, ink: Ink::Steel, shape: Shape::Circle { centre, radius_mm } };
    let (low_front, low_rear) = (Spot::new(0.0, -36.0), Spot::new(-420.0, -140.0));
    let middle = Spot::new(-210.0, -88.0);
    let through = |id, ink, by: f64| Piece {
        id,
        ink,
        shape: Shape::Through(vec![low_rear, Spot::new(middle.x_mm, middle.z_mm + by), low_front]),
    };
    let mut pieces = vec![
        circle("front", front, 36.0),
        circle("rear", rear, 120.0),
        segment("swingarm", Ink::Steel, Spot::new(-30.0, -4.0), rear),
        segment("upper_run", Ink::Chain, Spot::new(0.0, 36.0), Spot::new(-420.0, 100.0)),
        through("up", Ink::Chain, 42.0),
    ];
    let labels = if kind == "gap" {
        pieces.push(segment(
            "gap",
            Ink::Limit,
            Spot::new(middle.x_mm, middle.z_mm + 42.0),
            Spot::new(middle.x_mm, -12.0),
        ));
        vec![Label { at: Spot::new(middle.x_mm - 60.0, -30.0), words: "the gap" }]
    } else {
        pieces.push(through("down", Ink::Other, -42.0));
        pieces.push(segment(
            "whole_way",
            Ink::Limit,
            Spot::new(middle.x_mm, middle.z_mm - 42.0),
            Spot::new(middle.x_mm, middle.z_mm + 42.0),
        ));
        vec![
            Label { at: Spot::new(middle.x_mm - 70.0, middle.z_mm + 20.0), words: "fully up" },
            Label { at: Spot::new(middle.x_mm + 70.0, middle.z_mm - 70.0), words: "fully down" },
        ]
    };
    drawing(&Drawing {
        id: "how-slack",
        title: "Where slack is read.",
        finding: if kind == "gap" {
            "Lift the lower run: the gap left to the swingarm, at the sheet's place. A pattern, not your bike."
        } else {
            "Midway along the lower run, the whole way from fully down to fully up. A pattern, not your bike."
        },
        pieces: &pieces,
        labels: &labels,
    })
}

/// Pins and the pitches between them.
pub(super) fn length() -> Markup {
    let pin = |n: u32| Spot::new(PITCH_MM * f64::from(n), 0.0);
    let mut pieces: Vec<Piece<'_>> = vec![segment("plates", Ink::Chain, pin(0), pin(6))];
    for n in 0..=6 {
        pieces.push(Piece { id: "pin", ink: Ink::Steel, shape: Shape::Circle { centre: pin(n), radius_mm: 4.5 } });
    }
    let (left, right) = (pin(0).x_mm - 4.5, pin(6).x_mm - 4.5);
    for (id, x) in [("from", left), ("to", right)] {
        pieces.push(segment(id, Ink::Limit, Spot::new(x, -16.0), Spot::new(x, 8.0)));
    }
    pieces.push(segment("length", Ink::Limit, Spot::new(left, -14.0), Spot::new(right, -14.0)));
    drawing(&Drawing {
        id: "how-length",
        title: "Pitches are gaps.",
        finding: "From the edge of one pin to the same edge of another: here 6 pitches, 7 pins.",
        pieces: &pieces,
        labels: &[Label { at: Spot::new(f64::midpoint(left, right), -24.0), words: "6 pitches" }],
    })
}

/// Pivot to axle on both sides, seen from above.
pub(super) fn sides() -> Markup {
    let (left, right) = (110.0, -110.0);
    let pieces = [
        segment("pivot", Ink::Steel, Spot::new(0.0, right), Spot::new(0.0, left)),
        segment("axle", Ink::Steel, Spot::new(-500.0, right), Spot::new(-506.0, left)),
        segment("left", Ink::Limit, Spot::new(0.0, left), Spot::new(-506.0, left)),
        segment("right", Ink::Limit, Spot::new(0.0, right), Spot::new(-500.0, right)),
        segment("middle", Ink::Help, Spot::new(40.0, 0.0), Spot::new(-600.0, 0.0)),
    ];
    let labels = [
        Label { at: Spot::new(-250.0, left), words: "left" },
        Label { at: Spot::new(-250.0, right), words: "right" },
        Label { at: Spot::new(-440.0, 12.0), words: "axle" },
        Label { at: Spot::new(-40.0, 12.0), words: "pivot" },
    ];
    drawing(&Drawing {
        id: "how-sides",
        title: "From pivot to axle.",
        finding: "Seen from above, front to the right: both sides from centre to centre. A pattern, not your bike.",
        pieces: &pieces,
        labels: &labels,
    })
}

/// One tooth: its id, its words, how far along it stands, its outline.
type Tooth<'a> = (&'a str, &'a str, f64, &'a [(f64, f64)]);

/// Teeth from new to hooked.
pub(super) fn teeth() -> Markup {
    let tooth = |x: f64, spots: &[(f64, f64)]| spots.iter().map(|(dx, z)| Spot::new(x + dx, *z)).collect::<Vec<_>>();
    let looks: [Tooth<'_>; 4] = [
        ("as-new", "as new", 0.0, &[(0.0, 0.0), (5.0, 9.0), (7.0, 12.0), (11.0, 12.0), (13.0, 9.0), (18.0, 0.0)]),
        ("worn-evenly", "evenly", 32.0, &[(0.0, 0.0), (6.5, 8.0), (8.0, 11.0), (10.0, 11.0), (11.5, 8.0), (18.0, 0.0)]),
        ("leaning", "leaning", 64.0, &[(0.0, 0.0), (6.0, 7.0), (10.0, 11.0), (12.5, 11.0), (12.0, 7.0), (18.0, 0.0)]),
        ("hooked", "hooked", 96.0, &[(0.0, 0.0), (6.0, 6.0), (11.0, 11.0), (16.0, 12.0), (11.5, 6.0), (18.0, 0.0)]),
    ];
    let pieces: Vec<Piece<'_>> = looks
        .iter()
        .map(|(id, _, x, spots)| Piece { id, ink: Ink::Steel, shape: Shape::Through(tooth(*x, spots)) })
        .collect();
    let labels: Vec<Label<'_>> =
        looks.iter().map(|(_, words, x, _)| Label { at: Spot::new(x + 9.0, -5.0), words }).collect();
    drawing(&Drawing {
        id: "how-teeth",
        title: "What teeth look like.",
        finding: "One tooth from the side: flat and even when new, curled over at its end.",
        pieces: &pieces,
        labels: &labels,
    })
}
