//! The turns and rounds at the two adjusters that move the axle by a shift and set it straight.

use measure::Length;

use super::fault::Fault;

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
}
