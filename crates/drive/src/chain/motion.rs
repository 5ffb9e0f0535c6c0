//! How links and teeth meet, and how unevenly a polygon drives.

use std::f64::consts::PI;

use measure::{Angle, Length, Links, Speed, Teeth};

/// When the same link meets the same tooth again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pairing {
    /// Links that pass until then.
    pub passes: u32,
    /// Loops of the chain until then.
    pub loops: u32,
    /// Turns of the sprocket until then.
    pub turns: u32,
    /// Different links that one tooth meets.
    pub links_met: u32,
    /// Whether a tooth only ever meets inner, or only outer, links.
    pub same_kind: bool,
}

/// How a chain and a sprocket meet.
///
/// # Formula
/// lcm(N, z) passes = z/gcd loops = N/gcd turns; a tooth meets N/gcd links; same kind if N and z are even.
///
/// # Source
/// `geometry`: counting.
#[must_use]
pub fn pairing(links: Links, teeth: Teeth) -> Pairing {
    let (n, z) = (u32::from(links.count()), u32::from(teeth.count()));
    let shared = greatest_divisor(n, z);
    Pairing {
        passes: n / shared * z,
        loops: z / shared,
        turns: n / shared,
        links_met: n / shared,
        same_kind: n.is_multiple_of(2) && z.is_multiple_of(2),
    }
}

const fn greatest_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { greatest_divisor(b, a % b) }
}

/// Speed pulse of one evenly turning sprocket, as fractions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulse {
    /// (v_max − v_min)/v_max.
    pub of_max: f64,
    /// (v_max − v_min)/v_mean.
    pub of_mean: f64,
    /// Bend of a joint entering, and again leaving, the sprocket.
    pub bend: Angle,
}

/// The pulse of a sprocket.
///
/// # Formula
/// 1 − cos(π/z); (π/z) tan(π/2z); bend 2π/z.
///
/// # Source
/// `geometry`: a roller's speed along the run is that of a corner of the pitch polygon.
#[must_use]
pub fn pulse(teeth: Teeth) -> Pulse {
    let half_step = PI / teeth.real();
    let sine = (half_step / 2.0).sin();
    Pulse {
        of_max: 2.0 * sine * sine,
        of_mean: half_step * (half_step / 2.0).tan(),
        bend: Angle::from_rad(2.0 * half_step),
    }
}

/// Mean chain speed of a sprocket.
///
/// # Formula
/// v = z p n/60.
///
/// # Source
/// `machine-textbook`, worked example on a chain drive.
#[must_use]
pub fn chain_speed(pitch: Length, teeth: Teeth, rpm: f64) -> Speed {
    Speed::from_mps(teeth.real() * pitch.m() * rpm / 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn met(links: u16, teeth: u16) -> Pairing {
        pairing(Links::new(links).expect("links in bounds"), Teeth::new(teeth).expect("teeth in bounds"))
    }

    #[test]
    fn twelve_teeth_under_120_links_meet_the_same_links_each_loop() {
        assert_eq!((met(120, 12).loops, met(120, 12).same_kind), (1, true));
        assert_eq!(met(118, 13).loops, 13);
        assert_eq!(met(118, 48).loops, 24);
    }

    #[test]
    fn loops_and_turns_pass_the_same_links() {
        for (links, teeth) in [(111, 48), (118, 14), (500, 150), (20, 6)] {
            let pairing = met(links, teeth);
            assert_eq!(pairing.passes, pairing.loops * u32::from(links));
            assert_eq!(pairing.passes, pairing.turns * u32::from(teeth));
        }
    }
}
