//! Two sprockets and the chain over them: links needed at a centre distance, and the centre of a link count.
//!
//! ```text
//!            S = √(C² − ρ²)          r1 ≤ r2 pitch radii, ρ = r2 − r1, z1 ≤ z2 teeth, all lengths in pitches
//!      .--------------------.        β angle of a taut run to the line of centres: sin β = ρ/C
//!    ( o r1 )--- C ---( o r2  )      L(C) = 2 S + (z1 + z2)/2 + (z2 − z1) β/π
//!      '--------------------'
//! ```
//! On a sprocket the chain lies in chords, so a wrap of θ holds zθ/2π pitches; a belt on the pitch circles
//! would come out about half a millimetre of centre distance short.

use std::f64::consts::PI;

use measure::{Angle, Length, Teeth};

/// Radius through the pins of a sprocket, in pitches.
///
/// # Formula
/// r = 1/(2 sin(π/z)): z chords of one pitch close a full turn.
///
/// # Source
/// `geometry`.
#[must_use]
pub fn pitch_radius(teeth: Teeth) -> f64 {
    0.5 / (PI / teeth.real()).sin()
}

/// Tip circles touch when the centre is this many pitches above r1 + r2: half of both teeth's greatest height,
/// each 1.25 p less a roller of 0.64 p.
const TIP_CLEARANCE: f64 = 0.61;

/// Newton stops once a step is shorter than this part of the centre: the next one would be below rounding.
const LAST_STEP: f64 = 2e-8;

/// More steps than the steepest pair ever takes.
const MOST_STEPS: u32 = 40;

/// The two sprockets of a drive and the pitch of the chain over them, with all that follows from these three worked out once;
/// a front and a rear by their teeth alone are a [`crate::gearing::Pair`].
///
/// # Holds when
/// The mean over one tooth of rigid links; against them the centre is right to 0.0004 mm from 9 teeth up on
/// a motorcycle's chain, to 0.005 mm with fewer teeth or sprockets that nearly touch.
/// Front and rear may be swapped: the same answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sprockets {
    pitch_mm: f64,
    teeth: (f64, f64),
    radii: (f64, f64),
    rho: f64,
    half_teeth: f64,
    per_angle: f64,
    series: [f64; 4],
    least_centre: f64,
    least_links: f64,
}

impl Sprockets {
    /// From a chain pitch and two sprockets, either of them the larger.
    #[must_use]
    pub fn new(pitch: Length, front: Teeth, rear: Teeth) -> Self {
        let (small, large) = (front.min(rear), front.max(rear));
        let (z1, z2) = (small.real(), large.real());
        let (r1, r2) = (pitch_radius(small), pitch_radius(large));
        let (rho, per_angle) = (r2 - r1, (z2 - z1) / PI);
        let square = rho * rho;
        let mut pair = Self {
            pitch_mm: pitch.mm(),
            teeth: (z1, z2),
            radii: (r1, r2),
            rho,
            half_teeth: f64::midpoint(z1, z2),
            per_angle,
            // L = 2 C + half_teeth + a1/C + a3/C³ + a5/C⁵ + a7/C⁷ + …, from the series of √ and arcsin in ρ/C.
            series: [
                rho * (per_angle - rho),
                rho * square * (per_angle / 6.0 - rho / 4.0),
                rho * square * square * (per_angle * 3.0 / 40.0 - rho / 8.0),
                rho * square * square * square * (per_angle * 5.0 / 112.0 - rho * 5.0 / 64.0),
            ],
            least_centre: r1 + r2 + TIP_CLEARANCE,
            least_links: 0.0,
        };
        pair.least_links = pair.length_at(pair.least_centre).0;
        pair
    }

    /// Length in pitches at a centre in pitches above ρ, and its slope as a fraction: dividing once is cheaper.
    fn length_at(&self, centre: f64) -> (f64, (f64, f64)) {
        let square = centre * centre;
        let run = (square - self.rho * self.rho).sqrt();
        let length = 2.0 * run + self.half_teeth + self.per_angle * (self.rho / centre).asin();
        (length, (2.0 * square - self.per_angle * self.rho, centre * run))
    }

    /// Links needed at a centre distance: a real number.
    ///
    /// # Formula
    /// L(C) = 2 (C/p) cos β + (z1 + z2)/2 + (z2 − z1) β/π, sin β = (r2 − r1)/C.
    ///
    /// # Holds when
    /// The centre is not below [`Self::least_centre`]; nearer than the radii's difference there is no run.
    ///
    /// # Source
    /// `geometry`.
    ///
    /// # Example
    /// ```
    /// use drive::chain::Sprockets;
    /// use measure::{Length, Teeth};
    /// let (front, rear) = (Teeth::new(14).unwrap(), Teeth::new(48).unwrap());
    /// let pair = Sprockets::new(Length::from_mm(15.875), front, rear);
    /// assert!((pair.links_needed(Length::from_mm(685.1702)) - 118.0).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn links_needed(&self, centre: Length) -> f64 {
        self.length_at((centre.mm() / self.pitch_mm).max(self.rho)).0
    }

    /// Taut centre distance of a chain of so many pitches (a real number, so that a worn chain has one too).
    ///
    /// # Formula
    /// L(C) = N, by Newton from the inverse of the length's series in ρ/C; dL/dC = 2 cos β for circles of
    /// circumference z p, here the exact slope.
    ///
    /// # Holds when
    /// `None` where the chain is so short that the tips of the sprockets would touch.
    ///
    /// # Source
    /// `geometry`.
    #[must_use]
    pub fn centre(&self, links: f64) -> Option<Length> {
        (links >= self.least_links).then(|| Length::from_mm(self.centre_at(links) * self.pitch_mm))
    }

    /// The centre in pitches of a chain that is long enough.
    pub(super) fn centre_at(&self, links: f64) -> f64 {
        let mut centre = self.guess(links);
        for _ in 0..MOST_STEPS {
            let (length, (rise, over)) = self.length_at(centre);
            let step = (length - links) * over / rise;
            centre -= step;
            if step.abs() < LAST_STEP * centre {
                break;
            }
        }
        centre
    }

    /// Start of Newton: the first two terms of the series inverted, then one step for the next three.
    fn guess(&self, links: f64) -> f64 {
        let straight = links - self.half_teeth;
        let [a1, a3, a5, a7] = self.series;
        let under = straight * straight - 8.0 * a1;
        if straight <= 0.0 || under <= 0.0 {
            return self.least_centre;
        }
        let first = 0.25 * (straight + under.sqrt());
        let inverse = 1.0 / first;
        let square = inverse * inverse;
        let rest = square * inverse * (a3 + square * (a5 + square * a7));
        (first - rest / (2.0 - square * (a1 + 3.0 * a3 * square))).max(self.least_centre)
    }

    /// Length of the taut run, tangent point to tangent point.
    ///
    /// # Formula
    /// S = √(C² − (r2 − r1)²).
    #[must_use]
    pub fn span(&self, centre: Length) -> Length {
        let (centre, rho) = (centre.mm(), self.rho * self.pitch_mm);
        Length::from_mm((centre * centre - rho * rho).max(0.0).sqrt())
    }

    /// Angle of the taut run to the line of centres, never negative.
    #[must_use]
    pub fn run_angle(&self, centre: Length) -> Angle {
        Angle::from_rad((self.rho * self.pitch_mm / centre.mm()).min(1.0).asin())
    }

    /// The centre at which the tips of the sprockets touch; nothing nearer is possible.
    #[must_use]
    pub fn least_centre(&self) -> Length {
        Length::from_mm(self.least_centre * self.pitch_mm)
    }

    /// Whether the sprockets clear each other at this centre.
    #[must_use]
    pub fn clears(&self, centre: Length) -> bool {
        centre >= self.least_centre()
    }

    /// Links at the least centre; a chain of fewer cannot go round.
    #[must_use]
    pub const fn least_links(&self) -> f64 {
        self.least_links
    }

    /// The chain pitch.
    #[must_use]
    pub const fn pitch(&self) -> Length {
        Length::from_mm(self.pitch_mm)
    }

    /// Pitch radii, the smaller first.
    #[must_use]
    pub fn radii(&self) -> (Length, Length) {
        (self.pitch() * self.radii.0, self.pitch() * self.radii.1)
    }

    /// Teeth, the smaller count first, and their radii in pitches.
    pub(super) const fn polygons(&self) -> ((f64, f64), (f64, f64)) {
        (self.teeth, self.radii)
    }

    /// How much the need for links grows with the centre, per pitch of centre, at a centre in pitches.
    pub(super) fn slope_at(&self, centre: f64) -> f64 {
        let (rise, over) = self.length_at(centre).1;
        rise / over
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(front: u16, rear: u16) -> Sprockets {
        let teeth = |count| Teeth::new(count).expect("teeth in bounds");
        Sprockets::new(Length::from_mm(15.875), teeth(front), teeth(rear))
    }

    #[test]
    fn a_chain_round_equal_sprockets_is_two_runs_and_one_circle() {
        let equal = pair(14, 14);
        assert!((equal.links_needed(Length::from_mm(15.875 * 38.0)) - 90.0).abs() < 1e-12);
        assert!((equal.run_angle(Length::from_mm(600.0)).deg()).abs() < 1e-15);
    }

    #[test]
    fn the_larger_sprocket_may_stand_at_the_front() {
        assert_eq!(pair(48, 14), pair(14, 48));
    }

    #[test]
    fn a_chain_too_short_has_no_centre() {
        let pair = pair(14, 48);
        assert!(pair.centre(50.0).is_none());
        let least = pair.centre(pair.least_links()).expect("just long enough");
        assert!((least - pair.least_centre()).abs().mm() < 1e-9);
    }

    #[test]
    fn the_slope_is_what_a_small_move_shows() {
        let pair = pair(6, 150);
        for centre in [27.0, 40.0, 90.0] {
            let move_by = 1e-6;
            let shown = (pair.length_at(centre + move_by).0 - pair.length_at(centre - move_by).0) / (2.0 * move_by);
            assert!((pair.slope_at(centre) - shown).abs() < 1e-7);
        }
    }

    /// √ and arcsin in ρ/C go on with C⁻⁹, and one step of Newton leaves half of L″/L′ times the square of its error:
    /// the guess must be as near as these two say, or a term of the series is wrong.
    #[test]
    fn the_first_guess_is_as_near_as_the_terms_it_leaves_out_say() {
        for (front, rear, links) in [(12, 52, 114.0), (13, 50, 118.0), (9, 70, 110.0), (6, 150, 300.0), (14, 48, 200.0)]
        {
            let pair = pair(front, rear);
            let centre = pair.centre_at(links);
            assert!((pair.length_at(centre).0 - links).abs() < 1e-12 * links);
            let left_out = pair.rho.powi(9) * (pair.per_angle * 35.0 / 1152.0 - pair.rho * 7.0 / 128.0);
            let [bent, first_left] = [pair.series[0], pair.series[1] / (2.0 * centre.powi(3))];
            let near = left_out.abs() / (2.0 * centre.powi(9)) + bent.abs() * (first_left / centre).powi(2) / centre;
            assert!((pair.guess(links) - centre).abs() < 2.5 * near + 1e-12, "{front}/{rear} {links}");
        }
    }
}
