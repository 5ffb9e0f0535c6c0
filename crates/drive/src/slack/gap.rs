//! Slack of the gap kind: the upper run lifted off the swingarm at one place, the lower run taut.
//!
//! ```text
//!            Q  pushed pin, w over the arm line at u
//!      ____-'`-.______          gap = w - half a plate height - height of the surface, at u
//!     o---------------o
//! ```

use measure::{Angle, Length};

use super::fault::Fault;
use super::frame::Point;
use super::hull::{Disc, Hull};
use super::layout::Layout;
use crate::solve::root;

/// A gap smaller than taut by no more than this came from rounding.
const ROUNDING_MM: f64 = 1e-9;

/// Where and over what the gap is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapPlace {
    /// Along the arm, from the pivot.
    pub along: Length,
    /// Height over the arm line of the surface measured from.
    pub surface: Length,
    /// Height of a side plate.
    pub plate: Length,
}

impl GapPlace {
    fn of_pin(&self, w_mm: f64) -> Length {
        Length::from_mm(w_mm) - self.plate * 0.5 - self.surface
    }
}

/// The gap with the chain just taut.
///
/// # Errors
/// There is no chain over that place of the arm.
pub fn taut_gap(layout: &Layout, arm: Angle, place: &GapPlace) -> Result<Length, Fault> {
    taut_pin(layout, arm, place.along.mm()).map(|w_mm| place.of_pin(w_mm))
}

/// The gap that a surplus gives.
///
/// # Formula
/// Hull of all discs and the point Q(u, w), solved for w so that it takes taut length + surplus.
///
/// # Errors
/// There is no chain over that place of the arm.
pub fn gap(layout: &Layout, arm: Angle, place: &GapPlace, surplus: Length) -> Result<Length, Fault> {
    let u_mm = place.along.mm();
    let taut_mm = taut_pin(layout, arm, u_mm)?;
    if surplus.mm() <= 0.0 {
        return Ok(place.of_pin(taut_mm));
    }
    let chain_mm = layout.hull(arm).length_mm + surplus.mm();
    let taken = |w_mm: f64| lifted(layout, arm, u_mm, w_mm) - chain_mm;
    // A pin lifted by all the chain there is takes more: from the loop's old place to the pin and back is twice that.
    let w_mm = root(taken, taut_mm, taut_mm + chain_mm).unwrap_or(taut_mm);
    Ok(place.of_pin(w_mm))
}

/// The surplus that a gap tells.
///
/// # Errors
/// There is no chain over that place of the arm, or the gap is smaller than with the chain just taut.
pub fn gap_surplus(layout: &Layout, arm: Angle, place: &GapPlace, gap: Length) -> Result<Length, Fault> {
    let taut = taut_gap(layout, arm, place)?;
    if gap.mm() < taut.mm() - ROUNDING_MM {
        return Err(Fault::BelowTaut { taut });
    }
    let w_mm = (gap + place.plate * 0.5 + place.surface).mm();
    let surplus = lifted(layout, arm, place.along.mm(), w_mm) - layout.hull(arm).length_mm;
    Ok(Length::from_mm(surplus.max(0.0)))
}

/// Chain that the loop takes with a pin held at (u, w).
fn lifted(layout: &Layout, arm: Angle, u_mm: f64, w_mm: f64) -> f64 {
    let (discs, count) = layout.discs(arm);
    let mut all = [Disc::default(); 4];
    all[..count].copy_from_slice(&discs[..count]);
    all[count] = Disc::smooth(Point::on_arm(u_mm, w_mm, arm.rad()), 0.0);
    Hull::round(&all[..=count]).length_mm
}

/// Height of the taut loop's upper border over the arm line at u.
///
/// Every disc and every straight piece of the border lies inside the loop, so the highest of them at u is the border.
fn taut_pin(layout: &Layout, arm: Angle, u_mm: f64) -> Result<f64, Fault> {
    let (discs, count) = layout.discs(arm);
    let discs = &discs[..count];
    let hull = Hull::round(discs);
    // In the arm's own frame, mirrored so that u runs back and w up.
    let local = |place: Point| {
        let flat = place.turned(-arm.rad());
        (-flat.x_mm, flat.z_mm)
    };
    let mut highest: Option<f64> = None;
    let mut consider = |w_mm: f64| highest = Some(highest.map_or(w_mm, |seen| seen.max(w_mm)));
    let mut last_mm = f64::NEG_INFINITY;
    for disc in discs {
        let (u, w) = local(disc.centre);
        last_mm = last_mm.max(u + disc.radius_mm);
        let aside = u_mm - u;
        if aside.abs() <= disc.radius_mm {
            consider(w + (disc.radius_mm * disc.radius_mm - aside * aside).sqrt());
        }
    }
    let arcs = hull.arcs();
    for (n, arc) in arcs.iter().enumerate() {
        let next = arcs[(n + 1) % arcs.len()];
        let (from_u, from_w) = local(discs[arc.disc].at(arc.to_rad));
        let (to_u, to_w) = local(discs[next.disc].at(arc.to_rad));
        let share = (u_mm - from_u) / (to_u - from_u);
        if (0.0..=1.0).contains(&share) {
            consider(from_w + (to_w - from_w) * share);
        }
    }
    highest.ok_or(Fault::NoChainHere { last: Length::from_mm(last_mm) })
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    fn place(along: f64) -> GapPlace {
        GapPlace { along: Length::from_mm(along), surface: Length::from_mm(45.0), plate: Length::from_mm(15.0) }
    }

    #[test]
    fn the_taut_pin_is_the_highest_that_takes_no_more_chain() {
        for layout in [sample::layout(), sample::layout().without_slider()] {
            for deg in [-20.0, -4.0, 7.5, 24.0] {
                let arm = Angle::from_deg(deg);
                let taut_mm = layout.hull(arm).length_mm;
                for u_mm in [-90.0, -30.0, 0.0, 20.0, 200.0, 400.0, 600.0, 700.0] {
                    let w_mm = taut_pin(&layout, arm, u_mm).expect("chain there");
                    assert!((lifted(&layout, arm, u_mm, w_mm) - taut_mm).abs() < 1e-4, "{deg} {u_mm}");
                    assert!(lifted(&layout, arm, u_mm, w_mm + 1.0) > taut_mm + 5e-4, "{deg} {u_mm}");
                }
            }
        }
    }

    #[test]
    fn the_last_place_with_chain_over_it_is_named() {
        let level = sample::layout().without_slider();
        let last_mm = 615.0 + level.rear.radius_mm;
        let refused = taut_gap(&level, Angle::ZERO, &place(last_mm + 1e-6)).expect_err("behind it");
        assert!(matches!(refused, Fault::NoChainHere { last } if (last.mm() - last_mm).abs() < 1e-9), "{refused:?}");
        let at_last = taut_gap(&level, Angle::ZERO, &place(last_mm - 1e-6)).expect("chain there");
        // Half a plate and the surface below the pin, which stands as high as the axle there, or near it.
        assert!((at_last.mm() + 7.5 + 45.0).abs() < 0.1, "{at_last:?}");
    }

    #[test]
    fn behind_the_rear_sprocket_there_is_no_chain() {
        let arm = Angle::from_deg(24.0);
        assert!(gap(&sample::layout(), arm, &place(690.0), Length::from_mm(5.0)).is_ok());
        let beyond = gap(&sample::layout().with_arm(Length::from_mm(400.0)), arm, &place(690.0), Length::ZERO);
        assert!(matches!(beyond, Err(Fault::NoChainHere { .. })));
    }

    #[test]
    fn a_gap_below_the_taut_one_is_refused_and_the_taut_one_is_no_surplus() {
        let (layout, arm, place) = (sample::layout(), Angle::from_deg(24.0), place(200.0));
        let taut = taut_gap(&layout, arm, &place).expect("chain there");
        assert!(matches!(
            gap_surplus(&layout, arm, &place, taut - Length::from_mm(0.01)),
            Err(Fault::BelowTaut { .. })
        ));
        assert!(gap_surplus(&layout, arm, &place, taut).expect("taut").mm() < 1e-9);
        assert_eq!(gap(&layout, arm, &place, Length::ZERO), Ok(taut));
        assert_eq!(gap(&layout, arm, &place, Length::from_mm(-3.0)), Ok(taut));
        let rounded = Length::from_mm(ROUNDING_MM);
        assert_eq!(gap_surplus(&layout, arm, &place, taut - rounded * 0.9), Ok(Length::ZERO));
        assert_eq!(gap_surplus(&layout, arm, &place, taut - rounded * 1.1), Err(Fault::BelowTaut { taut }));
    }
}
