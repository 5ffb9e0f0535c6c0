//! The sieve: from points as recorded to parts of a ride whose times rise and whose hops are possible.
//!
//! Segments are independent; nothing is joined or filled in across a part's end. Steps: points without time leave ·
//! the longest rising run of times stays · a point that could not have been reached in time is a spike, three that
//! agree among themselves start a new part · a pause starts a new part.

use measure::Speed;

use super::{Moment, Place, Point, Track};
use crate::quantile::quantile;

/// What is possible for the machine that carried the recorder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// The fastest hop that is believed.
    pub cap: Speed,
    /// The longest pause, in seconds, that stays inside one part.
    pub gap_s: f64,
}

impl Rules {
    /// 60 m/s and 60 s.
    pub const USUAL: Self = Self { cap: Speed::from_mps(60.0), gap_s: 60.0 };
}

/// A median hop faster than this says that the clock of the file is broken.
///
/// # Source
/// `ours`.
const BROKEN_CLOCK_MPS: f64 = 100.0;

/// How far the times of a track can be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// Every point has a time.
    Timed,
    /// Some points have none.
    PartlyTimed,
    /// No two usable times: distance and grade, no speed.
    GeometryOnly,
}

impl Class {
    /// The word that answers use.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Timed => "timed",
            Self::PartlyTimed => "partly timed",
            Self::GeometryOnly => "geometry only",
        }
    }
}

/// A point that stayed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fix {
    /// Where.
    pub place: Place,
    /// Elevation in metres, if recorded.
    pub ele_m: Option<f64>,
    /// When.
    pub at: Moment,
}

/// The hops inside the parts, where there are any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hops {
    /// The fastest.
    pub fastest: Speed,
    /// The median time between two points, in seconds.
    pub interval_s: f64,
}

/// A sifted track.
#[derive(Debug, Clone, PartialEq)]
pub struct Sifted {
    /// How far the times can be used.
    pub class: Class,
    /// Points with an elevation.
    pub with_elevation: usize,
    /// Points with a readable time.
    pub with_time: usize,
    /// Timed points left out because their time does not rise.
    pub time_dropped: usize,
    /// Points left out because they could not have been reached.
    pub spikes: usize,
    /// The parts, each of at least one point with strictly rising times; none for [`Class::GeometryOnly`].
    pub parts: Vec<Vec<Fix>>,
    /// Length over all points within each segment, in metres: noise makes it long.
    pub distance_raw_m: f64,
    /// Length over the parts, in metres.
    pub distance_parts_m: f64,
    /// Time inside the parts, in seconds.
    pub duration_s: f64,
    /// The hops inside the parts.
    pub hops: Option<Hops>,
}

/// Sifts a track.
#[must_use]
pub fn sift(track: &Track, rules: &Rules) -> Sifted {
    let ways: Vec<Way<'_>> = track.segments.iter().map(|points| Way::of(points)).collect();
    let kept: Vec<Vec<Stamp>> = ways.iter().map(|way| rising(&way.stamps())).collect();
    let class = class(track, &ways, &kept);
    let with_time = track.segments.iter().flatten().filter(|point| point.at.is_some()).count();
    let mut sifted = Sifted {
        class,
        with_elevation: track.segments.iter().flatten().filter(|point| point.ele_m.is_some()).count(),
        with_time,
        time_dropped: with_time - kept.iter().map(Vec::len).sum::<usize>(),
        spikes: 0,
        parts: Vec::new(),
        distance_raw_m: ways.iter().flat_map(|way| &way.hop_m).fold(0.0, |sum, hop_m| sum + hop_m),
        distance_parts_m: 0.0,
        duration_s: 0.0,
        hops: None,
    };
    if class != Class::GeometryOnly {
        let (mut fastest_mps, mut intervals) = (0.0_f64, Vec::new());
        for (way, kept) in ways.iter().zip(kept) {
            let (runs, spikes) = reachable(way, kept, rules.cap.mps());
            sifted.spikes += spikes;
            for part in runs.iter().flat_map(|run| run.chunk_by(|a, b| b.at.since(a.at) <= rules.gap_s)) {
                for (a, b) in part.iter().zip(part.iter().skip(1)) {
                    let (metres, seconds) = (way.between_m(a, b), b.at.since(a.at));
                    sifted.distance_parts_m += metres;
                    fastest_mps = fastest_mps.max(metres / seconds);
                    intervals.push(seconds);
                }
                if let (Some(first), Some(last)) = (part.first(), part.last()) {
                    sifted.duration_s += last.at.since(first.at);
                }
                sifted.parts.push(part.iter().filter_map(|stamp| way.fix(stamp)).collect());
            }
        }
        sifted.hops =
            quantile(&mut intervals, 0.5).map(|interval_s| Hops { fastest: Speed::from_mps(fastest_mps), interval_s });
    }
    sifted
}

fn class(track: &Track, ways: &[Way<'_>], kept: &[Vec<Stamp>]) -> Class {
    let speeds = ways.iter().zip(kept).flat_map(|(way, kept)| {
        kept.iter().zip(kept.iter().skip(1)).map(|(a, b)| way.between_m(a, b) / b.at.since(a.at))
    });
    match quantile(&mut speeds.collect::<Vec<_>>(), 0.5) {
        None => Class::GeometryOnly,
        Some(speed_mps) if speed_mps > BROKEN_CLOCK_MPS => Class::GeometryOnly,
        Some(_) if track.segments.iter().flatten().any(|point| point.at.is_none()) => Class::PartlyTimed,
        Some(_) => Class::Timed,
    }
}

/// A timed point: its index in the segment and its time.
#[derive(Debug, Clone, Copy)]
struct Stamp {
    index: usize,
    at: Moment,
}

/// A segment with the length of each hop to the next point, measured once.
struct Way<'a> {
    points: &'a [Point],
    hop_m: Vec<f64>,
}

impl<'a> Way<'a> {
    fn of(points: &'a [Point]) -> Self {
        let hop_m = points.iter().zip(points.iter().skip(1)).map(|(a, b)| a.place.distance_m(b.place)).collect();
        Self { points, hop_m }
    }

    fn stamps(&self) -> Vec<Stamp> {
        self.points.iter().enumerate().filter_map(|(index, point)| Some(Stamp { index, at: point.at? })).collect()
    }

    fn between_m(&self, a: &Stamp, b: &Stamp) -> f64 {
        if let (true, Some(hop_m)) = (b.index == a.index + 1, self.hop_m.get(a.index)) {
            return *hop_m;
        }
        match (self.points.get(a.index), self.points.get(b.index)) {
            (Some(a), Some(b)) => a.place.distance_m(b.place),
            _ => 0.0,
        }
    }

    fn reached(&self, from: &Stamp, to: &Stamp, cap_mps: f64) -> bool {
        self.between_m(from, to) / to.at.since(from.at) <= cap_mps
    }

    fn fix(&self, stamp: &Stamp) -> Option<Fix> {
        self.points.get(stamp.index).map(|point| Fix { place: point.place, ele_m: point.ele_m, at: stamp.at })
    }
}

/// The longest strictly rising run of times, not necessarily of neighbours; of equal times the first stays.
///
/// One time that jumped forward must not cost the whole rest of a ride, as it would if every point not later than
/// the last were dropped.
fn rising(stamps: &[Stamp]) -> Vec<Stamp> {
    // ends[k]: the stamp with the earliest time that ends a rising run of k + 1 stamps; before[i]: its predecessor.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; stamps.len()];
    for (i, stamp) in stamps.iter().enumerate() {
        let k = ends.partition_point(|end| stamps.get(*end).is_some_and(|earlier| earlier.at < stamp.at));
        if let Some(last) = k.checked_sub(1).and_then(|k| ends.get(k)) {
            before[i] = Some(*last);
        }
        match ends.get_mut(k) {
            Some(end) if stamps.get(*end).is_some_and(|same| same.at == stamp.at) => {}
            Some(end) => *end = i,
            None => ends.push(i),
        }
    }
    let mut run = Vec::with_capacity(ends.len());
    let mut next = ends.last().copied();
    while let Some((stamp, previous)) = next.and_then(|i| Some((stamps.get(i)?, *before.get(i)?))) {
        run.push(*stamp);
        next = previous;
    }
    run.reverse();
    run
}

/// Points that agree among themselves and start a new part.
const AGREEING: usize = 3;

/// Splits a rising run where a real displacement begins and leaves out what could not have been reached.
fn reachable(way: &Way<'_>, stamps: Vec<Stamp>, cap_mps: f64) -> (Vec<Vec<Stamp>>, usize) {
    let (mut runs, mut run) = (Vec::new(), Vec::<Stamp>::new());
    let (mut pending, mut spikes) = (Vec::<Stamp>::with_capacity(AGREEING), 0);
    for stamp in stamps {
        if run.last().is_none_or(|last| way.reached(last, &stamp, cap_mps)) {
            run.push(stamp);
            spikes += pending.len();
            pending.clear();
            continue;
        }
        if pending.last().is_some_and(|last| !way.reached(last, &stamp, cap_mps)) {
            spikes += pending.len();
            pending.clear();
        }
        pending.push(stamp);
        if pending.len() == AGREEING {
            runs.push(std::mem::replace(&mut run, std::mem::take(&mut pending)));
        }
    }
    if !run.is_empty() {
        runs.push(run);
    }
    (runs, spikes + pending.len())
}
