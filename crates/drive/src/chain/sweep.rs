//! What rigid links add to the counted length: the tight phase and the ripple over one tooth.
//!
//! Rollers sit on the corners of both pitch polygons. For each phase of the smaller sprocket the other one is
//! turned until the taut run is a whole number of pitches, which real links force; the slack side is the other
//! edge of the polygons' hull. The links needed then pulse once per tooth, even with perfect parts.

use std::f64::consts::TAU;

use measure::Length;

use super::Sprockets;

/// Phases of the smaller sprocket over one tooth. The need is smooth at its largest, so that 64 find it to 0.0002 mm.
const PHASES: u32 = 64;
/// Rounds in which the second sprocket settles; two are enough, unless an edge changes its corner.
const ROUNDS: u32 = 12;
/// Corners that an edge walks over at most; the smooth tangent starts it within one or two.
const WALK: u32 = 24;

/// The need for links over one tooth, at one chain and pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep {
    /// Largest centre distance that never binds.
    pub tight_centre: Length,
    /// Need for chain over one tooth, peak to peak.
    pub ripple: Length,
}

/// The tight phase and the ripple at the taut centre of a chain; `None` where the chain is too short.
///
/// # Formula
/// Largest need over the phases at C_tight = N; ripple = largest − smallest need at C, times the pitch.
///
/// # Source
/// `geometry`: corners of the pitch polygons, hull edges, whole number of pitches on the taut run.
#[must_use]
pub fn sweep(pair: &Sprockets, links: f64) -> Option<Sweep> {
    let pitch = pair.pitch();
    let centre = pair.centre(links)?.mm() / pitch.mm();
    let slope = pair.slope_at(centre);
    let (least, most) = needs(pair, centre);
    let mut tight = centre - (most - links) / slope;
    // The pulse itself changes little over so short a way: two more looks settle it.
    for _ in 0..2 {
        tight -= (needs(pair, tight).1 - links) / slope;
    }
    Some(Sweep { tight_centre: pitch * tight, ripple: pitch * (most - least) })
}

/// Least and most links needed over one tooth at a centre in pitches.
fn needs(pair: &Sprockets, centre: f64) -> (f64, f64) {
    let ((z1, z2), (r1, r2)) = pair.polygons();
    let mut loop_ = Loop { front: Polygon::new(0.0, z1, r1), rear: Polygon::new(centre, z2, r2), tilt: 0.0 };
    loop_.tilt = ((r2 - r1) / centre).asin();
    (0..PHASES).fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), phase| {
        let need = loop_.need((f64::from(phase) + 0.5) / f64::from(PHASES));
        (least.min(need), most.max(need))
    })
}

/// A pitch polygon: its corners are where rollers sit.
struct Polygon {
    at: f64,
    corners: f64,
    radius: f64,
    step: f64,
    turn: f64,
}

impl Polygon {
    fn new(at: f64, corners: f64, radius: f64) -> Self {
        Self { at, corners, radius, step: TAU / corners, turn: 0.0 }
    }

    fn corner(&self, index: f64) -> (f64, f64) {
        let (sin, cos) = (self.turn + index * self.step).sin_cos();
        (self.at + self.radius * cos, self.radius * sin)
    }

    /// The corner nearest to a direction.
    fn nearest(&self, direction: f64) -> f64 {
        ((direction - self.turn) / self.step).round()
    }
}

/// A hull edge: the corner on each polygon and the distance between them.
struct Edge {
    front: f64,
    rear: f64,
    run: f64,
}

struct Loop {
    front: Polygon,
    rear: Polygon,
    tilt: f64,
}

impl Loop {
    /// Links needed at one phase (0 to 1 tooth) of the front polygon.
    fn need(&mut self, phase: f64) -> f64 {
        self.front.turn = phase * self.front.step;
        let taut = self.settle();
        let slack = self.edge(-1.0);
        let front_teeth = (slack.front - taut.front).rem_euclid(self.front.corners);
        let rear_teeth = (taut.rear - slack.rear).rem_euclid(self.rear.corners);
        front_teeth + rear_teeth + taut.run + slack.run
    }

    /// Turns the rear polygon until the upper edge is a whole number of pitches; returns that edge.
    fn settle(&mut self) -> Edge {
        let mut edge = self.edge(1.0);
        for _ in 0..ROUNDS {
            let whole = edge.run.round();
            if (edge.run - whole).abs() < 1e-12 {
                break;
            }
            // Where a corner must lie: at `whole` from the front corner and on the rear polygon's circle.
            let (x, y) = self.front.corner(edge.front);
            let (dx, far) = (x - self.rear.at, self.rear.radius);
            let away = dx.hypot(y);
            let cos = (away * away + far * far - whole * whole) / (2.0 * away * far);
            let direction = y.atan2(dx) - cos.clamp(-1.0, 1.0).acos();
            self.rear.turn = direction - edge.rear * self.rear.step;
            edge = self.edge(1.0);
        }
        edge
    }

    /// The hull edge above (`side` 1) or below (−1): walks from the corners nearest to the smooth tangent
    /// until no neighbour lies outside.
    fn edge(&self, side: f64) -> Edge {
        let direction = side * (TAU / 4.0 + self.tilt);
        let (mut front, mut rear) = (self.front.nearest(direction), self.rear.nearest(direction));
        let mut run = 0.0;
        for _ in 0..WALK {
            let (a, b) = (self.front.corner(front), self.rear.corner(rear));
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            run = dx.hypot(dy);
            let outside = |(x, y): (f64, f64)| side * (dx * (y - a.1) - dy * (x - a.0)) > 1e-12;
            if let Some(step) = [1.0, -1.0].into_iter().find(|step| outside(self.front.corner(front + step))) {
                front += step;
            } else if let Some(step) = [1.0, -1.0].into_iter().find(|step| outside(self.rear.corner(rear + step))) {
                rear += step;
            } else {
                break;
            }
        }
        Edge { front, rear, run }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Teeth;

    fn swept(front: u16, rear: u16, links: f64) -> Sweep {
        let teeth = |count| Teeth::new(count).expect("teeth in bounds");
        sweep(&Sprockets::new(Length::from_mm(15.875), teeth(front), teeth(rear)), links).expect("long enough")
    }

    #[test]
    fn two_equal_even_sprockets_do_not_pulse_with_a_whole_run() {
        assert!(swept(14, 14, 90.0).ripple.mm() < 1e-9);
    }

    #[test]
    fn the_tight_centre_never_lies_behind_the_mean_one() {
        for (front, rear, links) in [(14, 48, 118.0), (9, 56, 100.0), (6, 150, 200.0), (6, 20, 32.0)] {
            let teeth = |count| Teeth::new(count).expect("teeth in bounds");
            let mean = Sprockets::new(Length::from_mm(15.875), teeth(front), teeth(rear)).centre(links).expect("fits");
            assert!(swept(front, rear, links).tight_centre <= mean);
        }
    }

    #[test]
    fn at_the_tight_centre_the_worst_phase_needs_all_the_links() {
        for (front, rear, links) in [(14, 48, 118.0), (13, 50, 112.0), (9, 56, 100.0), (15, 45, 111.0)] {
            let teeth = |count| Teeth::new(count).expect("teeth in bounds");
            let pair = Sprockets::new(Length::from_mm(15.875), teeth(front), teeth(rear));
            let tight = swept(front, rear, links).tight_centre / pair.pitch();
            let (least, most) = needs(&pair, tight);
            assert!((most - links).abs() < 1e-5, "{front}/{rear}: {most}");
            let ripple = swept(front, rear, links).ripple / pair.pitch();
            assert!((ripple - (most - least)).abs() < 1e-2 && least < most + 1e-9);
        }
    }

    #[test]
    fn a_settled_edge_is_whole_and_no_corner_lies_outside_either_edge() {
        for (front, rear, centre) in [(14, 48, 43.0), (13, 50, 41.7), (9, 56, 39.2), (6, 150, 60.3), (17, 17, 30.4)] {
            let teeth = |count| Teeth::new(count).expect("teeth in bounds");
            let ((z1, z2), (r1, r2)) = Sprockets::new(Length::from_mm(15.875), teeth(front), teeth(rear)).polygons();
            let tilt = ((r2 - r1) / centre).asin();
            let mut both = Loop { front: Polygon::new(0.0, z1, r1), rear: Polygon::new(centre, z2, r2), tilt };
            for phase in 0..16 {
                both.front.turn = f64::from(phase) / 16.0 * both.front.step;
                let taut = both.settle();
                assert!((taut.run - taut.run.round()).abs() < 1e-9, "{front}/{rear} {phase}: {}", taut.run);
                for (side, edge) in [(1.0, taut), (-1.0, both.edge(-1.0))] {
                    let (a, b) = (both.front.corner(edge.front), both.rear.corner(edge.rear));
                    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
                    assert!((dx.hypot(dy) - edge.run).abs() < 1e-12);
                    let all = |polygon: &Polygon, count: u16| {
                        (0..count).map(|n| polygon.corner(f64::from(n))).collect::<Vec<_>>()
                    };
                    let corners = [all(&both.front, front), all(&both.rear, rear)].concat();
                    let outside = |(x, y): &(f64, f64)| side * (dx * (y - a.1) - dy * (x - a.0)) / edge.run > 1e-9;
                    assert!(!corners.iter().any(outside), "{front}/{rear} {phase} {side}");
                }
            }
        }
    }
}
