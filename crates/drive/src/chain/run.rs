//! The free run of a slack chain: how far it can be pushed in the middle, and how it hangs.
//!
//! Nothing touches the run here and the other run is taut. Other places along the run, guides and the swingarm
//! live in the room for slack.

use measure::exact::GRAVITY;
use measure::{Force, Length};

use super::Sprockets;
use crate::slack::free::{self, MID};

/// Steps of a root search: bisection alone would need fewer.
const MOST_STEPS: u32 = 80;

/// A step this small, as a part of what is sought, is the last one.
const LAST_STEP: f64 = 1e-13;

/// Surplus length of a run between two pin circles that lets its middle travel so far in total, with the change of
/// both wraps counted.
///
/// # Formula
/// E(h) = Σ [√(D² − r²) + r (atan2(S/2, r + h) − arccos(r/D))] − S, D² = (S/2)² + (r + h)², over both radii r;
/// outward o and inward m − o with E(o) = E(o − m), by Newton.
///
/// # Source
/// `geometry`.
#[must_use]
pub fn surplus_of_travel(span: Length, radii: (Length, Length), travel: Length) -> Length {
    let push = Push { half: span.mm() / 2.0, radii: [radii.0.mm(), radii.1.mm()] };
    let travel = travel.mm();
    let mut outward = travel / 2.0;
    for _ in 0..MOST_STEPS {
        let ((out, out_slope), (inward, in_slope)) = (push.surplus(outward), push.surplus(outward - travel));
        let slope = out_slope - in_slope;
        if slope <= 0.0 {
            break;
        }
        let step = (out - inward) / slope;
        outward = (outward - step).clamp(0.0, travel);
        if step.abs() <= LAST_STEP * travel {
            break;
        }
    }
    Length::from_mm(push.surplus(outward).0)
}

struct Push {
    half: f64,
    radii: [f64; 2],
}

impl Push {
    /// Length beyond straight with the middle pushed out by h, and its slope.
    fn surplus(&self, h: f64) -> (f64, f64) {
        let mut sum = (-2.0 * self.half, 0.0);
        for r in self.radii {
            let lever = r + h;
            let square = self.half * self.half + lever * lever;
            let tangent = (square - r * r).max(0.0).sqrt();
            // atan2(half, lever) − arccos(r/D), as one angle: the wrap that the push adds.
            let wrap = (self.half * r - lever * tangent).atan2(lever * r + self.half * tangent);
            sum.0 += tangent + r * wrap;
            sum.1 += (lever * tangent - r * self.half) / square;
        }
        sum
    }
}

/// The centre at which a chain of so many links has a wanted total mid-run travel; the axle stands further forward
/// than taut.
///
/// # Formula
/// (N − L(C)) p = surplus of the travel at the span of C.
///
/// # Holds when
/// `None` where the sprockets would touch before that much slack is there, or the chain is too short.
///
/// # Source
/// `geometry`.
#[must_use]
pub fn slack_centre(pair: &Sprockets, links: f64, travel: Length) -> Option<Length> {
    let taut = pair.centre(links)?;
    let beyond = |centre: Length| {
        let surplus = pair.pitch() * (links - pair.links_needed(centre));
        surplus.mm() - surplus_of_travel(pair.span(centre), pair.radii(), travel).mm()
    };
    let (mut low, mut high) = (pair.least_centre().mm(), taut.mm());
    if beyond(Length::from_mm(low)) < 0.0 {
        return None;
    }
    let mut centre = high;
    for _ in 0..MOST_STEPS {
        let missing = beyond(Length::from_mm(centre));
        if missing < 0.0 {
            high = centre
        } else {
            low = centre
        }
        let step = missing / pair.slope_at(centre / pair.pitch().mm());
        let next = centre + step;
        if step.abs() <= LAST_STEP * centre {
            centre = next;
            break;
        }
        // The span's own change is left out of the slope; where that misleads, halving does not.
        centre = if next > low && next < high { next } else { f64::midpoint(low, high) };
    }
    Some(Length::from_mm(centre))
}

/// A run hanging at rest, taken level, the other run taut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hang {
    /// Total mid-run travel.
    pub travel: Length,
    /// Sag of the middle below the straight line.
    pub sag: Length,
    /// From rest to pushed fully in: what "lift from rest" reads.
    pub rest_to_lift: Length,
    /// Horizontal tension of a chain of one kilogram per metre.
    pub tension_per_mass: Force,
}

/// How a run of a span hangs with some surplus length.
///
/// # Formula
/// sinh(u)/u = (S + e)/S; sag f = (S/2u)(cosh u − 1), tension H = q g S/2u; small e: f = √(3 S e/8), H = q g S²/8f.
/// Rest to lifted: m/2 + f.
///
/// # Holds when
/// The surplus is above nothing. Against hanging rigid links: sag and lift within 1 %.
///
/// # Source
/// `free-body`.
#[must_use]
pub fn hang(span: Length, surplus: Length) -> Hang {
    let travel = free::slack(span, surplus, MID);
    let half_angle = catenary(surplus / span);
    let low_point = span.mm() / (2.0 * half_angle);
    let sinh = (half_angle / 2.0).sinh();
    let sag = Length::from_mm(2.0 * low_point * sinh * sinh);
    Hang {
        travel,
        sag,
        rest_to_lift: travel / 2.0 + sag,
        tension_per_mass: Force::from_n(GRAVITY * low_point / 1000.0),
    }
}

/// u with sinh(u)/u − 1 = x, for x above 0.
fn catenary(x: f64) -> f64 {
    let mut u = catenary_start(x);
    for _ in 0..MOST_STEPS {
        let over = if u < 0.1 {
            // sinh(u)/u − 1 would lose its digits.
            let square = u * u;
            square / 6.0 * (1.0 + square / 20.0 * (1.0 + square / 42.0 * (1.0 + square / 72.0)))
        } else {
            u.sinh() / u - 1.0
        };
        let slope = if u < 0.1 { u / 3.0 * (1.0 + u * u / 10.0) } else { (u.cosh() - u.sinh() / u) / u };
        let step = (over - x) / slope;
        u -= step;
        if step.abs() <= LAST_STEP * u {
            break;
        }
    }
    u
}

/// Above the root, from where Newton on a convex curve comes down without passing it: two terms of the series
/// u²/6 + u⁴/120 + …, or the logarithm that tames a run of next to no span.
fn catenary_start(x: f64) -> f64 {
    let series = (12.0 * x / ((1.0 + 1.2 * x).sqrt() + 1.0)).sqrt();
    series.min(2.0 * (4.0 * (1.0 + x)).ln())
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Teeth;

    const MM: fn(f64) -> Length = Length::from_mm;

    #[test]
    fn a_small_surplus_hangs_as_a_parabola() {
        let span = 640.0_f64;
        for surplus in [1e-6_f64, 1e-15, 1e-300] {
            let sag = hang(MM(span), MM(surplus)).sag.mm();
            assert!((sag / (3.0 * span * surplus / 8.0).sqrt() - 1.0).abs() < 1e-6, "{surplus}: {sag}");
        }
    }

    #[test]
    fn the_hanging_curve_is_as_long_as_the_run() {
        for (span, surplus) in [(640.0, 2.0), (300.0, 60.0), (50.0, 59.0), (1e-3, 60.0), (2000.0, 0.01)] {
            let hung = hang(MM(span), MM(surplus));
            let low_point = hung.tension_per_mass.n() / GRAVITY * 1000.0;
            let u = span / (2.0 * low_point);
            assert!((2.0 * low_point * u.sinh() - span - surplus).abs() < 1e-9 * (span + surplus));
        }
    }

    #[test]
    fn wraps_change_the_travel_by_no_more_than_a_fifty_thousandth_part_of_usual_slack() {
        for travel in [10.0, 30.0, 60.0, 90.0] {
            let surplus = surplus_of_travel(MM(680.0), (MM(35.67), MM(121.37)), MM(travel));
            assert!((free::slack(MM(680.0), surplus, MID).mm() / travel - 1.0).abs() < 2e-4);
        }
    }

    #[test]
    fn no_slack_is_wanted_at_the_taut_centre() {
        let teeth = |count| Teeth::new(count).expect("teeth in bounds");
        let pair = Sprockets::new(MM(15.875), teeth(14), teeth(48));
        let taut = pair.centre(118.0).expect("long enough");
        let slack = slack_centre(&pair, 118.0, MM(0.0)).expect("long enough");
        assert!((taut - slack).abs().mm() < 1e-9);
        assert!(slack_centre(&pair, 60.0, MM(300.0)).is_none());
    }

    #[test]
    fn the_curve_of_a_run_is_found_back_on_both_sides_of_where_it_is_worked_out_otherwise() {
        for u in [0.06_f64, 0.0999, 0.1001, 0.5, 2.0, 6.0] {
            let found = catenary(u.sinh() / u - 1.0);
            // Below a tenth what is given has lost digits already: sinh is rounded.
            assert!((found / u - 1.0).abs() < 2e-12, "{u}: {found}");
        }
    }

    #[test]
    fn the_curve_is_looked_for_from_above_and_from_near() {
        for (u, most) in
            [(1e-3_f64, 1.0001), (0.1, 1.0001), (0.7, 1.0002), (2.0, 1.01), (3.0, 1.03), (5.0, 1.14), (7.0, 1.4)]
        {
            let x = if u < 0.05 { u * u / 6.0 * (1.0 + u * u / 20.0) } else { u.sinh() / u - 1.0 };
            let start = catenary_start(x) / u;
            assert!(start > 1.0 - 1e-9 && start < most, "{u}: {start}");
        }
        // With next to no span the series would begin far too high.
        for u in [11.0_f64, 13.0, 17.0] {
            let start = catenary_start(u.sinh() / u - 1.0) / u;
            assert!(start > 1.6 && start < 1.8, "{u}: {start}");
        }
    }
}
