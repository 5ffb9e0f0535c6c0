//! Torque over engine speed: a monotone cubic through the rider's own points.
//!
//! Between two points the cubic runs inside their torques (no bump that nobody measured). Below the first point the
//! torque stays at that point's, above the last it is 0.
//!
//! Symbols: `h_i = n_{i+1} − n_i`, `m_i` the chord slopes, `d_i` the slopes at the points.

use std::f64::consts::PI;

/// Why points are no curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveFault {
    /// Fewer than three points.
    TooFew,
    /// The engine speed of the point of this number (from 1) does not rise.
    DoesNotRise(usize),
    /// A power point at 0 rpm has no torque.
    PowerAtRest,
}

/// Slots of the table that finds a segment in one step.
const SLOTS: usize = 512;

/// A piece of the curve from one point to the next: `t = x − start`, torque `((c3 t + c2) t + c1) t + c0`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    start: f64,
    end: f64,
    c: [f64; 4],
}

impl Piece {
    #[inline]
    fn value(&self, rpm: f64) -> f64 {
        let t = rpm - self.start;
        let [c0, c1, c2, c3] = self.c;
        ((c3 * t + c2) * t + c1) * t + c0
    }
}

/// Torque over engine speed.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    points: Vec<[f64; 2]>,
    pieces: Vec<Piece>,
    /// For each even slot of the rpm range, the first piece that reaches into it.
    slots: Vec<u16>,
    slots_per_rpm: f64,
}

impl Curve {
    /// Through points `[rpm, Nm]`.
    ///
    /// # Formula
    /// Inner slopes: the weighted harmonic mean of the two chords, 0 where they differ in sign. End slopes: the
    /// three-point formula, held to the chord's sign and to three times its size.
    ///
    /// # Source
    /// pchip
    ///
    /// # Errors
    /// Fewer than three points, or engine speeds that do not rise.
    pub fn new(points: Vec<[f64; 2]>) -> Result<Self, CurveFault> {
        if points.len() < measure::bounds::gearing::CURVE_POINTS {
            return Err(CurveFault::TooFew);
        }
        if let Some(at) = points.windows(2).position(|two| two[0][0] >= two[1][0]) {
            return Err(CurveFault::DoesNotRise(at + 2));
        }
        let pieces = pieces(&points);
        let (slots, slots_per_rpm) = slots(&pieces);
        Ok(Self { points, pieces, slots, slots_per_rpm })
    }

    /// Through points `[rpm, kW]`.
    ///
    /// # Formula
    /// `T = 30000 P / (π n)`
    ///
    /// # Errors
    /// As [`Curve::new`], and a point at 0 rpm.
    pub fn from_power(points: &[[f64; 2]]) -> Result<Self, CurveFault> {
        if points.first().is_some_and(|point| point[0] <= 0.0) {
            return Err(CurveFault::PowerAtRest);
        }
        Self::new(points.iter().map(|[rpm, kw]| [*rpm, 30_000.0 * kw / (PI * rpm)]).collect())
    }

    /// Engine speed of the first point.
    #[must_use]
    pub fn first_rpm(&self) -> f64 {
        self.points[0][0]
    }

    /// Engine speed of the last point.
    #[must_use]
    pub fn last_rpm(&self) -> f64 {
        self.points[self.points.len() - 1][0]
    }

    /// The largest power of the points, in watts.
    ///
    /// # Formula
    /// `max(T n) π/30`
    #[must_use]
    pub fn peak_power_w(&self) -> f64 {
        self.points.iter().map(|[rpm, nm]| rpm * nm).fold(0.0, f64::max) * PI / 30.0
    }

    /// The least torque from an engine speed up to the last point: no bump of the curve lies below its points.
    #[must_use]
    pub fn floor_nm(&self, from_rpm: f64) -> f64 {
        let above = self.points.iter().filter(|[rpm, _]| *rpm >= from_rpm).map(|[_, nm]| *nm);
        above.fold(self.torque_nm(from_rpm), f64::min)
    }

    #[inline]
    fn piece(&self, rpm: f64) -> &Piece {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a cast that saturates; in range")]
        let slot = ((rpm - self.pieces[0].start) * self.slots_per_rpm) as usize;
        let mut at = usize::from(self.slots[slot.min(SLOTS - 1)]);
        while rpm >= self.pieces[at].end && at + 1 < self.pieces.len() {
            at += 1;
        }
        &self.pieces[at]
    }

    /// Torque in Nm: the first point's below it, 0 above the last.
    #[must_use]
    #[inline]
    pub fn torque_nm(&self, rpm: f64) -> f64 {
        let [last_rpm, last_nm] = self.points[self.points.len() - 1];
        if rpm >= last_rpm {
            return if rpm > last_rpm { 0.0 } else { last_nm };
        }
        let rpm = rpm.max(self.first_rpm());
        self.piece(rpm).value(rpm)
    }

    /// Slope of the torque in Nm per rpm; `None` outside the points.
    #[must_use]
    pub fn slope_nm_per_rpm(&self, rpm: f64) -> Option<f64> {
        if rpm < self.first_rpm() || rpm > self.last_rpm() {
            return None;
        }
        let piece = self.piece(rpm);
        let t = rpm - piece.start;
        let [_, c1, c2, c3] = piece.c;
        Some((3.0 * c3 * t + 2.0 * c2) * t + c1)
    }
}

fn pieces(points: &[[f64; 2]]) -> Vec<Piece> {
    let h: Vec<f64> = points.windows(2).map(|two| two[1][0] - two[0][0]).collect();
    let m: Vec<f64> = points.windows(2).zip(&h).map(|(two, h)| (two[1][1] - two[0][1]) / h).collect();
    let last = h.len() - 1;
    let mut d = vec![end_slope(h[0], h[1], m[0], m[1])];
    for i in 1..=last {
        d.push(inner_slope([h[i - 1], h[i]], [m[i - 1], m[i]]));
    }
    d.push(end_slope(h[last], h[last - 1], m[last], m[last - 1]));
    points
        .windows(2)
        .enumerate()
        .map(|(i, two)| {
            let bend = (d[i] + d[i + 1] - 2.0 * m[i]) / h[i];
            Piece { start: two[0][0], end: two[1][0], c: [two[0][1], d[i], (m[i] - d[i]) / h[i] - bend, bend / h[i]] }
        })
        .collect()
}

fn inner_slope(h: [f64; 2], m: [f64; 2]) -> f64 {
    if m[0] * m[1] <= 0.0 {
        return 0.0;
    }
    let (w1, w2) = (2.0 * h[1] + h[0], h[1] + 2.0 * h[0]);
    (w1 + w2) / (w1 / m[0] + w2 / m[1])
}

fn end_slope(h0: f64, h1: f64, m0: f64, m1: f64) -> f64 {
    let d = ((2.0 * h0 + h1) * m0 - h0 * m1) / (h0 + h1);
    if d * m0 <= 0.0 {
        0.0
    } else if m0 * m1 <= 0.0 && d.abs() > 3.0 * m0.abs() {
        3.0 * m0
    } else {
        d
    }
}

fn slots(pieces: &[Piece]) -> (Vec<u16>, f64) {
    let start = pieces.first().map_or(0.0, |piece| piece.start);
    let end = pieces.last().map_or(1.0, |piece| piece.end);
    #[expect(clippy::cast_precision_loss, reason = "a few hundred slots")]
    let width = (end - start) / SLOTS as f64;
    let slots = (0..SLOTS)
        .map(|slot| {
            #[expect(clippy::cast_precision_loss, reason = "a few hundred slots")]
            let rpm = start + width * slot as f64;
            // One piece early is harmless (the search steps on), one late is not: rounding must not skip a piece.
            let at = pieces.partition_point(|piece| piece.end < rpm).saturating_sub(1);
            u16::try_from(at).unwrap_or(u16::MAX)
        })
        .collect();
    (slots, 1.0 / width)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(points: &[[f64; 2]]) -> Curve {
        Curve::new(points.to_vec()).expect("a curve")
    }

    #[test]
    fn the_curve_runs_through_its_points_and_is_held_outside() {
        let points = [[2000.0, 20.0], [3000.0, 20.0], [4000.0, 30.0], [6000.0, 10.0]];
        let curve = curve(&points);
        for [rpm, nm] in points {
            assert!((curve.torque_nm(rpm) - nm).abs() < 1e-12);
        }
        assert!((curve.torque_nm(100.0) - 20.0).abs() < 1e-12);
        assert!(curve.torque_nm(6000.1).abs() < 1e-12);
        assert!(curve.slope_nm_per_rpm(1999.0).is_none() && curve.slope_nm_per_rpm(2500.0) == Some(0.0));
    }

    #[test]
    fn points_that_do_not_rise_are_no_curve() {
        assert_eq!(Curve::new(vec![[1.0, 1.0], [2.0, 2.0]]), Err(CurveFault::TooFew));
        assert_eq!(Curve::new(vec![[1.0, 1.0], [1.0, 2.0], [3.0, 3.0]]), Err(CurveFault::DoesNotRise(2)));
        assert_eq!(Curve::from_power(&[[0.0, 0.0], [1.0, 2.0], [3.0, 3.0]]), Err(CurveFault::PowerAtRest));
    }

    #[test]
    fn crowded_points_are_found_by_the_table_too() {
        let points: Vec<[f64; 2]> = (0..2000).map(|k| [f64::from(k), f64::from(k % 7)]).collect();
        let curve = curve(&points);
        for [rpm, nm] in points {
            assert!((curve.torque_nm(rpm) - nm).abs() < 1e-9);
        }
    }

    #[test]
    fn the_table_names_the_piece_before_or_the_piece_itself() {
        for points in [
            vec![[2000.0, 20.0], [3000.0, 20.0], [4000.0, 30.0], [9000.0, 10.0]],
            vec![[0.0, 1.0], [1.0, 2.0], [5000.0, 30.0], [5001.0, 10.0], [5003.0, 40.0], [12_000.0, 5.0]],
        ] {
            let curve = curve(&points);
            let (first, last) = (points[0][0], points[points.len() - 1][0]);
            assert!(
                (curve.slots_per_rpm * (last - first) - f64::from(u16::try_from(SLOTS).expect("few"))).abs() < 1e-9
            );
            for (slot, at) in curve.slots.iter().map(|at| usize::from(*at)).enumerate() {
                let rpm = first + (last - first) * f64::from(u16::try_from(slot).expect("few")) / 512.0;
                let here = points.windows(2).position(|two| rpm <= two[1][0]).expect("inside");
                assert_eq!(at, here.saturating_sub(1), "{slot}");
            }
            for n in 0..=4000_u16 {
                let rpm = first + (last - first) * f64::from(n) / 4000.0;
                let here = points.windows(2).position(|two| rpm < two[1][0]).unwrap_or(points.len() - 2);
                assert_eq!((curve.piece(rpm).start, curve.piece(rpm).end), (points[here][0], points[here + 1][0]));
            }
        }
    }

    #[test]
    fn the_slope_is_what_a_small_step_shows_and_ends_with_the_points() {
        let curve = curve(&[[2000.0, 20.0], [3000.0, 26.0], [4500.0, 30.0], [9000.0, 10.0]]);
        for rpm in [2001.0, 2500.0, 3100.0, 4400.0, 4600.0, 8999.0] {
            let shown = (curve.torque_nm(rpm + 0.01) - curve.torque_nm(rpm - 0.01)) / 0.02;
            assert!((curve.slope_nm_per_rpm(rpm).expect("inside") - shown).abs() < 1e-7, "{rpm}");
        }
        assert!(curve.slope_nm_per_rpm(2000.0).is_some() && curve.slope_nm_per_rpm(9000.0).is_some());
        assert!(curve.slope_nm_per_rpm(1999.9).is_none() && curve.slope_nm_per_rpm(9000.1).is_none());
        assert_eq!((curve.first_rpm(), curve.last_rpm()), (2000.0, 9000.0));
        assert_eq!((curve.torque_nm(9000.0), curve.torque_nm(9000.1), curve.torque_nm(0.0)), (10.0, 0.0, 20.0));
    }

    #[test]
    fn no_torque_up_to_the_last_point_lies_below_the_floor_and_one_lies_on_it() {
        let curve = curve(&[[2000.0, 20.0], [3000.0, 14.0], [4500.0, 30.0], [9000.0, 10.0]]);
        for from in [500.0, 2000.0, 2500.0, 3000.0, 3000.1, 4400.0, 8000.0, 9000.0] {
            let walked = (0..=9000_u16)
                .map(|n| from + (9000.0 - from) * f64::from(n) / 9000.0)
                .map(|rpm| curve.torque_nm(rpm))
                .fold(f64::INFINITY, f64::min);
            assert!((curve.floor_nm(from) - walked).abs() < 1e-4, "{from}: {} {walked}", curve.floor_nm(from));
        }
    }

    #[test]
    fn two_chords_that_do_not_go_the_same_way_meet_level_and_the_longer_weighs_more() {
        assert_eq!((inner_slope([1.0, 2.0], [3.0, -1.0]), inner_slope([1.0, 2.0], [0.0, 4.0])), (0.0, 0.0));
        // Equal stretches: the harmonic mean of the chords.
        assert!((inner_slope([2.0, 2.0], [1.0, 3.0]) - 1.5).abs() < 1e-15);
        assert!((inner_slope([2.0, 2.0], [-1.0, -3.0]) + 1.5).abs() < 1e-15);
        // 1 and 2 long: weights 5 and 4 of 9.
        assert!((inner_slope([1.0, 2.0], [1.0, 3.0]) - 9.0 / (5.0 + 4.0 / 3.0)).abs() < 1e-15);
    }

    #[test]
    fn an_end_leaves_as_the_parabola_through_its_three_points() {
        // 3t − t² at three places each, the turn between the second and the third: its own slope is 3 − 2t.
        for far in [2.0, 2.5, 3.0] {
            let points = [0.0, 1.0, far].map(|t: f64| [t, 3.0 * t - t * t]);
            let slope = curve(&points).slope_nm_per_rpm(0.0).expect("inside");
            assert!((slope - 3.0).abs() < 1e-12, "{far}: {slope}");
            let mirrored = [far, 1.0, 0.0].map(|t: f64| [3.0 - t, 3.0 * t - t * t]);
            let slope = curve(&mirrored).slope_nm_per_rpm(3.0).expect("inside");
            assert!((slope + 3.0).abs() < 1e-12, "{far}: {slope}");
        }
    }

    #[test]
    fn an_end_is_never_steeper_than_thrice_its_own_stretch() {
        // Steeper than that, the first stretch would swing over its point.
        let curve = curve(&[[0.0, 0.0], [1.0, 1.0], [2.0, -9.0]]);
        assert!((curve.slope_nm_per_rpm(0.0).expect("inside") - 3.0).abs() < 1e-12);
    }
}
