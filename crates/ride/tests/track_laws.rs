//! Laws of reading and sifting: no bytes make it panic, nothing is lost without being counted.

use std::fs;
use std::path::Path;

use proptest::prelude::*;
use ride::track::{Class, Limits, Moment, Place, Rules, Track, TrackFault, decoded, read, read_log, sift};

fn shipped() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/gpx");
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("tracks are shipped")
        .map(|entry| entry.expect("entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "gpx"))
        .map(|path| {
            let text = decoded(fs::read(&path).expect("a file")).expect("text");
            (path.display().to_string(), text)
        })
        .collect();
    files.sort();
    assert!(files.len() >= 8, "only {} tracks", files.len());
    files
}

/// Whether one track's points are the first ones of another's, segment by segment.
fn begins(short: &Track, long: &Track) -> bool {
    let last = short.segments.len().saturating_sub(1);
    short
        .segments
        .iter()
        .zip(&long.segments)
        .enumerate()
        .all(|(k, (some, all))| if k < last { some == all } else { all.starts_with(some) })
}

/// Places to cut a text: spread over it, and every byte of its first and last points.
fn cuts(text: &str) -> impl Iterator<Item = usize> {
    let length = text.len();
    let spread = (0..24).map(move |k| k * length / 24 + k % 7);
    (0..600.min(length)).chain(spread).chain(length.saturating_sub(60)..length)
}

#[test]
fn a_shipped_track_cut_anywhere_keeps_its_first_points() {
    for (name, text) in shipped() {
        let whole = read(&text, &Limits::USUAL).expect("shipped tracks read");
        assert_eq!(whole.cut, None, "{name}");
        for end in cuts(&text).filter(|end| text.is_char_boundary(*end)) {
            match read(&text[..end], &Limits::USUAL) {
                Ok(part) => {
                    let rest = text[end..].trim();
                    assert!(part.cut.is_some() || rest.is_empty(), "{name} cut at {end}");
                    assert!(begins(&part, &whole), "{name} cut at {end}");
                }
                Err(fault) => assert!(matches!(fault, TrackFault::NotXml(_)), "{name} cut at {end}: {fault}"),
            }
        }
    }
}

#[test]
fn every_timed_point_is_kept_or_counted() {
    for (name, text) in shipped() {
        let track = read(&text, &Limits::USUAL).expect("shipped tracks read");
        let sifted = sift(&track, &Rules::USUAL);
        if sifted.class != Class::GeometryOnly {
            let kept: usize = sifted.parts.iter().map(Vec::len).sum();
            assert_eq!(kept + sifted.spikes + sifted.time_dropped, sifted.with_time, "{name}");
        }
    }
}

/// One point as a recorder may write it, good or bad.
fn point() -> impl Strategy<Value = String> {
    let time = prop_oneof![
        6 => (0_u32..4000).prop_map(|s| format!("<time>2001-05-06T07:{:02}:{:02}Z</time>", s / 60 % 60, s % 60)),
        1 => Just(String::new()),
        1 => Just("<time>2001-05-06T07:00:60.5+99:99</time>".to_owned()),
    ];
    let ele = prop_oneof![Just(String::new()), (-500.0..9000.0).prop_map(|ele: f64| format!("<ele>{ele}</ele>"))];
    (-91.0..91.0, -181.0..181.0, 0.0..0.01_f64, any::<bool>(), time, ele).prop_map(
        |(lat, lon, near, wild, time, ele): (f64, f64, f64, bool, _, _)| {
            let (lat, lon) = if wild { (lat, lon) } else { (45.0 + near, 7.0 + near) };
            format!("<trkpt lat=\"{lat}\" lon=\"{lon}\">{ele}{time}</trkpt>")
        },
    )
}

fn document() -> impl Strategy<Value = String> {
    let inside = prop_oneof![12 => point(), 1 => Just("</trkseg><trkseg>".to_owned()), 1 => Just("<a/>".to_owned())];
    prop::collection::vec(inside, 0..40).prop_map(|inside| {
        format!(
            "<?xml version=\"1.0\"?><gpx xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{}</trkseg></trk></gpx>",
            inside.concat()
        )
    })
}

fn moment() -> impl Strategy<Value = Moment> {
    (-4_000_000_000_i64..4_000_000_000).prop_map(Moment::from_unix)
}

proptest! {
    #[test]
    fn mutated_bytes_never_panic(text in document(), changes in prop::collection::vec((any::<u16>(), any::<u8>()), 0..12)) {
        let mut bytes = text.into_bytes();
        for (at, byte) in changes {
            let at = usize::from(at) % bytes.len();
            bytes[at] = byte;
        }
        if let Some(track) = decoded(bytes).ok().and_then(|text| read(&text, &Limits::USUAL).ok()) {
            let sifted = sift(&track, &Rules::USUAL);
            prop_assert!(sifted.distance_raw_m.is_finite() && sifted.duration_s.is_finite());
        }
    }

    #[test]
    fn any_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Ok(text) = decoded(bytes) {
            let _ = read(&text, &Limits::USUAL);
            let _ = read_log(&text, &Limits::USUAL);
            let _ = read_log(&format!("t_s;rpm;lat;lon\n{text}"), &Limits::USUAL);
            let _ = Moment::read(&text);
        }
    }

    #[test]
    fn parts_rise_in_time_and_hops_are_possible(text in document()) {
        let track = read(&text, &Limits::USUAL).expect("well-formed");
        let sifted = sift(&track, &Rules::USUAL);
        let mut duration_s = 0.0;
        for part in &sifted.parts {
            for pair in part.windows(2) {
                let seconds = pair[1].at.since(pair[0].at);
                prop_assert!(seconds > 0.0 && seconds <= Rules::USUAL.gap_s);
                let metres = pair[0].place.distance_m(pair[1].place);
                prop_assert!(metres / seconds <= Rules::USUAL.cap.mps());
                duration_s += seconds;
            }
        }
        prop_assert!((duration_s - sifted.duration_s).abs() < 1e-6);
        prop_assert!(sifted.distance_parts_m <= duration_s * Rules::USUAL.cap.mps() + 1e-6);
    }

    #[test]
    fn a_prefix_changes_nothing(text in document()) {
        let plain = read(&text, &Limits::USUAL).expect("well-formed");
        let prefixed = text
            .replace("xmlns=", "xmlns:p=").replace("<gpx", "<p:gpx").replace("</gpx", "</p:gpx")
            .replace("<trk", "<p:trk").replace("</trk", "</p:trk")
            .replace("<ele", "<p:ele").replace("</ele", "</p:ele")
            .replace("<time", "<p:time").replace("</time", "</p:time");
        prop_assert_eq!(read(&prefixed, &Limits::USUAL).expect("well-formed"), plain);
    }

    #[test]
    fn distance_is_symmetric_and_no_longer_than_a_detour(
        a in (-90.0..90.0_f64, -180.0..180.0_f64), b in (-90.0..90.0_f64, -180.0..180.0_f64), c in (-90.0..90.0_f64, -180.0..180.0_f64)
    ) {
        let [a, b, c] = [a, b, c].map(|(lat, lon)| Place::new(lat, lon).expect("a place"));
        prop_assert!((a.distance_m(b) - b.distance_m(a)).abs() < 1e-7);
        prop_assert!(a.distance_m(a) == 0.0);
        prop_assert!(a.distance_m(c) <= a.distance_m(b) + b.distance_m(c) + 1e-6);
    }

    #[test]
    fn moments_add_and_subtract(a in moment(), seconds in -1e9..1e9_f64) {
        let later = a.after(seconds).expect("inside");
        prop_assert!((later.since(a) - seconds).abs() < 1e-6);
        prop_assert_eq!(later > a, seconds >= 5e-10 );
        prop_assert!((a.since(later) + later.since(a)).abs() < 1e-9);
    }
}

/// Pieces of points as recorders write them, and as they do not.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => ("-?[0-9]{1,3}(\\.[0-9]{1,7})?", "-?[0-9]{1,3}(\\.[0-9]{0,7})?", "[ \n\t]{0,3}", "[0-5][0-9]").prop_map(
            |(lat, lon, blank, second)| format!(
                "{blank}<trkpt lat=\"{lat}\" lon=\"{lon}\">{blank}<ele>12.5</ele><time>2026-05-01T10:00:{second}Z</time>{blank}</trkpt>"
            )
        ),
        1 => "[0-9]{1,2}".prop_map(|lat| format!("<trkpt lat=\"{lat}\" lon=\"1\"/>")),
        1 => "[0-9eE+.-]{0,6}".prop_map(|odd| format!("<trkpt lat=\"1\" lon=\"{odd}\"><ele>{odd}</ele></trkpt>")),
        1 => Just("<trkpt lon='1' lat='2'><time>2026-05-01T10:00:00Z</time><ele>1</ele></trkpt>".to_owned()),
        1 => Just("<trkpt lat=\"1\"  lon=\"2\" ><ele>&#49;</ele><ele>2</ele></trkpt>".to_owned()),
        1 => Just("<trkpt lat=\"1\" lon=\"2\"><ele>1</ele><extensions><ele>9</ele></extensions></trkpt>".to_owned()),
        1 => Just("<trkpt lat=\"1\" lon=\"2\" xmlns=\"urn:x\"><ele>1</ele></trkpt>".to_owned()),
        1 => Just("</trkseg><trkseg>".to_owned()),
        1 => Just("<trkpt lat=\"1\"lon=\"2\"></trkpt>".to_owned()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn a_point_of_the_usual_shape_reads_as_the_parser_reads_it(
        pieces in prop::collection::vec(piece(), 0..12),
        space in prop_oneof![Just(""), Just(" xmlns=\"http://www.topografix.com/GPX/1/1\""), Just(" xmlns='urn:x' xmlns:g='http://www.topografix.com/GPX/1/0'")],
        cut in 0_usize..40,
        most in prop_oneof![3 => Just(1000_usize), 1 => 1_usize..8],
        depth in prop_oneof![2 => Just(64_usize), 1 => 2_usize..7],
        attributes in prop_oneof![3 => Just(256_usize), 1 => 1_usize..4],
    ) {
        let root = if space.contains(":g=") { "g:gpx" } else { "gpx" };
        let own = if space.contains(":g=") { "g:" } else { "" };
        let all = pieces.concat();
        let all = all.get(..all.len() - cut.min(all.len())).unwrap_or(&all);
        let text = format!("<{root}{space}><{own}trk><{own}trkseg>{all}</{own}trkseg></{own}trk></{root}>");
        // The parser alone reads a point behind a comment.
        let slow = text.replace("<trkpt", "<!----><trkpt");
        let limits = Limits { points: most, depth, attributes, ..Limits::USUAL };
        prop_assert_eq!(read(&text, &limits), read(&slow, &limits));
    }
}
