//! The usual shape of a point, read straight from the text: most recorders write nothing else.
//!
//! Only what means the same to the parser is read here, byte for byte: plain tags, `lat` before `lon`, `ele` before
//! `time`, values without references. At the first thing of any other shape this reading ends before that point, and
//! the parser goes on from there.

use super::document::number;
use super::{Moment, Place, Point};

/// What was read of a run of usual points.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Run {
    /// Bytes up to the end of the last point.
    pub(super) bytes: usize,
    /// Points, with or without a valid position.
    pub(super) points: usize,
    /// Those without one.
    pub(super) dropped: usize,
}

/// Reads usual points from the beginning of `text`, `most` at the most, and appends those with a valid position.
pub(super) fn points(text: &str, most: usize, into: &mut Vec<Point>) -> Run {
    let mut run = Run::default();
    let mut rest = text;
    while run.points < most
        && let Some((point, after)) = point(rest)
    {
        rest = after;
        run.points += 1;
        match point {
            Some(point) => into.push(point),
            None => run.dropped += 1,
        }
    }
    run.bytes = text.len() - rest.len();
    run
}

/// One point, none without a valid position, and what stands behind it; none if it is of another shape.
fn point(text: &str) -> Option<(Option<Point>, &str)> {
    let rest = blanks(text).strip_prefix("<trkpt lat=\"")?;
    let (lat, rest) = value(rest, in_number, "\"")?;
    let (lon, rest) = value(some_blanks(rest)?.strip_prefix("lon=\"")?, in_number, "\"")?;
    let rest = blanks(blanks(rest).strip_prefix('>')?);
    let (ele, rest) = match rest.strip_prefix("<ele>") {
        Some(rest) => value(rest, in_number, "</ele>").map(|(ele, rest)| (ele, blanks(rest)))?,
        None => ("", rest),
    };
    let (time, rest) = match rest.strip_prefix("<time>") {
        Some(rest) => value(rest, in_time, "</time>").map(|(time, rest)| (time, blanks(rest)))?,
        None => ("", rest),
    };
    let rest = rest.strip_prefix("</trkpt>")?;
    let place = number(lat).zip(number(lon)).and_then(|(lat, lon)| Place::new(lat, lon));
    Some((place.map(|place| Point { place, ele_m: number(ele), at: Moment::read(time) }), rest))
}

const fn blank(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t' | b'\n' | b'\r')
}

const fn in_number(byte: u8) -> bool {
    byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+' | b'e' | b'E')
}

const fn in_time(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'+' | b':' | b'.')
}

/// The text behind its blanks.
fn blanks(text: &str) -> &str {
    split(text, blank).1
}

/// The same where at least one blank must stand.
fn some_blanks(text: &str) -> Option<&str> {
    let (before, rest) = split(text, blank);
    (!before.is_empty()).then_some(rest)
}

/// A value of plain characters that ends with `end`, and what stands behind that.
fn value<'t>(text: &'t str, plain: fn(u8) -> bool, end: &str) -> Option<(&'t str, &'t str)> {
    let (value, rest) = split(text, plain);
    let rest = rest.strip_prefix(end)?;
    (!value.is_empty()).then_some((value, rest))
}

/// Parts the text before its first byte of another kind; all bytes of a kind are ASCII, so it parts between characters.
fn split(text: &str, kind: fn(u8) -> bool) -> (&str, &str) {
    let end = text.bytes().position(|byte| !kind(byte)).unwrap_or(text.len());
    text.split_at_checked(end).unwrap_or((text, ""))
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUAL: &str =
        "\n  <trkpt lat=\"45.5\" lon=\"-7.25\"><ele>1200.5</ele><time>2026-05-01T10:00:00Z</time></trkpt>";

    #[test]
    fn usual_points_are_read_here_up_to_the_first_of_another_shape() {
        for other in [
            "</trkseg>",
            "<trkpt lon=\"1\" lat=\"2\"></trkpt>",
            "<trkpt lat='1' lon='2'></trkpt>",
            "<trkpt lat=\"1\"lon=\"2\"></trkpt>",
            "<trkpt lat=\"1\" lon=\"2\"><ele>&#49;</ele></trkpt>",
            "<trkpt lat=\"1\" lon=\"2\"><ele></ele></trkpt>",
            "<trkpt lat=\"1\" lon=\"2\"><time>2026-05-01T10:00:00Z</time><ele>1</ele></trkpt>",
            "<trkpt lat=\"1\" lon=\"2\"><sat>9</sat></trkpt>",
            "<trkpt lat=\"1\" lon=\"2\"><ele>1</ele>",
            "",
        ] {
            let (text, mut read) = (format!("{USUAL}{USUAL}{other}{USUAL}"), Vec::new());
            let run = points(&text, 2, &mut read);
            assert_eq!(run, Run { bytes: 2 * USUAL.len(), points: 2, dropped: 0 }, "{other}");
            let went_on = points(&text[run.bytes..], 9, &mut read);
            assert_eq!(went_on.points, usize::from(other.is_empty()), "{other}");
            assert_eq!(read.len(), 2 + went_on.points, "{other}");
            assert!((read[1].place.lat_deg - 45.5).abs() < 1e-12 && read[1].ele_m == Some(1200.5));
        }
    }

    #[test]
    fn height_time_and_blanks_may_be_there_or_not() {
        let time = "<time>2026-05-01T10:00:00Z</time>";
        for (inside, ele_m, timed) in [
            ("", None, false),
            ("<ele>-3e1</ele>", Some(-30.0), false),
            (time, None, true),
            (&format!("\t<ele>7</ele>\r\n {time} "), Some(7.0), true),
        ] {
            let (text, mut read) = (format!(" <trkpt lat=\"1\"\n lon=\"2\" >{inside}</trkpt>"), Vec::new());
            assert_eq!(points(&text, 9, &mut read), Run { bytes: text.len(), points: 1, dropped: 0 }, "{inside}");
            assert_eq!((read[0].ele_m, read[0].at.is_some()), (ele_m, timed), "{inside}");
        }
    }

    #[test]
    fn a_point_off_the_globe_is_counted_and_left_out() {
        let (text, mut read) = (format!("<trkpt lat=\"91\" lon=\"2\"></trkpt>{USUAL}"), Vec::new());
        assert_eq!(points(&text, 9, &mut read), Run { bytes: text.len(), points: 2, dropped: 1 });
        assert_eq!(read.len(), 1);
    }
}
