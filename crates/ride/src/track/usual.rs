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
