//! What eats surplus: a rear sprocket that runs out, an even layer of mud under the rollers.

use std::f64::consts::TAU;

use measure::Length;

use super::fault::Fault;
use crate::chain::Sprockets;

/// Surplus peak to peak over a turn of a rear sprocket that runs out radially, the axle at a centre distance.
///
/// # Formula
/// `L(D + TIR/2) - L(D - TIR/2)`, near `2 TIR cos α`.
///
/// # Errors
/// The sprockets would overlap.
pub fn runout_swing(pair: &Sprockets, centre: Length, runout: Length) -> Result<Length, Fault> {
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

#[cfg(test)]
mod tests {
    use measure::Teeth;

    use super::*;

    #[test]
    fn sprockets_that_just_touch_at_the_nearest_still_turn() {
        let pair =
            Sprockets::new(Length::from_mm(12.7), Teeth::new(14).expect("teeth"), Teeth::new(48).expect("teeth"));
        let (small, large) = pair.radii();
        let touching = small + large;
        assert_eq!(runout_swing(&pair, touching, Length::ZERO), Ok(Length::ZERO));
        let nearer = touching - Length::from_mm(1e-6);
        let refused = Fault::Overlap { distance: nearer, least: touching };
        assert_eq!(runout_swing(&pair, nearer, Length::ZERO), Err(refused));
        // Half of the runout counts towards the front.
        assert!(runout_swing(&pair, touching + Length::from_mm(1.01), Length::from_mm(2.0)).is_ok());
        assert!(runout_swing(&pair, touching + Length::from_mm(0.99), Length::from_mm(2.0)).is_err());
    }
}
