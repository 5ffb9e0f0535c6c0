//! Legs: unbroken stretches under way. A gear is chosen within a leg; between legs the rider stood.

use std::ops::Range;

/// Below this ground speed no gear is asked for, m/s.
pub const MOVING_MPS: f64 = 0.5;
/// A gap of more than this many steps breaks a leg.
const GAP_STEPS: f64 = 1.5;

/// A ride as it was ridden: lists of one length on one grid.
#[derive(Debug, Clone, Copy)]
pub struct Motion<'a> {
    /// Times, s.
    pub t_s: &'a [f64],
    /// Ground speed, m/s.
    pub speed_mps: &'a [f64],
    /// Rise over run.
    pub grade: &'a [f64],
    /// Acceleration along the track, m/s².
    pub accel_mps2: &'a [f64],
}

/// The legs of a ride, as ranges of its samples.
///
/// # Formula
/// Maximal runs with `v ≥ 0.5 m/s` without a time gap above `1.5 · step`.
#[must_use]
pub fn legs(t_s: &[f64], speed_mps: &[f64], step_s: f64) -> Vec<Range<usize>> {
    let mut legs: Vec<Range<usize>> = Vec::new();
    let mut start = None;
    for (at, speed) in speed_mps.iter().enumerate() {
        let broken = at > 0 && t_s[at] - t_s[at - 1] > GAP_STEPS * step_s;
        let moving = *speed >= MOVING_MPS;
        if let Some(from) = start
            && (broken || !moving)
        {
            legs.push(from..at);
            start = None;
        }
        if moving && start.is_none() {
            start = Some(at);
        }
    }
    legs.extend(start.map(|from| from..speed_mps.len()));
    legs
}

/// Whether any sample moves.
#[must_use]
pub fn moves(speed_mps: &[f64]) -> bool {
    speed_mps.iter().any(|speed| *speed >= MOVING_MPS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stop_or_a_gap_ends_a_leg() {
        let times = [0.0, 1.0, 2.0, 3.0, 9.0, 10.0];
        assert_eq!(legs(&times, &[1.0, 1.0, 0.1, 1.0, 1.0, 0.0], 1.0), vec![0..2, 3..4, 4..5]);
        assert_eq!(legs(&times[..4], &[1.0; 4], 1.0), vec![0..4]);
        assert!(legs(&[], &[], 1.0).is_empty());
        assert!(legs(&times, &[0.4; 6], 1.0).is_empty());
    }
}
