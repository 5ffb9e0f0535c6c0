//! One chain followed through the travel: how much is left of it at each place.

use measure::{Angle, Length};

use super::free::{self, MID};
use super::layout::{Layout, Run, SLIDER, open_length, open_span, rests_in};
use super::swing::Swing;

/// One place of the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Wheel travel from full extension.
    pub travel: Length,
    /// The arm angle there.
    pub arm: Angle,
    /// Countershaft to axle.
    pub centre: Length,
    /// Chain beyond taut; below 0 = would have to stretch.
    pub surplus: Length,
    /// Slack at mid lower run, 0 if taut; `None` where that run rests on the slider.
    pub slack: Option<Length>,
    /// Whether the taut loop touches the slider.
    pub on_slider: bool,
}

/// The chain through the travel, at places with equal steps of wheel travel.
///
/// # Shape
/// `steps + 1` places, from full extension to full compression.
#[must_use]
pub fn through(layout: &Layout, swing: &Swing, travel: Length, chain: Length, steps: u16) -> Vec<Place> {
    let share = |n: u16| f64::from(n) / f64::from(steps.max(1));
    (0..=steps)
        .map(|n| {
            let there = travel * share(n);
            let arm = if n == steps { swing.compression } else { swing.angle_at(there).unwrap_or(swing.compression) };
            place(layout, arm, there, chain)
        })
        .collect()
}

/// What is left of a chain at one place; the loop is laid once for length, contact and rest.
fn place(layout: &Layout, arm: Angle, travel: Length, chain: Length) -> Place {
    let centre = layout.centre(arm);
    let (length_mm, on_slider, rests) = if layout.slider.is_some() {
        let hull = layout.hull(arm);
        (hull.length_mm, hull.touches(SLIDER), rests_in(&hull, Run::Lower))
    } else {
        (open_length(centre.mm(), layout.front, layout.rear), false, false)
    };
    let surplus = chain - Length::from_mm(length_mm);
    let span = Length::from_mm(open_span(centre.mm(), layout.front, layout.rear));
    let slack = (surplus.mm() <= 0.0 || !rests).then(|| free::slack(span, surplus, MID));
    Place { travel, arm, centre, surplus, slack, on_slider }
}
