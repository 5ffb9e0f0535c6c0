//! What eats surplus: a rear sprocket that runs out, an even layer of mud under the rollers.

use std::f64::consts::TAU;

use measure::{Length, Teeth};

use super::fault::Fault;
use super::layout::{Wheel, open_length, open_span};

/// Surplus peak to peak over a turn of a rear sprocket that runs out radially.
///
/// # Formula
/// `L(D + TIR/2) - L(D - TIR/2)`, near `2 TIR cos α`.
///
/// # Errors
/// The sprockets would overlap.
pub fn runout_swing(pitch: Length, front: Teeth, rear: Teeth, centre: Length, runout: Length) -> Result<Length, Fault> {
    let (front, rear) = (Wheel::new(front, pitch.mm()), Wheel::new(rear, pitch.mm()));
    let (nearest, least) = (centre - runout / 2.0, Length::from_mm(front.radius_mm + rear.radius_mm));
    if nearest < least {
        return Err(Fault::Overlap { distance: nearest, least });
    }
    let length = |distance: Length| open_length(distance.mm(), front, rear);
    Ok(Length::from_mm(length(centre + runout / 2.0) - length(nearest)))
}

/// The straight run at a centre distance.
#[must_use]
pub fn span(pitch: Length, front: Teeth, rear: Teeth, centre: Length) -> Length {
    Length::from_mm(open_span(centre.mm(), Wheel::new(front, pitch.mm()), Wheel::new(rear, pitch.mm())))
}

/// Surplus that an even layer under the rollers of both sprockets takes, whatever their size.
///
/// # Formula
/// `2 π t`: the loop at a distance t outside another is longer by one turn of t.
#[must_use]
pub fn layer_takes(layer: Length) -> Length {
    layer * TAU
}
