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

#[test]
fn a_foreign_root_is_named_as_it_stands_there_and_cut_short() {
    let found = |text: &str| match fault(text) {
        TrackFault::WrongRoot { found, .. } => found,
        other => panic!("{other}"),
    };
    assert_eq!(found("<kml/>"), "kml");
    assert_eq!(found("<a:kml xmlns:a='urn:x'/>"), "kml of the namespace urn:x");
    assert_eq!(found("<gpx xmlns='urn:x'/>"), "gpx of the namespace urn:x");
    let long = "k".repeat(70);
    assert_eq!(found(&format!("<{long}/>")), long[..60]);
    assert_eq!(found(&format!("<gpx xmlns='{long}'/>")), format!("gpx of the namespace {}", &long[..60]));
}

#[test]
fn tracks_segments_routes_and_waypoints_are_counted_where_they_belong() {
    let text = "<gpx><wpt lat='1' lon='2'><wpt/></wpt><wpt lat='1' lon='2'/><rte><rtept/></rte><rte/><rte/>\
                <trk><trkseg/><trkseg><trkpt lat='1' lon='2'/></trkseg><x><trkseg/></x></trk><trk/><trkseg/>\
                <trk><trkseg><trkpt lat='91' lon='2'/><trkpt lat='1'/><trkpt lon='x' lat='1'/><x><trkpt lat='1' lon='1'/></x>\
                </trkseg></trk></gpx>";
    let track = read(text, &Limits::USUAL).expect("reads");
    assert_eq!((track.tracks, track.routes, track.waypoints), (3, 3, 2));
    assert_eq!(track.segments.iter().map(Vec::len).collect::<Vec<_>>(), [0, 1, 0]);
    assert_eq!((track.points_dropped, track.cut), (3, None));
}

#[test]
fn what_xml_does_not_allow_breaks_the_document_off_there() {
    for broken in [
        "<trkpt lat='0' lon='0'lat2='1'/>",
        "<a b='<'/>",
        "<a z:b='1'/>",
        "]]>",
        "&#0;",
        "&#xFFFE;",
        "&#x110000;",
        "&odd;",
        "<1a/>",
        "<?1 x?>",
        "<!-- -- -->",
        "<!DOCTYPE gpx>",
        "<a 1b='2'/>",
        "<a b=1/>",
    ] {
        let text = format!(
            "<gpx><trk><trkseg>\n<trkpt lat='0' lon='0'/>\n{broken}<trkpt lat='1' lon='1'/></trkseg></trk></gpx>"
        );
        let track = read(&text, &Limits::USUAL).expect("keeps what was whole");
        assert_eq!(track.points(), 1, "{broken}");
        // Text is looked at from where it begins, behind the point before it.
        let begins = if broken == "]]>" { 2 } else { 3 };
        assert_eq!(track.cut.map(|cut| cut.line), Some(begins), "{broken}");
    }
    for whole in [
        "<a b=\"it's\" c='\"'/>",
        "<?x y?>",
        "<!-- - -->",
        "&amp;&lt;&#65;&#x42;",
        "<![CDATA[]]]]>",
        "a ] ] > b",
        "<é/>",
    ] {
        let text = format!(
            "<gpx><trk><trkseg>\n<trkpt lat='0' lon='0'/>\n{whole}<trkpt lat='1' lon='1'/></trkseg></trk></gpx>"
        );
        let track = read(&text, &Limits::USUAL).expect("reads");
        assert_eq!((track.points(), track.cut), (2, None), "{whole}");
    }
    for outside in ["text", "<![CDATA[x]]>", "&amp;", "<a/>", "<!DOCTYPE gpx>", "</gpx>"] {
        let track = read(&format!("\n<gpx></gpx>{outside}"), &Limits::USUAL).expect("keeps what was whole");
        assert_eq!(track.cut.map(|cut| cut.line), Some(2), "{outside}");
    }
    assert_eq!(read("<gpx></gpx>\n<!-- x --> <?x?>\n", &Limits::USUAL).map(|track| track.cut), Ok(None));
    let open = read("<gpx>\n<trk>", &Limits::USUAL).expect("has a root");
    assert_eq!((open.tracks, open.cut.map(|cut| cut.line)), (1, Some(2)));
}

#[test]
fn the_declaration_says_version_encoding_and_standalone_in_this_order_at_the_very_beginning() {
    let reads = |declaration: &str| read(&format!("<?xml {declaration}?><gpx/>"), &Limits::USUAL).is_ok();
    for good in [
        "version='1.0'",
        "version='1.0' encoding='UTF-8'",
        "version='1.0' standalone='no'",
        "version='1.0' encoding='a' standalone='yes'",
    ] {
        assert!(reads(good), "{good}");
    }
    for bad in [
        "encoding='UTF-8'",
        "version='1.0' other='1'",
        "version='1.0' standalone='no' encoding='a'",
        "version=''",
        "version='1 0'",
        "version='-1'",
        "",
    ] {
        assert!(!reads(bad), "{bad}");
    }
}

#[test]
fn an_element_may_have_as_many_attributes_as_the_limit() {
    let limits = Limits { attributes: 2, ..Limits::USUAL };
    let cut = |inside: &str| read(&format!("<gpx><a {inside}/></gpx>"), &limits).expect("reads").cut.is_some();
    assert!(!cut("b='1' c='2'") && cut("b='1' c='2' d='3'"));
}

#[test]
fn a_hop_as_fast_as_the_cap_or_as_long_as_the_pause_is_one_ride() {
    let points = track(&[(0.0, 0), (0.001, 10), (0.002, 70), (0.003, 131)].map(|(lon, s)| timed(lon, s)).concat());
    let metres = |a: usize, b: usize| points.segments[0][a].place.distance_m(points.segments[0][b].place);
    let parts = |cap_mps: f64, gap_s: f64| {
        let sifted = sift(&points, &Rules { cap: Speed::from_mps(cap_mps), gap_s });
        (sifted.parts.iter().map(Vec::len).collect::<Vec<_>>(), sifted.spikes)
    };
    assert_eq!(parts(60.0, 60.0), (vec![3, 1], 0));
    assert_eq!(parts(60.0, 59.999), (vec![2, 1, 1], 0));
    assert_eq!(parts(metres(0, 1) / 10.0, 61.0), (vec![4], 0));
    assert_eq!(parts(metres(0, 1) / 10.0 * (1.0 - 1e-9), 61.0).1, 1);
}

#[test]
fn the_sums_of_a_sifted_ride_are_those_of_its_hops() {
    let gap = timed(0.001, 5)
        + &point(0.0015, "")
        + &timed(0.002, 11)
        + &timed(0.003, 20)
        + &timed(0.2, 700)
        + &timed(0.201, 712);
    let all = track(&gap);
    let sifted = sift(&all, &Rules::USUAL);
    let places: Vec<Place> = all.segments[0].iter().map(|point| point.place).collect();
    let hop = |a: usize, b: usize| places[a].distance_m(places[b]);
    let raw: f64 = (0..5).map(|k| hop(k, k + 1)).sum();
    assert!((sifted.distance_raw_m - raw).abs() < 1e-9);
    assert!((sifted.distance_parts_m - hop(0, 2) - hop(2, 3) - hop(4, 5)).abs() < 1e-9);
    assert_eq!((sifted.duration_s, sifted.with_time, sifted.class), (27.0, 5, Class::PartlyTimed));
    let hops = sifted.hops.expect("hops");
    assert_eq!(hops.interval_s, 9.0);
    assert!((hops.fastest.mps() - hop(0, 2) / 6.0).abs() < 1e-9);
    assert_eq!(sifted.parts.iter().map(Vec::len).collect::<Vec<_>>(), [3, 2]);
}

#[test]
fn a_clock_is_broken_where_the_middle_hop_is_faster_than_a_hundred_metres_a_second() {
    let class = |lon: f64| sifted(&(timed(0.0, 0) + &timed(lon, 1))).class;
    let metre = 1.0 / Place::new(0.0, 0.0).expect("a place").distance_m(Place::new(0.0, 1.0).expect("a place"));
    assert_eq!(class(99.99 * metre), Class::Timed);
    assert_eq!(class(100.01 * metre), Class::GeometryOnly);
}
