//! Moving the axle: where it must stand for a chain, and how far and in which rounds to get from a reading to a target.

use std::f64::consts::TAU;

use measure::{Angle, Length, Links};

use super::fault::Fault;
use super::free;
use super::layout::{Layout, Run, Wheel};
use super::solve::root;
use super::swing::{Swing, line_angle, tightest, top_near};

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
    let clear = Layout { slider: None, ..*layout };
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

/// A skew to correct on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Skew {
    /// Left minus right, each from block to reference, larger = further back.
    pub difference: Length,
    /// Distance between the two measuring places.
    pub track: Length,
    /// Sprocket plane left of the wheel's middle.
    pub sprocket: Length,
}

/// One round at the adjusters, in flats of a hexagon; + moves the axle back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round {
    /// Left adjuster.
    pub left_flats: f64,
    /// Right adjuster.
    pub right_flats: f64,
}

/// The whole turn of both adjusters and the rounds that get there.
#[derive(Debug, Clone, PartialEq)]
pub struct Turning {
    /// Flats that the shift alone takes.
    pub flats: f64,
    /// Flats of the left adjuster, all rounds.
    pub left_flats: f64,
    /// Flats of the right adjuster, all rounds.
    pub right_flats: f64,
    /// Skew first, so that the sprocket plane stays; then both sides alike.
    pub rounds: Vec<Round>,
}

/// A share of a round that is nothing but rounding.
const ROUNDING: f64 = 1e-9;
/// More rounds than this are no plan but a slip in the thread's pitch or the size of a round.
const MOST_ROUNDS: f64 = 1000.0;

/// The rounds for a shift, and for a skew to correct first.
///
/// # Formula
/// Skew: left `-d (1/2 - y/T) 6/P`, right `+d (1/2 + y/T) 6/P`; shift: `6 s / P` on both sides.
///
/// # Source
/// geometry: both changes together leave the axle where the sprocket plane cuts it.
///
/// # Errors
/// More than a thousand rounds.
pub fn turning(shift: Length, thread: Length, round_flats: f64, skew: Option<Skew>) -> Result<Turning, Fault> {
    let flats_of = |mm: f64| 6.0 * mm / thread.mm();
    let (left, right) = skew.map_or((0.0, 0.0), |skew| {
        let (d, share) = (skew.difference.mm(), skew.sprocket / skew.track);
        (flats_of(-d * (0.5 - share)), flats_of(d * (0.5 + share)))
    });
    let flats = flats_of(shift.mm());
    let (skew_rounds, skew_count) = count(left.abs().max(right.abs()) / round_flats);
    let (shift_rounds, shift_count) = count(flats.abs() / round_flats);
    if skew_rounds + shift_rounds > MOST_ROUNDS {
        return Err(Fault::TooManyRounds { rounds: skew_rounds + shift_rounds });
    }
    let mut rounds = Vec::new();
    rounds.extend((0..skew_count).map(|_| Round { left_flats: left / skew_rounds, right_flats: right / skew_rounds }));
    rounds.extend((0..shift_count).map(|n| {
        let last = n + 1 == shift_count;
        let size = if last { flats.abs() - round_flats * (shift_rounds - 1.0) } else { round_flats };
        Round { left_flats: size.copysign(flats), right_flats: size.copysign(flats) }
    }));
    Ok(Turning { flats, left_flats: flats + left, right_flats: flats + right, rounds })
}

/// The whole rounds that a number of rounds needs, as a real and as a count.
fn count(rounds: f64) -> (f64, u32) {
    let whole = (rounds - ROUNDING).ceil().max(0.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and not negative; saturates")]
    (whole, whole as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn turned(shift: f64, round: f64, difference: f64) -> Turning {
        let mm = Length::from_mm;
        let skew = Skew { difference: mm(difference), track: mm(220.0), sprocket: mm(50.0) };
        turning(mm(shift), mm(1.25), round, Some(skew)).expect("few rounds")
    }

    #[test]
    fn whole_rounds_leave_no_empty_last_one() {
        let turning = turned(1.25, 1.5, 0.0);
        assert_eq!(turning.rounds.len(), 4);
        assert!(turning.rounds.iter().all(|round| (round.left_flats - 1.5).abs() < 1e-9));
    }

    #[test]
    fn rounds_add_up_to_the_whole_turn_of_each_side() {
        let turning = turned(-0.83, 1.0, 1.7);
        let left: f64 = turning.rounds.iter().map(|round| round.left_flats).sum();
        let right: f64 = turning.rounds.iter().map(|round| round.right_flats).sum();
        assert!((left - turning.left_flats).abs() < 1e-9 && (right - turning.right_flats).abs() < 1e-9);
    }

    #[test]
    fn correcting_a_skew_leaves_the_sprocket_plane() {
        let turning = turned(0.0, 1.5, 1.2);
        let share = 50.0 / 220.0;
        assert!((turning.left_flats * (0.5 + share) + turning.right_flats * (0.5 - share)).abs() < 1e-12);
    }

    #[test]
    fn a_thousand_rounds_are_refused() {
        let many = turning(Length::from_mm(30.0), Length::from_mm(1.25), 0.1, None);
        assert!(matches!(many, Err(Fault::TooManyRounds { .. })));
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
