//! The last resort where a manual gives no torque: a plain steel bolt in steel, of a guide, guard, bracket or roller.
//!
//! Whether a place may have one at all is decided where the question is asked; axles, pivots, brakes, steering,
//! sprockets, countershaft and engine never do.

use measure::{Force, Length, Torque};

use super::{Friction, PropertyClass, Split, Thread};

/// Share of the proof load that the lowest friction may reach.
///
/// # Source
/// practice.
const PROOF_SHARE: f64 = 0.75;

/// Bearing face and clearance hole of hexagon heads, mm: size, across the face, hole.
///
/// # Source
/// hexagon-heads.
const HEXAGON: [(f64, f64, f64); 7] = [
    (5.0, 6.9, 5.5),
    (6.0, 8.9, 6.6),
    (8.0, 11.6, 9.0),
    (10.0, 14.6, 11.0),
    (12.0, 16.6, 13.5),
    (14.0, 19.6, 15.5),
    (16.0, 22.5, 17.5),
];

/// Mean friction diameter under a hexagon head; `None` where no head size is known.
#[must_use]
pub fn hexagon_contact(diameter: Length) -> Option<Length> {
    HEXAGON
        .iter()
        .find(|(size_mm, ..)| (size_mm - diameter.mm()).abs() < 1e-9)
        .map(|(_, face_mm, hole_mm)| Length::from_mm((face_mm + hole_mm) / 2.0))
}

/// The band in which thread and head friction may lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionBand {
    /// The slipperiest it may be.
    pub low: f64,
    /// The roughest it may be.
    pub high: f64,
}

impl FrictionBand {
    /// Both ends as frictions of thread and head alike.
    #[must_use]
    pub fn ends(self, contact: Length) -> [Friction; 2] {
        [self.low, self.high].map(|friction| Friction { thread: friction, head: friction, contact })
    }
}

/// A torque for a bolt of which the manual says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fallback {
    /// The torque as computed.
    pub torque: Torque,
    /// The same rounded down to two figures: the one that is shown.
    pub set: Torque,
    /// Preload at the highest friction.
    pub preload_low: Force,
    /// Preload at the lowest friction.
    pub preload_high: Force,
    /// Share of the proof load at the highest friction.
    pub proof_low_pct: f64,
    /// Share of the proof load at the lowest friction.
    pub proof_high_pct: f64,
}

/// The torque that reaches three quarters of the proof load at the lowest friction of the band.
///
/// # Holds when
/// Steel bolt in steel, class marked, no figure in the manual; `None` where the class is not made so large.
///
/// # Source
/// vdi-2230 for the form; the share of 75 % and the band are practice.
#[must_use]
pub fn fallback(thread: &Thread, class: PropertyClass, contact: Length, band: FrictionBand) -> Option<Fallback> {
    let preload_high = class.proof_load(thread)? * PROOF_SHARE;
    let [least, most] = band.ends(contact).map(|friction| Split::of(thread, &friction).tightening());
    let torque = Torque::from_nm(preload_high.n() * least.m());
    let preload_low = preload_high * (least / most);
    let proof_high_pct = 100.0 * PROOF_SHARE;
    Some(Fallback {
        torque,
        set: down_to_two_figures(torque),
        preload_low,
        preload_high,
        proof_low_pct: proof_high_pct * (preload_low / preload_high),
        proof_high_pct,
    })
}

/// Rounds down to two figures; a hair of rounding error below a printed figure still counts as that figure.
fn down_to_two_figures(torque: Torque) -> Torque {
    let value = torque.nm();
    if value <= 0.0 {
        return torque;
    }
    let places = value.log10().floor() - 1.0;
    let step = 10.0_f64.powf(places.abs());
    Torque::from_nm(if places >= 0.0 {
        (value / step + 1e-9).floor() * step
    } else {
        (value * step + 1e-9).floor() / step
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_goes_down_and_keeps_two_figures() {
        for (from, to) in [(7.489, 7.4), (17.98, 17.0), (0.1299, 0.12), (245.0, 240.0), (9.0, 9.0), (100.0, 100.0)] {
            assert!((down_to_two_figures(Torque::from_nm(from)).nm() - to).abs() < 1e-12, "{from}");
        }
    }

    #[test]
    fn more_friction_leaves_less_preload_for_the_same_torque() {
        let thread = Thread::new(Length::from_mm(6.0), None).expect("coarse");
        let contact = hexagon_contact(thread.diameter()).expect("known head");
        let found = fallback(&thread, PropertyClass::C8_8, contact, FrictionBand { low: 0.10, high: 0.20 });
        assert!(found.is_some_and(|found| found.preload_low < found.preload_high && found.set <= found.torque));
    }

    #[test]
    fn a_head_rubs_half_way_between_its_hole_and_its_face() {
        for (size, contact) in
            [(5.0, 6.2), (6.0, 7.75), (8.0, 10.3), (10.0, 12.8), (12.0, 15.05), (14.0, 17.55), (16.0, 20.0)]
        {
            let found = hexagon_contact(Length::from_mm(size)).expect("known");
            assert!((found.mm() - contact).abs() < 1e-12, "M{size}: {}", found.mm());
        }
        assert_eq!(hexagon_contact(Length::from_mm(7.0)), None);
    }

    #[test]
    fn the_torque_is_the_one_that_reaches_three_quarters_of_the_proof_load_where_it_rubs_least() {
        let thread = Thread::new(Length::from_mm(8.0), None).expect("coarse");
        let contact = Length::from_mm(10.3);
        let band = FrictionBand { low: 0.1, high: 0.16 };
        let found = fallback(&thread, PropertyClass::C8_8, contact, band).expect("small enough");
        let proof = 580.0 * thread.stress_area_mm2();
        let arm = |friction: f64| {
            let flank = 30.0_f64.to_radians().cos();
            (1.25 / std::f64::consts::TAU
                + friction * thread.pitch_diameter().mm() / (2.0 * flank)
                + friction * 10.3 / 2.0)
                / 1000.0
        };
        assert!((found.preload_high.n() / (0.75 * proof) - 1.0).abs() < 1e-12);
        assert!((found.torque.nm() / (0.75 * proof * arm(0.1)) - 1.0).abs() < 1e-12);
        assert!((found.preload_low.n() / (found.torque.nm() / arm(0.16)) - 1.0).abs() < 1e-12);
        assert!((found.proof_high_pct - 75.0).abs() < 1e-12);
        assert!((found.proof_low_pct / (100.0 * found.preload_low.n() / proof) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn rounding_leaves_a_torque_of_nothing_and_steps_from_one_size_to_the_next() {
        for (from, to) in [
            (0.0, 0.0),
            (99.9, 99.0),
            (100.9, 100.0),
            (1099.0, 1000.0),
            (10.0, 10.0),
            (9.99, 9.9),
            (0.01, 0.01),
            (12.0 - 1e-12, 12.0),
        ] {
            assert!((down_to_two_figures(Torque::from_nm(from)).nm() - to).abs() < 1e-9, "{from}");
        }
    }
}
