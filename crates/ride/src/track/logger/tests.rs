//! Small tables, good and bad.

use super::*;

fn log(text: &str) -> Log {
    read_log(text, &Limits::USUAL).expect("reads")
}

fn said(text: &str) -> String {
    read_log(text, &Limits::USUAL).expect_err("must be refused").to_string()
}

#[test]
fn the_same_ride_reads_alike_however_it_is_written() {
    let point = "t_s,lat,lon,speed_kmh,gear\n0,45.5,7,36.0,3\n0.5,45.51,7,36.9,3\n";
    let comma = "T_S;Lat;Lon;Speed_kmh;Gear\r\n0;45,5;7;36,0;3\r\n0,5;45,51;7;36,9;3\r\n";
    let tab = "\u{feff}t_s\tlat\tlon\tspeed_kmh\tgear\n\n0\t45.5\t7\t36.0\t3\n0.5\t45.51\t7\t36.9\t3";
    let quoted = "t_s,lat,lon,speed_kmh,gear\n0,\"45,5\",7,\"36,0\",3\n\"0,5\",\"45,51\",7,\"36,9\",3\n";
    let plain = log(point);
    assert!([comma, tab, quoted].into_iter().all(|text| log(text) == plain));
    assert_eq!((plain.samples.len(), plain.dated, plain.samples[0].gear), (2, false, Some(3)));
    assert!((plain.samples[1].at.since(plain.samples[0].at) - 0.5).abs() < 1e-9);
}

#[test]
fn an_unknown_column_is_left_out_and_named() {
    let log = log("time,lap,rpm,oil_degc\n2001-05-06T07:00:00Z,1,4500,80\n");
    assert_eq!(log.left_out, ["lap", "oil_degc"]);
    assert!(log.dated && log.track().is_none());
}

#[test]
fn an_empty_cell_is_missing_and_half_a_place_is_an_error() {
    let log = log("t_s,lat,lon,rpm\n0,,,\n1,45,7,4000\n");
    assert_eq!((log.samples[0].place, log.samples[0].rpm), (None, None));
    let track = log.track().expect("one place");
    assert_eq!((track.points(), track.points_dropped), (1, 1));
    assert!(said("t_s,lat,lon\n0,45,\n").starts_with("line 2, column lon"));
}

#[test]
fn a_cell_that_does_not_fit_is_named_by_line_and_column() {
    for (rows, begin) in [
        ("0,4500,3\n1,x,3\n", "line 3, column rpm: \"x\""),
        ("0,4500,3\n\n1,26000,3\n", "line 4, column rpm"),
        ("0,4500,2.5\n", "line 2, column gear"),
        ("0,4500,9\n", "line 2, column gear"),
        (",4500,2\n", "line 2, column t_s"),
        ("0,nan,2\n", "line 2, column rpm"),
        ("0,inf,2\n", "line 2, column rpm"),
        ("0,4500\n", "line 2 has 2 cells"),
        ("0,4500,1,7\n", "line 2 has 4 cells"),
        ("0.5,\"4500,5\",3\n", "line 2, column rpm: \"4500,5\""),
    ] {
        let words = said(&format!("t_s,rpm,gear\n{rows}"));
        assert!(words.starts_with(begin), "{words}");
    }
    assert!(said("t_s,rpm\r\n0,1\r\n\r\n1,x\r\n").starts_with("line 4, column rpm"));
    assert!(said("time,rpm\n07:00,4500\n").starts_with("line 2, column time"));
}

#[test]
fn a_header_that_is_no_log_says_what_is_missing() {
    for (header, column) in [
        ("", "time"),
        ("rpm,gear", "time"),
        ("t_s,time,rpm", "t_s"),
        ("t_s,rpm,rpm", "rpm"),
        ("t_s,lat", "lon"),
        ("t_s,lon", "lat"),
        ("t_s,speed_kmh,speed_mps", "speed_mps"),
        ("t_s,gear", "lat"),
    ] {
        let words = said(header);
        assert!(words.starts_with(&format!("line 1, column {column}:")), "{header}: {words}");
    }
}

#[test]
fn length_and_rows_are_limited() {
    let text = "t_s,rpm\n0,1\n1,1\n";
    let limits = |bytes, points| Limits { bytes, points, ..Limits::USUAL };
    assert!(read_log(text, &limits(text.len(), 2)).is_ok());
    assert_eq!(read_log(text, &limits(text.len(), 1)), Err(LogFault::TooManyRows { limit: 1 }));
    assert!(matches!(read_log(text, &limits(3, 9)), Err(LogFault::TooLong { .. })));
}
