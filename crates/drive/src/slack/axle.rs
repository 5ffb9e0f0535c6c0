//! Moving the axle: where it must stand for a chain, and how far from a reading to a target.

use std::f64::consts::TAU;

use measure::{Angle, Length, Links};

use super::fault::Fault;
use super::free;
use super::layout::{Layout, Run, Wheel};
use super::swing::{Swing, line_angle};
use super::tightest::{tightest, top_near};
use crate::solve::root;

/// Chain so short that no reading sees it: the loop fits.
const CLOSE_MM: f64 = 1e-10;
/// Looks along the travel before giving up; three or four are usual.
const MOST_LOOKS: usize = 100;

/// Where the arm length must be so that a chain keeps a margin at the tightest place; arm angles held.
///
/// # Formula
/// `n p - max over the travel of L_taut(arm) = margin`, solved for the arm length: from an arm that is too long, it is
/// shortened until the loop fits at one top of the travel, then at the next one that is higher there; no arm can be
/// longer than that, so the steps come down to the answer, each about as many right digits as the last two together.
///
/// # Errors
/// The chain does not go round even with the sprockets touching.
pub fn place(layout: &Layout, swing: &Swing, links: Links, margin: Length) -> Result<Length, Fault> {
    let chain_mm = links.real() * layout.pitch_mm;
    let taken_mm = chain_mm - margin.mm();
    let tightest_at = |arm_mm: f64| tightest(&layout.with_arm(Length::from_mm(arm_mm)), swing);
    let nearest_mm = touching_arm(layout, swing.compression, swing.extension);
    if longest_loop(layout, nearest_mm) > taken_mm {
        let short = taken_mm - tightest_at(nearest_mm).length.mm();
        if short < 0.0 {
            return Err(Fault::TooShort { surplus: Length::from_mm(short) });
        }
    }
    // No loop goes round an axle that is further out than the whole chain beyond the countershaft.
    let furthest_mm = chain_mm + layout.countershaft.size() + nearest_mm;
    let mut arm_mm = clear_of_slider(layout, swing, taken_mm, [nearest_mm, furthest_mm]);
    let mut arm = line_angle(layout.countershaft);
    for _ in 0..MOST_LOOKS {
        // Down along one top first; whether another one is higher there, a look along the whole travel says.
        for _ in 0..MOST_LOOKS {
            let near = top_near(&layout.with_arm(Length::from_mm(arm_mm)), swing, arm);
            let over_mm = near.1.mm() - taken_mm;
            arm = near.0;
            if over_mm <= CLOSE_MM {
                break;
            }
            let over = |arm_mm: f64| layout.with_arm(Length::from_mm(arm_mm)).taut_length(arm).mm() - taken_mm;
            // A millimetre of arm takes between one and two of chain, or near it.
            let close_mm = (arm_mm - over_mm).max(nearest_mm);
            let low_mm = if over(close_mm) < 0.0 { close_mm } else { nearest_mm };
            let next_mm = root(over, low_mm, arm_mm).ok_or(Fault::NoAxlePlace)?;
            if next_mm >= arm_mm {
                break;
            }
            arm_mm = next_mm;
        }
        let tight = tightest_at(arm_mm);
        if tight.length.mm() - taken_mm <= CLOSE_MM || tight.arm == arm {
            return Ok(Length::from_mm(arm_mm));
        }
        arm = tight.arm;
    }
    Err(Fault::NoAxlePlace)
}

/// A length that no loop passes with an arm so long: all discs lie within one reach of the line from sprocket to
/// sprocket, and so does the loop round them.
fn longest_loop(layout: &Layout, arm_mm: f64) -> f64 {
    let off_mm = layout.countershaft.size();
    let slider =
        layout.slider.map_or(0.0, |slider| slider.along.mm().hypot(slider.above.mm()) + slider.radius.mm() + off_mm);
    let wheel = |wheel: &Wheel| wheel.radius_mm.max(wheel.per_rad_mm);
    let reach_mm = wheel(&layout.front).max(wheel(&layout.rear)).max(slider);
    2.0 * (arm_mm + off_mm) + TAU * reach_mm
}

/// An arm that is surely too long, close to the answer: a slider only takes chain, so where the same drive without it
/// has its answer, less than a hair further back, the one with it is at or past its own. Looking for the tightest
/// place without a slider is cheap; with one it is a walk along the whole travel.
fn clear_of_slider(layout: &Layout, swing: &Swing, taken_mm: f64, [nearest_mm, furthest_mm]: [f64; 2]) -> f64 {
    const HAIR_MM: f64 = 1e-6;
    let clear = layout.without_slider();
    let over = |arm_mm: f64| taken_mm - tightest(&clear.with_arm(Length::from_mm(arm_mm)), swing).length.mm();
    root(over, nearest_mm, furthest_mm).map_or(furthest_mm, |arm_mm| (arm_mm + HAIR_MM).min(furthest_mm))
}

/// The shortest arm at which the sprockets do not overlap anywhere between two arm angles.
fn touching_arm(layout: &Layout, low: Angle, high: Angle) -> f64 {
    let least = layout.front.radius_mm + layout.rear.radius_mm;
    let (offset, line) = (layout.countershaft.size(), layout.countershaft.angle_rad());
    // The countershaft lies `along` ahead of the pivot on the arm's line and `aside` off it.
    let at = |arm_rad: f64| {
        let (sin, cos) = (arm_rad - line).sin_cos();
        let (along, aside) = (offset * cos, offset * sin);
        (least * least - aside * aside).max(0.0).sqrt() - along
    };
    // Worst at an end, or where the arm points at the countershaft.
    let mut arm_mm = at(low.rad()).max(at(high.rad()));
    for facing in [line - std::f64::consts::PI, line + std::f64::consts::PI] {
        if low.rad() <= facing && facing <= high.rad() {
            arm_mm = arm_mm.max(at(facing));
        }
    }
    arm_mm.max(f64::MIN_POSITIVE)
}

/// How far to move the axle from a reading to a target, both at one station of the lower run; + is back.
///
/// # Formula
/// `L_taut(arm + s) + e(F_target at arm + s) = L_taut(arm) + e(F_now)`, solved for s. No links, no wear.
///
/// # Errors
/// The lower run rests on the slider, or no place without the sprockets touching gives the target.
pub fn shift(layout: &Layout, arm: Angle, station: f64, now: Length, target: Length) -> Result<Length, Fault> {
    if layout.rests(arm, Run::Lower) {
        return Err(Fault::Rests);
    }
    if now == target {
        return Ok(Length::ZERO);
    }
    let taken =
        |place: &Layout, slack: Length| (place.taut_length(arm) + free::surplus(place.span(arm), slack, station)).mm();
    let chain_mm = taken(layout, now);
    let over = |arm_mm: f64| taken(&layout.with_arm(Length::from_mm(arm_mm)), target) - chain_mm;
    let (low_mm, high_mm) = (touching_arm(layout, arm, arm), layout.arm_mm + chain_mm / 2.0);
    let wanted_mm = root(over, low_mm, high_mm).ok_or(Fault::NoAxlePlace)?;
    Ok(Length::from_mm(wanted_mm - layout.arm_mm))
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn no_loop_is_longer_than_the_longest_and_one_in_line_is_as_long() {
        let drawn = sample::layout();
        for layout in [drawn, drawn.without_slider()] {
            for arm_mm in [80.0, 300.0, 615.0] {
                let at =
                    |deg: i32| layout.with_arm(Length::from_mm(arm_mm)).taut_length(Angle::from_deg(f64::from(deg)));
                let longest = (-180..180).map(|deg| at(deg).mm()).fold(0.0, f64::max);
                assert!(longest_loop(&layout, arm_mm) > longest, "{arm_mm}");
            }
        }
        let equal = Layout { front: drawn.rear, ..drawn.without_slider() };
        let line = line_angle(equal.countershaft);
        let off_mm = equal.countershaft.size();
        // Chain on a sprocket counts by its teeth, a hair less than the arc.
        let hair_mm = TAU * (equal.rear.radius_mm - equal.rear.per_rad_mm);
        assert!(hair_mm > 0.0 && hair_mm < 1.0);
        let loop_mm = equal.taut_length(line).mm();
        assert!((longest_loop(&equal, 615.0) - loop_mm - hair_mm).abs() < 1e-9);
        // A slider reaches as far from the line as it stands off the countershaft, and its radius.
        let slider = super::super::layout::Slider {
            along: Length::from_mm(300.0),
            above: Length::from_mm(400.0),
            radius: Length::from_mm(50.0),
        };
        let slid = Layout { slider: Some(slider), ..equal };
        assert!((longest_loop(&slid, 615.0) - 2.0 * (615.0 + off_mm) - TAU * (550.0 + off_mm)).abs() < 1e-9);
    }

    #[test]
    fn the_place_without_a_slider_is_where_the_search_with_one_begins() {
        let (layout, swing) = (sample::layout(), sample::swing());
        let clear = layout.without_slider();
        let taken_mm = tightest(&clear, &swing).length.mm();
        assert!((clear_of_slider(&layout, &swing, taken_mm, [200.0, 2000.0]) - 615.0 - 1e-6).abs() < 1e-8);
        assert_eq!(
            clear_of_slider(&layout, &swing, taken_mm, [200.0, 615.0 - 1e-3]).to_bits(),
            (615.0_f64 - 1e-3).to_bits()
        );
        assert!(clear_of_slider(&layout, &swing, taken_mm, [200.0, 615.0 + 1e-7]) <= 615.0 + 1e-7);
    }

    #[test]
    fn what_is_asked_of_the_place_already_there_moves_nothing() {
        let (layout, arm) = (sample::layout(), Angle::from_deg(24.0));
        let mm = Length::from_mm;
        assert_eq!(shift(&layout, arm, 0.5, mm(40.0), mm(40.0)), Ok(Length::ZERO));
        assert_eq!(shift(&layout, Angle::from_deg(-4.0), 0.5, mm(40.0), mm(30.0)), Err(Fault::Rests));
        assert_eq!(shift(&layout, arm, 0.5, mm(40.0), mm(5000.0)), Err(Fault::NoAxlePlace));
    }

    #[test]
    fn the_touching_arm_just_touches_at_the_nearest_place_of_any_way() {
        let drawn = sample::layout().without_slider();
        for (x, z) in [(-60.0, 20.0), (-60.0, -20.0), (68.0, 9.0), (-20.0, 70.0)] {
            let layout = Layout { countershaft: crate::slack::Point::new(x, z), ..drawn };
            for (low, high) in [(-24.0, 24.0), (-60.0, -10.0), (10.0, 60.0), (-15.0, -15.0)] {
                let arm_mm = touching_arm(&layout, Angle::from_deg(low), Angle::from_deg(high));
                let moved = layout.with_arm(Length::from_mm(arm_mm));
                let gap_mm = |n: i32| {
                    let deg = low + (high - low) * f64::from(n) / 2000.0;
                    moved.centre(Angle::from_deg(deg)).mm() - layout.front.radius_mm - layout.rear.radius_mm
                };
                let least = (0..=2000).map(gap_mm).fold(f64::INFINITY, f64::min);
                assert!(least.abs() < 1e-3, "{x} {z} {low} {high}: {least}");
            }
        }
    }

    #[test]
    fn the_touching_arm_clears_the_sprockets_on_the_whole_way() {
        // An odd bike, its countershaft behind the pivot: the arm comes to point straight at it on
        // the way, and there the sprockets come closest.
        for above_mm in [-9.0, 9.0] {
            let drawn = crate::slack::sample::layout();
            let layout = Layout { countershaft: crate::slack::Point::new(-60.0, above_mm), ..drawn };
            let (low, high) = (Angle::from_deg(-24.0), Angle::from_deg(24.0));
            let arm_mm = touching_arm(&layout, low, high);
            let gap_mm = |deg: i32| {
                let (sin, cos) = (f64::from(deg) / 10.0).to_radians().sin_cos();
                (arm_mm * cos + layout.countershaft.x_mm).hypot(arm_mm * sin + layout.countershaft.z_mm)
                    - layout.front.radius_mm
                    - layout.rear.radius_mm
            };
            let least = (-240..=240).map(gap_mm).fold(f64::INFINITY, f64::min);
            assert!(least.abs() < 1e-3, "{above_mm}: {least}");
        }
    }
}
