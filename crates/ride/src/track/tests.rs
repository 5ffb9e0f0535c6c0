//! Reading and sifting by small documents whose counts are plain to see.

use super::*;
use measure::Speed;

fn point(lon: f64, inside: &str) -> String {
    format!("<trkpt lat=\"0\" lon=\"{lon}\">{inside}</trkpt>")
}

fn timed(lon: f64, seconds: u32) -> String {
    point(lon, &format!("<time>2001-05-06T07:{:02}:{:02}Z</time>", seconds / 60, seconds % 60))
}

fn document(points: &str) -> String {
    format!("<gpx xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{points}</trkseg></trk></gpx>")
}

fn track(points: &str) -> Track {
    read(&document(points), &Limits::USUAL).expect("reads")
}

fn fault(text: &str) -> TrackFault {
    read(text, &Limits::USUAL).expect_err("must be refused")
}

fn sifted(points: &str) -> Sifted {
    sift(&track(points), &Rules::USUAL)
}

#[test]
fn elements_count_by_namespace_whatever_their_prefix() {
    let text = "<a:gpx xmlns:a='http://www.topografix.com/GPX/1/0' xmlns='urn:x'><a:trk><a:trkseg>\
                <a:trkpt lat='1' lon='2'><ele>-999</ele><a:ele>7</a:ele></a:trkpt><trkpt lat='3' lon='4'/>\
                </a:trkseg></a:trk></a:gpx>";
    let track = read(text, &Limits::USUAL).expect("reads");
    assert_eq!((track.points(), track.points_dropped, track.cut), (1, 0, None));
    assert_eq!(track.segments[0][0].ele_m, Some(7.0));
}

#[test]
fn an_elevation_inside_extensions_is_none() {
    let track = track(&point(0.0, "<extensions><ele>5</ele></extensions>"));
    assert_eq!(track.segments[0][0].ele_m, None);
}

#[test]
fn references_and_character_data_read_as_what_they_stand_for() {
    let track = track(&point(0.0, "<ele>&#49;<![CDATA[2]]>.<!-- x -->&#x35;</ele>"));
    assert_eq!(track.segments[0][0].ele_m, Some(12.5));
}

#[test]
fn a_document_that_is_no_track_is_refused_with_its_line() {
    assert!(matches!(fault("lat;lon\n1;2"), TrackFault::NotXml(Cut { line: 1, .. })));
    assert!(matches!(fault(""), TrackFault::NotXml(_)));
    assert!(matches!(fault("\n\n<kml/>"), TrackFault::WrongRoot { line: 3, .. }));
    assert!(matches!(fault("<GPX/>"), TrackFault::WrongRoot { .. }));
    assert!(matches!(fault("<gpx xmlns='urn:x'/>"), TrackFault::WrongRoot { .. }));
    assert!(matches!(fault("<x:gpx/>"), TrackFault::NotXml(_)));
    assert!(matches!(fault(" <?xml version='1.0'?><gpx/>"), TrackFault::NotXml(_)));
    assert!(matches!(fault("\n<!DOCTYPE gpx><gpx/>"), TrackFault::TypeDeclaration { line: 2 }));
}

#[test]
fn depth_length_and_count_are_limited() {
    let deep = |levels: usize| format!("<gpx>{}{}</gpx>", "<a>".repeat(levels), "</a>".repeat(levels));
    assert!(read(&deep(63), &Limits::USUAL).is_ok());
    assert!(matches!(fault(&deep(64)), TrackFault::TooDeep { limit: 64, .. }));
    let two = document(&(point(0.0, "") + &point(1.0, "")));
    let limits = |bytes, points| Limits { bytes, points, ..Limits::USUAL };
    assert!(read(&two, &limits(two.len(), 2)).is_ok());
    assert!(matches!(read(&two, &limits(two.len() - 1, 2)), Err(TrackFault::TooLong { .. })));
    assert!(matches!(read(&two, &limits(two.len(), 1)), Err(TrackFault::TooManyPoints { limit: 1 })));
}

#[test]
fn what_breaks_off_keeps_its_whole_points_and_says_where() {
    for broken in ["<trkpt lat='0' lon='0'><ele>1", "&nbsp;", "</trk>", "<trkpt lat='0' lat='1'/>", "<z:a/>", "\u{1}"] {
        let text = format!("<gpx><trk><trkseg>\n<trkpt lat='0' lon='0'/>\n{broken}");
        let track = read(&text, &Limits::USUAL).expect("keeps what was whole");
        assert_eq!(track.points(), 1, "{broken}");
        assert_eq!(track.cut.map(|cut| cut.line), Some(3), "{broken}");
    }
    let after = read("<gpx/>\n<gpx/>", &Limits::USUAL).expect("keeps the first");
    assert!(after.cut.is_some());
}

#[test]
fn one_time_that_jumps_costs_one_point() {
    let points = timed(0.0, 0) + &timed(0.001, 3000) + &timed(0.002, 20) + &timed(0.003, 30);
    let sifted = sifted(&points);
    assert_eq!((sifted.time_dropped, sifted.parts.len(), sifted.parts[0].len()), (1, 1, 3));
}

#[test]
fn of_equal_times_the_first_point_stays() {
    let sifted = sifted(&(timed(0.0, 0) + &timed(0.001, 10) + &timed(0.5, 10) + &timed(0.002, 20)));
    assert_eq!((sifted.time_dropped, sifted.spikes), (1, 0));
}

#[test]
fn a_spike_is_left_out_and_a_real_displacement_starts_a_part() {
    let slow = [2, 3, 4, 5].map(|k| timed(0.001 * f64::from(k), 10 * k)).concat();
    let spike = sifted(&(timed(0.0, 0) + &timed(0.05, 10) + &slow));
    assert_eq!((spike.spikes, spike.parts.len()), (1, 1));
    let far = [0, 1, 2, 3].map(|k| timed(0.5 + 0.001 * f64::from(k), 40 + 10 * k)).concat();
    let tunnel = sifted(&(timed(0.0, 0) + &timed(0.001, 10) + &far));
    assert_eq!((tunnel.spikes, tunnel.parts.len(), tunnel.parts[1].len()), (0, 2, 4));
}

#[test]
fn points_without_usable_times_are_geometry_only() {
    let bare = sifted(&(point(0.0, "") + &point(0.001, "")));
    assert_eq!((bare.class, bare.parts.len()), (Class::GeometryOnly, 0));
    assert!(bare.distance_raw_m > 111.0 && bare.hops.is_none());
    // 0.1 degree in a second is no ride
    let mad = sifted(&(timed(0.0, 0) + &timed(0.1, 1)));
    assert_eq!(mad.class, Class::GeometryOnly);
}

#[test]
fn the_cap_is_the_callers() {
    let points = track(&[0, 1, 2, 3, 4].map(|k| timed(0.001 * f64::from(k), 10 * k)).concat());
    let slow = sift(&points, &Rules { cap: Speed::from_mps(5.0), ..Rules::USUAL });
    let fast = sift(&points, &Rules { cap: Speed::from_mps(12.0), ..Rules::USUAL });
    assert_eq!((slow.spikes, fast.spikes, fast.parts.len()), (4, 0, 1));
}

#[test]
fn a_name_begins_with_a_letter_or_an_underscore_and_goes_on_with_a_few_more_signs() {
    use super::wellformed::well_named;
    for name in ["trk", "Trk", "_x", "é1", "a-b.c:d_9"] {
        assert_eq!(well_named(name), Ok(()), "{name}");
    }
    for name in ["", "1a", "-a", ".a", ":a", "a b", "a/b", "a+"] {
        assert!(well_named(name).is_err(), "{name}");
    }
}
