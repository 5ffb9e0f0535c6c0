//! The tightest place of the travel: where the taut loop takes most chain.

use measure::{Angle, Length};

use super::layout::Layout;
use super::swing::{ROUNDING, Swing, line_angle};
use crate::solve::top;

/// Places at which the loop's length is looked at before its tops are refined.
const SCAN: usize = 120;
/// Loops nearer in length than this take the same chain.
const SAME_LENGTH: f64 = 1e-10;

/// The place of the travel where the taut loop takes most chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightest {
    /// The arm angle there.
    pub arm: Angle,
    /// What the taut loop takes there.
    pub length: Length,
    /// Whether the loop takes the same everywhere, so that no place is tightest.
    pub constant: bool,
}

/// The tightest place over the travel.
///
/// Without a slider it is where the distance is longest. With one, chain that rests on it can make another place
/// the tightest, or two: the length is looked at all along the travel and each top of it refined. Of two places
/// equally tight (a slider round the pivot has them) the one nearer to a place looked at is named.
#[must_use]
pub fn tightest(layout: &Layout, swing: &Swing) -> Tightest {
    let length = |rad: f64| layout.taut_length(Angle::from_rad(rad)).mm();
    let (low, high) = (swing.compression.rad(), swing.extension.rad());
    let mut found = Highest::new(high, length(high));
    found.consider(low, length(low));
    if layout.slider.is_some() && high > low {
        over_travel(length, low, high, &mut found);
    } else {
        let line = line_angle(layout.countershaft).rad();
        if swing.holds(line) {
            found.consider(line, length(line));
        }
    }
    Tightest {
        arm: Angle::from_rad(found.rad),
        length: Length::from_mm(found.mm),
        constant: found.mm - found.least_mm < ROUNDING,
    }
}

/// The top next to an arm angle, at most one look along the travel away; not higher than the tightest place.
pub(super) fn top_near(layout: &Layout, swing: &Swing, arm: Angle) -> (Angle, Length) {
    let (low, high) = (swing.compression.rad(), swing.extension.rad());
    let (step, place) = ((high - low) / steps(SCAN), arm.rad().clamp(low, high));
    let length = |rad: f64| layout.taut_length(Angle::from_rad(rad)).mm();
    let here = (place, length(place));
    let found = top(length, (place - step).max(low), (place + step).min(high));
    let (rad, mm) = if found.1 > here.1 { found } else { here };
    (Angle::from_rad(rad), Length::from_mm(mm))
}

/// The highest seen so far; a later one must be higher by more than rounding.
struct Highest {
    rad: f64,
    mm: f64,
    least_mm: f64,
}

impl Highest {
    const fn new(rad: f64, mm: f64) -> Self {
        Self { rad, mm, least_mm: mm }
    }

    fn consider(&mut self, rad: f64, mm: f64) {
        self.least_mm = self.least_mm.min(mm);
        if mm > self.mm + SAME_LENGTH {
            (self.rad, self.mm) = (rad, mm);
        }
    }
}

/// Looks along the travel and refines each top, the highest seen first.
fn over_travel(length: impl Fn(f64) -> f64, low: f64, high: f64, found: &mut Highest) {
    let place = |n: usize| low + (high - low) * steps(n) / steps(SCAN);
    let mut seen = [0.0; SCAN + 1];
    for (n, mm) in seen.iter_mut().enumerate() {
        *mm = length(place(n));
    }
    let around = |n: usize| (n.saturating_sub(1), (n + 1).min(SCAN));
    let is_top = |n: usize| seen[n] >= seen[around(n).0] && seen[n] >= seen[around(n).1];
    let highest = (0..=SCAN).fold(0, |best, n| if seen[n] > seen[best] { n } else { best });
    for n in std::iter::once(highest).chain((0..=SCAN).filter(|n| *n != highest && is_top(*n))) {
        let (before, after) = around(n);
        // Between two places the length cannot rise further than it fell beside them; a flat stretch has no better top.
        let rise = 2.0 * (seen[n] - seen[before].min(seen[after]));
        if n != highest && seen[n] + rise <= found.mm {
            continue;
        }
        let (rad, mm) = top(&length, place(before), place(after));
        found.consider(rad, mm);
    }
    found.least_mm = seen.iter().copied().fold(found.least_mm, f64::min);
}

#[expect(clippy::cast_precision_loss, reason = "a few hundred steps at most")]
const fn steps(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::layout::Slider;
    use super::super::sample;
    use super::*;

    #[test]
    fn without_travel_no_place_is_tightest() {
        let still = Swing::new(Length::from_mm(615.0), Angle::from_deg(24.0), Length::ZERO).expect("within reach");
        assert!(tightest(&sample::layout(), &still).constant);
    }

    #[test]
    fn a_thick_slider_moves_the_tightest_place_off_the_line() {
        let mut sheet = sample::sheet();
        sheet.front = measure::Teeth::new(12).expect("12 teeth");
        sheet.slider = sheet.slider.map(|slider| Slider { radius: Length::from_mm(44.0), ..slider });
        let place = tightest(&Layout::new(&sheet), &sample::swing()).arm.deg();
        assert!((place - 7.539).abs() > 4.0, "{place}");
    }

    #[test]
    fn the_tightest_is_what_a_walk_along_the_travel_finds() {
        let slid = |above: f64, radius: f64| {
            let slider =
                Slider { along: Length::from_mm(30.0), above: Length::from_mm(above), radius: Length::from_mm(radius) };
            Layout { slider: Some(slider), ..sample::layout() }
        };
        let all =
            [sample::layout(), sample::layout().without_slider(), slid(0.0, 44.0), slid(12.0, 40.0), slid(-14.0, 46.0)];
        for layout in all {
            for (droop, travel) in [(24.0, 295.0), (12.0, 250.0), (30.0, 120.0), (2.0, 80.0)] {
                let swing = Swing::new(Length::from_mm(615.0), Angle::from_deg(droop), Length::from_mm(travel));
                let swing = swing.expect("within reach");
                let (low, high) = (swing.compression.rad(), swing.extension.rad());
                let at = |n: u32| Angle::from_rad(low + (high - low) * f64::from(n) / 3000.0);
                let walked = (0..=3000).map(|n| layout.taut_length(at(n)).mm()).fold(0.0, f64::max);
                let told = tightest(&layout, &swing);
                assert!((told.length.mm() - walked).abs() < 1e-4 && told.length.mm() > walked - 1e-9, "{layout:?}");
                assert!((layout.taut_length(told.arm) - told.length).mm().abs() < 1e-9 && !told.constant);
            }
        }
    }

    proptest! {
        #[test]
        fn of_several_bumps_the_highest_is_found_whichever_order_they_stand_in(
            bumps in prop::collection::vec((0.0..120.0_f64, 0.0..10.0_f64, 0.02..0.5_f64), 1..4),
        ) {
            let length = |x: f64| bumps.iter().map(|(at, high, steep)| high - steep * (x - at).powi(2)).fold(-50.0, f64::max);
            let mut found = Highest::new(0.0, length(0.0));
            over_travel(length, 0.0, steps(SCAN), &mut found);
            let highest = (0..=12_000).map(|n| length(f64::from(n) / 100.0)).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(found.mm > highest - 1e-9 && found.mm < highest + 1e-2, "{} for {highest}", found.mm);
            prop_assert!((length(found.rad) - found.mm).abs() < 1e-12);
            let least = (0..=120).map(|n| length(f64::from(n))).fold(f64::INFINITY, f64::min);
            prop_assert_eq!(found.least_mm.to_bits(), least.to_bits());
        }
    }

    #[test]
    fn a_loop_that_changes_by_less_than_rounding_is_constant() {
        let mut sheet = sample::sheet();
        sheet.slider = None;
        // The countershaft next to the pivot: the loop changes by about four times its distance.
        let mut constant = |x_mm: f64| {
            sheet.countershaft_x = Length::from_mm(x_mm);
            sheet.countershaft_z = Length::ZERO;
            tightest(&Layout::new(&sheet), &sample::swing()).constant
        };
        assert!(constant(0.0) && constant(1e-10) && !constant(1e-7));
    }

    #[test]
    fn the_top_next_to_a_place_is_the_highest_within_one_look() {
        let swing = sample::swing();
        let (low, high) = (swing.compression.rad(), swing.extension.rad());
        let look = (high - low) / steps(SCAN);
        for layout in [sample::layout(), sample::layout().without_slider()] {
            for n in 0..=30 {
                let place = low + (high - low) * f64::from(n) / 30.0;
                let (arm, length) = top_near(&layout, &swing, Angle::from_rad(place));
                assert!((arm.rad() - place).abs() <= look * (1.0 + 1e-9) && swing.holds(arm.rad()));
                assert!((layout.taut_length(arm) - length).mm().abs() < 1e-12);
                let seen = (-50..=50).map(|m| (place + look * f64::from(m) / 50.0).clamp(low, high));
                let highest = seen.map(|rad| layout.taut_length(Angle::from_rad(rad)).mm()).fold(0.0, f64::max);
                assert!((length.mm() - highest).abs() < 1e-3 && length.mm() > highest - 1e-6, "{n}");
            }
        }
    }

    #[test]
    fn a_higher_top_between_two_places_is_found_beside_a_lower_one_that_is_met_exactly() {
        // Both fall away on each side; the higher one peaks half a look from either place, and is seen lower there.
        let length = |x: f64| (1000.0 - (x - 10.0).powi(2)).max(1000.01 - 0.1 * (x - 30.5).powi(2));
        let mut found = Highest::new(0.0, length(0.0));
        over_travel(length, 0.0, steps(SCAN), &mut found);
        assert!((found.rad - 30.5).abs() < 1e-4 && (found.mm - 1000.01).abs() < 1e-9, "{} {}", found.rad, found.mm);
    }
}
