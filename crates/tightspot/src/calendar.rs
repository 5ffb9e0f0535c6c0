//! The days ahead as a calendar file: lines end in CR LF, none is longer than 75 bytes, names stay so that reading it
//! again replaces what was there.

use advice::record::calendar::{Day, When};
use jiff::Timestamp;
use jiff::civil::DateTime;

/// Bytes of a line before it is folded.
const LINE: usize = 75;

/// The calendar of a bike.
pub(crate) fn text(bike: &str, title: &str, days: &[Day], made: Timestamp) -> String {
    let mut out = String::new();
    for line in ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//tightspot//days ahead//EN", "CALSCALE:GREGORIAN"] {
        put(&mut out, line);
    }
    put(&mut out, &format!("X-WR-CALNAME:{}", escaped(title)));
    let stamp = made.strftime("%Y%m%dT%H%M%SZ").to_string();
    for day in days {
        put(&mut out, "BEGIN:VEVENT");
        put(&mut out, &format!("UID:{}-{}@tightspot.invalid", plain(bike), plain(&day.name)));
        put(&mut out, &format!("DTSTAMP:{stamp}"));
        for line in when(day.when) {
            put(&mut out, &line);
        }
        put(&mut out, &format!("SUMMARY:{}", escaped(&day.title)));
        if !day.about.is_empty() {
            put(&mut out, &format!("DESCRIPTION:{}", escaped(&day.about)));
        }
        put(&mut out, "TRANSP:TRANSPARENT");
        put(&mut out, "END:VEVENT");
    }
    put(&mut out, "END:VCALENDAR");
    out
}

/// A whole day, or the rider's own clock without a zone: eight in the morning stays eight wherever it is read.
fn when(when: When) -> Vec<String> {
    let clock = |at: DateTime| at.strftime("%Y%m%dT%H%M%S").to_string();
    match when {
        When::Day(day) => vec![format!("DTSTART;VALUE=DATE:{}", day.strftime("%Y%m%d"))],
        When::From(at, hours) => {
            vec![format!("DTSTART:{}", clock(at)), format!("DURATION:PT{:.0}M", (60.0 * hours).max(1.0))]
        }
    }
}

/// Text of a value: backslash, semicolon, comma and line breaks escaped; other control characters are no text.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' => out.push_str("\\\\"),
            ';' => out.push_str("\\;"),
            ',' => out.push_str("\\,"),
            '\n' | '\r' => out.push_str("\\n"),
            c if c.is_control() && c != '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A name made of letters, digits and dashes only.
fn plain(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

/// Adds a line, folded so that no part is longer than it may be and no character is cut.
fn put(out: &mut String, line: &str) {
    let mut used = 0;
    for c in line.chars() {
        if used + c.len_utf8() > LINE {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(c);
        used += c.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    /// A strict reader, written from the format's own rules and not from the writer above.
    fn read(text: &str) -> Vec<BTreeMap<String, String>> {
        assert!(text.ends_with("\r\n"));
        let lines: Vec<&str> = text.strip_suffix("\r\n").expect("ends").split("\r\n").collect();
        assert!(
            lines.iter().all(|line| !line.contains(['\r', '\n']) && line.len() <= 75),
            "a line is too long or torn"
        );
        let mut whole: Vec<String> = Vec::new();
        for line in lines {
            match line.strip_prefix(' ') {
                Some(rest) => whole.last_mut().expect("a line to go on").push_str(rest),
                None => whole.push(line.to_owned()),
            }
        }
        let mut events = Vec::new();
        let mut open: Vec<String> = Vec::new();
        let mut one = BTreeMap::new();
        for line in whole {
            let (head, value) = line.split_once(':').expect("name and value");
            match head {
                "BEGIN" => open.push(value.to_owned()),
                "END" => {
                    assert_eq!(open.pop().as_deref(), Some(value));
                    if value == "VEVENT" {
                        events.push(std::mem::take(&mut one));
                    }
                }
                head if open.len() == 2 => {
                    assert!(one.insert(head.to_owned(), unescaped(value)).is_none(), "{head} twice")
                }
                _ => {}
            }
        }
        assert!(open.is_empty());
        events
    }

    fn unescaped(value: &str) -> String {
        let mut out = String::new();
        let mut letters = value.chars();
        while let Some(c) = letters.next() {
            match c {
                '\\' => match letters.next().expect("something escaped") {
                    'n' | 'N' => out.push('\n'),
                    c @ ('\\' | ';' | ',') => out.push(c),
                    c => panic!("\\{c} is no escape"),
                },
                ';' | ',' => panic!("{c} stands bare in a text"),
                c => out.push(c),
            }
        }
        out
    }

    fn day(name: &str, title: &str) -> Day {
        let when = When::Day("2026-09-26".parse().expect("a day"));
        Day { name: name.into(), when, title: title.into(), about: "x".into() }
    }

    #[test]
    fn a_strict_reader_gets_back_what_was_written_whatever_the_text() {
        let nasty = [
            "a,b;c\\d",
            "two\nlines\r\nthree",
            "ö€🏍".repeat(40).as_str(),
            " leads with a blank",
            "END:VEVENT",
            &"x".repeat(300),
        ]
        .map(str::to_owned);
        let days: Vec<Day> = nasty.iter().enumerate().map(|(n, text)| day(&format!("d{n}"), text)).collect();
        let events = read(&text("b", "B; \"b\"", &days, Timestamp::UNIX_EPOCH));
        assert_eq!(events.len(), nasty.len());
        for (event, wanted) in events.iter().zip(&nasty) {
            assert_eq!(event["SUMMARY"], wanted.replace("\r\n", "\n"));
            assert_eq!(
                (event["DTSTART;VALUE=DATE"].as_str(), event["DTSTAMP"].as_str()),
                ("20260926", "19700101T000000Z")
            );
        }
    }

    #[test]
    fn the_same_things_have_the_same_names_later() {
        let names = |made| -> Vec<String> {
            read(&text("alder 350", "B", &[day("oil", "Oil"), day("planned-7", "Ride")], made))
                .into_iter()
                .map(|event| event["UID"].clone())
                .collect()
        };
        let first = names(Timestamp::UNIX_EPOCH);
        assert_eq!(first, names(Timestamp::from_second(86_400).expect("a day later")));
        assert_eq!(first, ["alder-350-oil@tightspot.invalid", "alder-350-planned-7@tightspot.invalid"]);
    }

    #[test]
    fn hours_run_from_the_riders_own_clock() {
        let when = When::From("2026-09-26T08:00".parse().expect("a time"), 6.5);
        let events = read(&text("b", "B", &[Day { when, ..day("planned-1", "Ride") }], Timestamp::UNIX_EPOCH));
        assert_eq!((events[0]["DTSTART"].as_str(), events[0]["DURATION"].as_str()), ("20260926T080000", "PT390M"));
    }
}
