//! The tightest loop round a few discs: the border of their convex hull, piece by piece.
//!
//! A disc reaches `h(t) = x cos t + z sin t + r` in the direction t. The loop lies, in each direction, on the disc
//! that reaches furthest; two discs reach equally far in at most two directions. So all those directions are
//! sorted, the leader between neighbours is found at the middle, and the length is the integral of h (Cauchy),
//! taken in closed form. A contact that grazes makes a narrow piece, never a wrong one: nothing is searched for.
//!
//! Chain on a sprocket lies in chords and counts by teeth: a wrap of 1 rad uses `N p / 2π`, not r.

use std::f64::consts::TAU;

use super::frame::Point;

/// Front sprocket, rear sprocket, slider and one pushed point.
const MOST_DISCS: usize = 4;
/// Two discs reach equally far in two directions.
const MOST_BREAKS: usize = MOST_DISCS * (MOST_DISCS - 1);
/// Directions nearer to each other than this are one: an arc so narrow is 1e-10 mm of chain.
const SAME_RAD: f64 = 1e-12;

/// A disc inside the loop; a pushed point has radius 0.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Disc {
    /// Its middle.
    pub(super) centre: Point,
    /// Radius of the pin line round it.
    pub(super) radius_mm: f64,
    /// Chain used for each radian of wrap.
    pub(super) per_rad_mm: f64,
}

impl Disc {
    /// A round thing on which chain lies as a smooth band: slider disc, pushed point.
    #[must_use]
    pub(super) const fn smooth(centre: Point, radius_mm: f64) -> Self {
        Self { centre, radius_mm, per_rad_mm: radius_mm }
    }

    fn reach(&self, direction: Point) -> f64 {
        self.centre.dot(direction) + self.radius_mm
    }

    /// Where the loop lies on it in a direction.
    #[must_use]
    pub(super) fn at(&self, rad: f64) -> Point {
        self.centre + Point::toward(rad) * self.radius_mm
    }
}

/// A piece of the loop that lies on one disc.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Arc {
    /// Which disc, by its place in the list given.
    pub(super) disc: usize,
    /// Direction of its outward normal where it begins; counted from forward towards up.
    pub(super) from_rad: f64,
    /// Direction where it ends; greater than `from_rad`.
    pub(super) to_rad: f64,
}

/// The tightest loop, as its arcs in order; a straight piece joins each to the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hull {
    arcs: [Arc; MOST_BREAKS],
    count: usize,
    /// Chain that the loop takes.
    pub(super) length_mm: f64,
}

impl Hull {
    /// The loop round up to four discs; further ones are not looked at.
    #[must_use]
    pub(super) fn round(discs: &[Disc]) -> Self {
        let discs = &discs[..discs.len().min(MOST_DISCS)];
        let (breaks, count) = breaks(discs);
        let mut hull = Self { arcs: [Arc::default(); MOST_BREAKS], count: 0, length_mm: 0.0 };
        if count == 0 {
            let disc = leader(discs, 0.0);
            hull.push(Arc { disc, from_rad: 0.0, to_rad: TAU });
            hull.length_mm = discs[disc].per_rad_mm * TAU;
            return hull;
        }
        // Each direction between two pieces is turned into a vector once, for the piece before it and the one after.
        let first = Point::toward(breaks[0]);
        let mut from = first;
        for n in 0..count {
            let from_rad = breaks[n];
            let (to_rad, to) =
                if n + 1 < count { (breaks[n + 1], Point::toward(breaks[n + 1])) } else { (breaks[0] + TAU, first) };
            let disc = leader(discs, f64::midpoint(from_rad, to_rad));
            hull.push(Arc { disc, from_rad, to_rad });
            hull.length_mm += share(&discs[disc], to - from, to_rad - from_rad);
            from = to;
        }
        hull.close();
        hull
    }

    /// The arcs in order round the loop.
    #[must_use]
    pub(super) fn arcs(&self) -> &[Arc] {
        &self.arcs[..self.count]
    }

    /// How far the loop lies round a disc, in radians; 0 where it does not touch it.
    #[must_use]
    pub(super) fn wrap_rad(&self, disc: usize) -> f64 {
        self.arcs().iter().filter(|arc| arc.disc == disc).map(|arc| arc.to_rad - arc.from_rad).sum()
    }

    /// Whether the loop touches a disc.
    #[must_use]
    pub(super) fn touches(&self, disc: usize) -> bool {
        self.arcs().iter().any(|arc| arc.disc == disc)
    }

    /// Whether the loop comes from one disc over another straight on to a third.
    #[must_use]
    pub(super) fn passes(&self, from: usize, over: usize, to: usize) -> bool {
        let arcs = self.arcs();
        let at = |n: usize| arcs[n % arcs.len()].disc;
        (0..arcs.len()).any(|n| at(n) == from && at(n + 1) == over && at(n + 2) == to)
    }

    fn push(&mut self, arc: Arc) {
        match self.arcs[..self.count].last_mut() {
            Some(last) if last.disc == arc.disc => last.to_rad = arc.to_rad,
            _ => {
                self.arcs[self.count] = arc;
                self.count += 1;
            }
        }
    }

    /// Joins the last arc to the first where both lie on the same disc.
    fn close(&mut self) {
        if self.count > 1 && self.arcs[0].disc == self.arcs[self.count - 1].disc {
            self.count -= 1;
            self.arcs[0].from_rad = self.arcs[self.count].from_rad - TAU;
        }
    }
}

/// The directions in which two of the discs reach equally far, sorted, each once.
fn breaks(discs: &[Disc]) -> ([f64; MOST_BREAKS], usize) {
    let mut all = [0.0; MOST_BREAKS];
    let mut count = 0;
    for (n, one) in discs.iter().enumerate() {
        for other in &discs[n + 1..] {
            let between = other.centre - one.centre;
            let share = (one.radius_mm - other.radius_mm) / between.size();
            if share.abs() < 1.0 {
                let (middle, half) = (between.angle_rad(), share.acos());
                all[count] = (middle - half).rem_euclid(TAU);
                all[count + 1] = (middle + half).rem_euclid(TAU);
                count += 2;
            }
        }
    }
    all[..count].sort_unstable_by(f64::total_cmp);
    let mut kept = 0;
    for n in 0..count {
        if kept == 0 || all[n] - all[kept - 1] > SAME_RAD {
            all[kept] = all[n];
            kept += 1;
        }
    }
    let round_again = kept > 1 && all[0] + TAU - all[kept - 1] <= SAME_RAD;
    (all, kept - usize::from(round_again))
}

/// The disc that reaches furthest in a direction.
fn leader(discs: &[Disc], rad: f64) -> usize {
    let direction = Point::toward(rad);
    let mut best = (0, f64::NEG_INFINITY);
    for (n, disc) in discs.iter().enumerate() {
        let reach = disc.reach(direction);
        if reach > best.1 {
            best = (n, reach);
        }
    }
    best.0
}

/// What a piece adds to the length: the integral of the reach over its directions, its wrap counted by teeth.
fn share(disc: &Disc, turn: Point, wrap_rad: f64) -> f64 {
    disc.centre.x_mm * turn.z_mm - disc.centre.z_mm * turn.x_mm + disc.per_rad_mm * wrap_rad
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn smooth(x_mm: f64, z_mm: f64, radius_mm: f64) -> Disc {
        Disc::smooth(Point::new(x_mm, z_mm), radius_mm)
    }

    #[test]
    fn two_equal_discs_take_two_runs_and_one_turn() {
        let hull = Hull::round(&[smooth(0.0, 0.0, 10.0), smooth(100.0, 0.0, 10.0)]);
        assert!((hull.length_mm - (200.0 + 10.0 * TAU)).abs() < 1e-10);
        assert_eq!(hull.arcs().len(), 2);
    }

    #[test]
    fn three_points_make_a_triangle() {
        let hull = Hull::round(&[smooth(0.0, 0.0, 0.0), smooth(3.0, 0.0, 0.0), smooth(0.0, 4.0, 0.0)]);
        assert!((hull.length_mm - 12.0).abs() < 1e-12);
    }

    #[test]
    fn a_disc_inside_the_loop_or_inside_another_changes_nothing() {
        let two = [smooth(0.0, 0.0, 10.0), smooth(100.0, 0.0, 30.0)];
        let bare = Hull::round(&two).length_mm;
        for inner in [smooth(50.0, 0.0, 5.0), smooth(100.0, 2.0, 10.0)] {
            let hull = Hull::round(&[two[0], two[1], inner]);
            assert!((hull.length_mm - bare).abs() < 1e-10 && !hull.touches(2));
        }
    }

    #[test]
    fn a_grazing_disc_makes_a_narrow_arc_and_no_jump() {
        let length =
            |above: f64| Hull::round(&[smooth(0.0, 0.0, 10.0), smooth(100.0, 0.0, 10.0), smooth(50.0, above, 5.0)]);
        let bare = length(0.0).length_mm;
        for above in [1e-12, 1e-9, 1e-6, 1e-4] {
            let hull = length(5.0 + above);
            assert!((hull.length_mm - bare).abs() < 1e-9 + above, "{above}");
        }
        assert!(length(5.0 + 1e-6).touches(2) && !length(5.0 - 1e-6).touches(2));
    }

    /// The loop's length with nothing sought: the furthest reach in each of many directions, each wrap by its teeth.
    fn walked_mm(discs: &[Disc]) -> f64 {
        const LOOKS: u32 = 6000;
        let each = TAU / f64::from(LOOKS);
        (0..LOOKS)
            .map(|n| {
                let direction = Point::toward((f64::from(n) + 0.5) * each);
                let furthest = discs.iter().max_by(|a, b| a.reach(direction).total_cmp(&b.reach(direction)));
                let disc = furthest.expect("a disc");
                (disc.reach(direction) + disc.per_rad_mm - disc.radius_mm) * each
            })
            .sum()
    }

    proptest! {
        #[test]
        fn it_is_the_furthest_reach_all_round(
            all in prop::collection::vec((-600.0..600.0_f64, -400.0..400.0_f64, 0.0..200.0_f64, 0.95..1.05_f64), 1..=4),
        ) {
            let discs: Vec<Disc> = all
                .iter()
                .map(|(x, z, radius, by)| Disc { centre: Point::new(*x, *z), radius_mm: *radius, per_rad_mm: radius * by })
                .collect();
            let hull = Hull::round(&discs);
            let walked = walked_mm(&discs);
            prop_assert!((hull.length_mm - walked).abs() < 0.05, "{} is not {walked}", hull.length_mm);
            let arcs = hull.arcs();
            prop_assert!((arcs[arcs.len() - 1].to_rad - arcs[0].from_rad - TAU).abs() < 1e-9);
            for (n, arc) in arcs.iter().enumerate() {
                let next = arcs[(n + 1) % arcs.len()];
                prop_assert!(arc.from_rad < arc.to_rad && (arcs.len() == 1 || arc.disc != next.disc));
                prop_assert!(n + 1 == arcs.len() || arc.to_rad.to_bits() == next.from_rad.to_bits());
                for share in [0.01, 0.5, 0.99] {
                    let direction = Point::toward(arc.from_rad + share * (arc.to_rad - arc.from_rad));
                    let reach = discs[arc.disc].reach(direction);
                    prop_assert!(discs.iter().all(|disc| disc.reach(direction) < reach + 1e-6));
                }
            }
            for disc in 0..discs.len() {
                prop_assert_eq!(hull.touches(disc), hull.wrap_rad(disc) > 0.0);
            }
        }
    }

    #[test]
    fn discs_in_a_row_touch_the_loop_at_both_ends_whichever_way_the_row_lies() {
        for deg in 0..360_u16 {
            let along = Point::toward(f64::from(deg).to_radians());
            let row = [0.0, 100.0, 200.0].map(|at| Disc::smooth(along * at, 20.0));
            let ends = Hull::round(&[row[0], row[2]]);
            assert_eq!(ends.arcs().len(), 2, "{deg}");
            assert!((ends.length_mm - 400.0 - 20.0 * TAU).abs() < 1e-9, "{deg}");
            let whole = Hull::round(&row);
            assert!((whole.length_mm - ends.length_mm).abs() < 1e-9, "{deg}");
            assert_eq!((whole.arcs().len(), whole.touches(1)), (2, false), "{deg}");
        }
    }

    #[test]
    fn of_discs_that_lie_the_same_the_first_one_counts() {
        let twice = Hull::round(&[smooth(0.0, 0.0, 10.0), smooth(90.0, 5.0, 20.0), smooth(90.0, 5.0, 20.0)]);
        assert!(twice.touches(0) && twice.touches(1) && !twice.touches(2));
        assert_eq!(leader(&[smooth(1.0, 2.0, 3.0); 2], 0.7), 0);
    }

    #[test]
    fn all_wraps_together_are_one_turn() {
        let hull = Hull::round(&[smooth(0.0, 0.0, 30.0), smooth(-600.0, -90.0, 120.0), smooth(-80.0, 30.0, 40.0)]);
        let sum: f64 = (0..3).map(|disc| hull.wrap_rad(disc)).sum();
        assert!((sum - TAU).abs() < 1e-12 && hull.touches(2));
    }
}
