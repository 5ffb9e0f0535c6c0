//! Everything that a drawing to scale needs of the taut loop: circles, straight pieces with both ends, arcs.

use std::f64::consts::{PI, TAU};

use measure::Angle;

use super::frame::Point;
use super::hull::{Arc, Disc, Hull};
use super::layout::{FRONT, Layout, REAR};

/// A circle of the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Its middle.
    pub centre: Point,
    /// Radius of the pin line.
    pub radius_mm: f64,
}

/// Which circle an arc lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// Front sprocket.
    Front,
    /// Rear sprocket.
    Rear,
    /// Slider disc.
    Slider,
}

/// An arc of the loop, from one direction to a greater one, counted from forward towards up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// Which circle.
    pub on: On,
    /// Where it begins.
    pub from: Angle,
    /// Where it ends.
    pub to: Angle,
}

/// A straight piece of the loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Straight {
    /// The end nearer to the front sprocket.
    pub from: Point,
    /// The end nearer to the rear sprocket.
    pub to: Point,
}

/// The taut loop in the chassis frame, pivot at the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Pin circle of the front sprocket.
    pub front: Circle,
    /// Pin circle of the rear sprocket.
    pub rear: Circle,
    /// Slider disc; `None` if left out.
    pub slider: Option<Circle>,
    /// Straight pieces of the upper run, from the front sprocket to the rear.
    pub upper: Vec<Straight>,
    /// Straight pieces of the lower run, from the front sprocket to the rear.
    pub lower: Vec<Straight>,
    /// Arcs in order round the loop, the front sprocket first.
    pub bends: Vec<Bend>,
    /// Chain that the loop takes.
    pub length_mm: f64,
}

/// The outline at an arm angle.
#[must_use]
pub fn outline(layout: &Layout, arm: Angle) -> Outline {
    let (discs, count) = layout.discs(arm);
    let discs = &discs[..count];
    let hull = Hull::round(discs);
    let arcs = from_front(&hull);
    let rear = arcs.iter().position(|arc| arc.disc == REAR).unwrap_or(arcs.len());
    let straights: Vec<Straight> =
        (0..arcs.len()).map(|n| straight(discs, &arcs[n], &arcs[(n + 1) % arcs.len()])).collect();
    let (upper, lower) = straights.split_at(rear.min(straights.len()));
    let circle = |disc: &Disc| Circle { centre: disc.centre, radius_mm: disc.radius_mm };
    Outline {
        front: circle(&discs[FRONT]),
        rear: circle(&discs[REAR]),
        slider: discs.get(2).map(circle),
        upper: upper.to_vec(),
        lower: lower.iter().rev().map(|piece| Straight { from: piece.to, to: piece.from }).collect(),
        bends: arcs.iter().map(bend).collect(),
        length_mm: hull.length_mm,
    }
}

/// The arcs in order, beginning where the loop comes from the rear sprocket to the front one.
fn from_front(hull: &Hull) -> Vec<Arc> {
    let arcs = hull.arcs();
    let rear = arcs.iter().position(|arc| arc.disc == REAR).unwrap_or(0);
    let first = (rear..rear + arcs.len()).find(|n| arcs[n % arcs.len()].disc == FRONT).unwrap_or(0);
    (first..first + arcs.len()).map(|n| arcs[n % arcs.len()]).collect()
}

fn straight(discs: &[Disc], arc: &Arc, next: &Arc) -> Straight {
    Straight { from: discs[arc.disc].at(arc.to_rad), to: discs[next.disc].at(arc.to_rad) }
}

fn bend(arc: &Arc) -> Bend {
    let on = match arc.disc {
        FRONT => On::Front,
        REAR => On::Rear,
        _ => On::Slider,
    };
    // The beginning within half a turn of forward, so that equal drawings have equal numbers.
    let from_rad = (arc.from_rad + PI).rem_euclid(TAU) - PI;
    Bend { on, from: Angle::from_rad(from_rad), to: Angle::from_rad(from_rad + arc.to_rad - arc.from_rad) }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn chain_on_the_slider_has_two_upper_pieces_and_an_arc_between() {
        let drawn = outline(&sample::layout(), Angle::from_deg(24.0));
        assert_eq!((drawn.upper.len(), drawn.lower.len()), (2, 1));
        let order: Vec<On> = drawn.bends.iter().map(|bend| bend.on).collect();
        assert_eq!(order, [On::Front, On::Slider, On::Rear]);
    }

    #[test]
    fn both_runs_are_drawn_from_the_front_to_the_rear() {
        let drawn = outline(&sample::layout(), Angle::from_deg(7.5));
        assert!(drawn.slider.is_some() && drawn.upper.len() == 1);
        for piece in drawn.upper.iter().chain(&drawn.lower) {
            assert!(piece.from.x_mm > piece.to.x_mm);
        }
        assert!(drawn.upper[0].from.z_mm > drawn.lower[0].from.z_mm);
    }
}
