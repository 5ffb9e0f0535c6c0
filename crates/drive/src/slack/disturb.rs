//! What eats surplus: a rear sprocket that runs out, an even layer of mud under the rollers.

use std::f64::consts::TAU;

use measure::Length;

use super::fault::Fault;
use crate::chain::Pair;

/// Surplus peak to peak over a turn of a rear sprocket that runs out radially, the axle at a centre distance.
///
/// # Formula
/// `L(D + TIR/2) - L(D - TIR/2)`, near `2 TIR cos α`.
///
/// # Errors
/// The sprockets would overlap.
pub fn runout_swing(pair: &Pair, centre: Length, runout: Length) -> Result<Length, Fault> {
    let (nearest, furthest) = (centre - runout / 2.0, centre + runout / 2.0);
    let (small, large) = pair.radii();
    if nearest < small + large {
        return Err(Fault::Overlap { distance: nearest, least: small + large });
    }
    Ok(pair.pitch() * (pair.links_needed(furthest) - pair.links_needed(nearest)))
}

/// Surplus that an even layer under the rollers of both sprockets takes, whatever their size.
///
/// # Formula
/// `2 π t`: the loop at a distance t outside another is longer by one turn of t.
#[must_use]
pub fn layer_takes(layer: Length) -> Length {
    layer * TAU
}
