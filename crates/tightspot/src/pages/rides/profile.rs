//! The speed of a ride over time, thinned so that a phone can hold it and no peak is lost.

use advice::demand::Ride;
use advice::words::kmh;
use maud::Markup;

use crate::frame::chart::{Axis, Chart, Layer, Point, chart};

/// Stretches of time; each keeps its slowest and its fastest sample, so at most twice as many points are drawn.
const STRETCHES: u32 = 200;
/// A stretch is no shorter than this: samples stand a second apart, and none of them may miss its stretch.
const SHORTEST_S: f64 = 2.0;

/// The picture of a ride's speed.
pub(super) fn speed(ride: &Ride) -> Markup {
    let points: Vec<Point> = thinned(&ride.t_s, &ride.speed_mps)
        .into_iter()
        .map(|(t_s, speed_mps)| (t_s / 60.0, speed_mps.map(|speed| speed * 3.6)))
        .collect();
    let fastest = ride.speed_mps.iter().copied().fold(0.0, f64::max) * 3.6;
    let thin = if ride.t_s.len() > points.len() {
        " Of each short stretch the slowest and the fastest second are drawn."
    } else {
        ""
    };
    chart(&Chart {
        id: "speed",
        title: "Speed through the ride.",
        finding: &format!(
            "At its fastest {}, smoothed. Where nothing was recorded there is a gap.{thin}",
            kmh(fastest)
        ),
        along: Axis { name: "time", unit: "min", decimals: 2, reach: &[0.0] },
        up: Axis { name: "speed", unit: "km/h", decimals: 1, reach: &[0.0] },
        layers: &[Layer::Line { name: "speed", points: &points }],
    })
}

/// At most 400 points: the least and the greatest of each stretch in the order of time, one gap where a stretch is
/// empty.
fn thinned(t_s: &[f64], speed_mps: &[f64]) -> Vec<Point> {
    let (Some(first), Some(last)) = (t_s.first(), t_s.last()) else { return Vec::new() };
    let long_s = ((last - first) / f64::from(STRETCHES)).max(SHORTEST_S);
    // The last moment belongs to the last stretch, not to one of its own.
    let stretch = |t_s: f64| ((t_s - first) / long_s).floor().min(f64::from(STRETCHES - 1));
    let mut points: Vec<Point> = Vec::with_capacity(2 * STRETCHES as usize);
    let mut samples = t_s.iter().copied().zip(speed_mps.iter().copied()).peekable();
    let mut before: Option<f64> = None;
    while let Some((begin_s, speed)) = samples.next() {
        let place = stretch(begin_s);
        if let Some(before) = before.filter(|before| place > before + 1.0) {
            points.push((first + (before + 1.5) * long_s, None));
        }
        let (mut least, mut most) = ((begin_s, speed), (begin_s, speed));
        while let Some((t_s, speed)) = samples.next_if(|(t_s, _)| stretch(*t_s) <= place) {
            if speed < least.1 {
                least = (t_s, speed);
            }
            if speed > most.1 {
                most = (t_s, speed);
            }
        }
        let (one, other) = if least.0 <= most.0 { (least, most) } else { (most, least) };
        points.push((one.0, Some(one.1)));
        if other.0 > one.0 {
            points.push((other.0, Some(other.1)));
        }
        before = Some(place);
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seconds(count: u32) -> Vec<f64> {
        (0..count).map(f64::from).collect()
    }

    #[test]
    fn a_long_ride_is_thinned_and_keeps_its_extremes() {
        let t_s = seconds(30_000);
        let mut speed: Vec<f64> = t_s.iter().map(|t| 8.0 + (t / 7.0).sin()).collect();
        speed[12_345] = 31.5;
        speed[20_001] = 0.25;
        let points = thinned(&t_s, &speed);
        assert!(points.len() <= 400 && points.len() > 300, "{}", points.len());
        assert!(points.contains(&(12_345.0, Some(31.5))) && points.contains(&(20_001.0, Some(0.25))));
        assert!(points.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }

    #[test]
    fn a_hole_in_the_recording_is_a_gap() {
        let t_s: Vec<f64> = seconds(2000).into_iter().filter(|t| !(600.0..900.0).contains(t)).collect();
        let points = thinned(&t_s, &vec![5.0; t_s.len()]);
        let gaps: Vec<f64> = points.iter().filter(|(_, up)| up.is_none()).map(|(along, _)| *along).collect();
        assert_eq!(gaps.len(), 1);
        assert!((600.0..900.0).contains(&gaps[0]), "{gaps:?}");
    }

    #[test]
    fn nothing_and_one_sample_are_drawn_as_they_are() {
        assert!(thinned(&[], &[]).is_empty());
        assert_eq!(thinned(&[3.0], &[4.0]), [(3.0, Some(4.0))]);
        assert_eq!(thinned(&seconds(3), &[1.0, 2.0, 3.0]).len(), 3);
    }
}
