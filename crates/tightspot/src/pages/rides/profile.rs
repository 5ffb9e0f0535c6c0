//! A ride drawn: speed and grade over time, height over distance, time in each gear; thinned so that a phone can hold
//! it and no peak is lost. Where nothing was recorded the line is broken and marked, however short it is.

use advice::words::{digits, kmh, minutes, number, quantity};
use maud::{Markup, html};

use super::track::{Kept, Run};
use crate::frame::chart::{Axis, Chart, Layer, Point, chart};
use crate::frame::details;
use crate::frame::table::{Column, Row, table};

/// Stretches along the axis; each keeps its least and its greatest sample.
const STRETCHES: u32 = 200;
/// Gaps listed at most; the rest is counted.
const LISTED: usize = 40;

/// Everything that is drawn of a track.
pub(super) fn drawn(kept: &Kept) -> Markup {
    let gaps = kept.gaps();
    let level = |run: &Run| run.ele_m.is_empty();
    html! {
        (speed(kept, &gaps))
        (list(&gaps))
        @if !kept.runs.iter().all(level) {
            (height(kept))
            (grade(kept, &gaps))
        }
    }
}

fn speed(kept: &Kept, gaps: &[[f64; 2]]) -> Markup {
    let points = thinned(kept, |run| (&run.t_s, 1.0 / 60.0), |run| &run.speed_kmh);
    let marks: Vec<Point> = gaps.iter().map(|[from_s, _]| (from_s / 60.0, Some(0.0))).collect();
    let fastest = kept.runs.iter().flat_map(|run| &run.speed_kmh).copied().fold(0.0, f64::max);
    let mut layers = vec![Layer::Line { name: "speed", points: &points }];
    if !marks.is_empty() {
        layers.push(Layer::Marks { name: "nothing recorded", points: &marks });
    }
    chart(&Chart {
        id: "speed",
        title: "Speed through the ride.",
        finding: &format!("At its fastest {}, smoothed. {}{}", kmh(fastest), gap_words(gaps), thin(kept, &points)),
        along: Axis { name: "time", unit: "min", decimals: 2, reach: &[0.0] },
        up: Axis { name: "speed", unit: "km/h", decimals: 1, reach: &[0.0] },
        layers: &layers,
    })
}

fn grade(kept: &Kept, gaps: &[[f64; 2]]) -> Markup {
    let points = thinned(kept, |run| (&run.t_s, 1.0 / 60.0), |run| &run.grade_pct);
    let all = || kept.runs.iter().flat_map(|run| &run.grade_pct).copied();
    let (least, most) = (all().fold(0.0, f64::min), all().fold(0.0, f64::max));
    chart(&Chart {
        id: "grade",
        title: "Grade through the ride.",
        finding: &format!(
            "Steepest {} % up and {} % down, smoothed over the distance. {}{}",
            number(most, 0),
            number(-least, 0),
            gap_words(gaps),
            thin(kept, &points)
        ),
        along: Axis { name: "time", unit: "min", decimals: 2, reach: &[0.0] },
        up: Axis { name: "grade", unit: "%", decimals: 1, reach: &[0.0] },
        layers: &[Layer::Line { name: "grade", points: &points }],
    })
}

fn height(kept: &Kept) -> Markup {
    let points = thinned(kept, |run| (&run.s_m, 1e-3), |run| &run.ele_m);
    let all = || kept.runs.iter().flat_map(|run| &run.ele_m).copied();
    let (least, most) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    chart(&Chart {
        id: "height",
        title: "Profile.",
        finding: &format!(
            "Between {} and {} above the sea, as recorded.",
            digits(least, "m", 0),
            quantity(most, "m", 0)
        ),
        along: Axis { name: "distance", unit: "km", decimals: 2, reach: &[0.0] },
        up: Axis { name: "height", unit: "m", decimals: 0, reach: &[] },
        layers: &[Layer::Line { name: "height", points: &points }],
    })
}

/// Time in each gear on the pair that is fitted; `how` says whether a model or a rule chose them.
pub(super) fn gears(gear_pct: &[f64], pair: &str, how: &str) -> Markup {
    let points: Vec<Point> = (1_u32..).zip(gear_pct).map(|(gear, pct)| (f64::from(gear), Some(*pct))).collect();
    let most = (1..).zip(gear_pct).max_by(|a, b| a.1.total_cmp(b.1));
    let finding = most.map_or_else(String::new, |(gear, pct)| {
        format!("On {pair}: most of the time, {} %, in gear {gear}, {how}.", number(*pct, 0))
    });
    chart(&Chart {
        id: "gear-use",
        title: "Time in each gear.",
        finding: &finding,
        along: Axis { name: "gear", unit: "", decimals: 0, reach: &[1.0] },
        up: Axis { name: "moving time", unit: "%", decimals: 0, reach: &[0.0] },
        layers: &[Layer::Marks { name: "", points: &points }],
    })
}

fn gap_words(gaps: &[[f64; 2]]) -> String {
    let longest = gaps.iter().map(|[from, to]| to - from).fold(0.0, f64::max);
    match gaps.len() {
        0 => "Recorded without a gap.".to_owned(),
        1 => format!("One gap, of {}: nothing is filled in.", minutes(longest)),
        several => format!("{several} gaps, the longest of {}: nothing is filled in.", minutes(longest)),
    }
}

fn thin(kept: &Kept, points: &[Point]) -> &'static str {
    let samples: usize = kept.runs.iter().map(|run| run.t_s.len()).sum();
    if samples > points.len() { " Of each short stretch the least and the greatest second are drawn." } else { "" }
}

/// Where nothing was recorded, one by one.
fn list(gaps: &[[f64; 2]]) -> Markup {
    let columns = [Column::digits("From", ""), Column::digits("To", ""), Column::digits("Long", "")];
    let rows: Vec<Row> = gaps
        .iter()
        .take(LISTED)
        .map(|[from, to]| {
            Row::of([html! { (minutes(*from)) }, html! { (minutes(*to)) }, html! { (minutes(to - from)) }])
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            (details(&format!("Where nothing was recorded ({})", gaps.len()), &html! {
                (table("gaps", "Gaps in the recording; what was ridden there counts nowhere", &columns, &rows))
                @if gaps.len() > LISTED { p { "And " (gaps.len() - LISTED) " more." } }
            }))
        }
    }
}

/// At most two points a stretch and leg: the least and the greatest in their order, and a gap between two legs.
fn thinned(kept: &Kept, along: impl Fn(&Run) -> (&Vec<f64>, f64), up: impl Fn(&Run) -> &Vec<f64>) -> Vec<Point> {
    let ends = || kept.runs.iter().filter_map(|run| Some((*along(run).0.first()?, *along(run).0.last()?)));
    let first = ends().next().map_or(0.0, |(first, _)| first);
    let last = ends().last().map_or(0.0, |(_, last)| last);
    let long = ((last - first) / f64::from(STRETCHES)).max(2.0);
    let stretch = |at: f64| ((at - first) / long).floor().min(f64::from(STRETCHES - 1));
    let mut points: Vec<Point> = Vec::new();
    let mut before: Option<f64> = None;
    for run in kept.runs.iter().filter(|run| !up(run).is_empty()) {
        let (places, factor) = along(run);
        if let (Some(before), Some(begin)) = (before, places.first()) {
            points.push((f64::midpoint(before, *begin) * factor, None));
        }
        before = places.last().copied();
        let mut samples = places.iter().copied().zip(up(run).iter().copied()).peekable();
        while let Some(begin) = samples.next() {
            let (mut least, mut most) = (begin, begin);
            while let Some(sample) = samples.next_if(|(at, _)| stretch(*at) <= stretch(begin.0)) {
                least = if sample.1 < least.1 { sample } else { least };
                most = if sample.1 > most.1 { sample } else { most };
            }
            let (one, other) = if least.0 <= most.0 { (least, most) } else { (most, least) };
            points.push((one.0 * factor, Some(one.1)));
            if other.0 > one.0 {
                points.push((other.0 * factor, Some(other.1)));
            }
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Legs of one sample a second, each from–to.
    fn kept(legs: &[(u32, u32)], speed: impl Fn(f64) -> f64) -> Kept {
        let run = |(from, to): &(u32, u32)| {
            let t_s: Vec<f64> = (*from..*to).map(f64::from).collect();
            let speed_kmh = t_s.iter().map(|t| speed(*t)).collect();
            Run { s_m: t_s.clone(), t_s, speed_kmh, ele_m: Vec::new(), grade_pct: Vec::new() }
        };
        Kept { runs: legs.iter().map(run).collect(), places: false }
    }

    fn speeds(kept: &Kept) -> Vec<Point> {
        thinned(kept, |run| (&run.t_s, 1.0), |run| &run.speed_kmh)
    }

    #[test]
    fn a_long_ride_is_thinned_and_keeps_its_extremes() {
        let peaks = |t: f64| match t {
            12_345.0 => 31.5,
            20_001.0 => 0.25,
            t => 8.0 + (t / 7.0).sin(),
        };
        let points = speeds(&kept(&[(0, 30_000)], peaks));
        assert!(points.len() <= 400 && points.len() > 300, "{}", points.len());
        assert!(points.contains(&(12_345.0, Some(31.5))) && points.contains(&(20_001.0, Some(0.25))));
        assert!(points.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }

    #[test]
    fn even_a_short_hole_in_a_long_recording_breaks_the_line() {
        let kept = kept(&[(0, 18_000), (18_061, 36_000)], |_| 5.0);
        let gaps: Vec<f64> = speeds(&kept).iter().filter(|(_, up)| up.is_none()).map(|(along, _)| *along).collect();
        assert_eq!(gaps.len(), 1);
        assert!((17_990.0..18_061.0).contains(&gaps[0]), "{gaps:?}");
        assert_eq!(kept.gaps(), [[17_999.0, 18_061.0]]);
        assert_eq!(gap_words(&kept.gaps()), "One gap, of 1:02: nothing is filled in.");
        let told = drawn(&kept).into_string();
        assert!(told.contains("Where nothing was recorded (1)") && told.contains("4:59:59"), "{told}");
    }

    #[test]
    fn nothing_and_one_sample_are_drawn_as_they_are() {
        assert!(speeds(&kept(&[], |_| 1.0)).is_empty());
        assert_eq!(speeds(&kept(&[(3, 4)], |_| 2.0)), [(3.0, Some(2.0))]);
    }
}
