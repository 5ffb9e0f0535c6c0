//! Words that want to be more than words: what a rider typed is printed inside the page as it is, and adds nothing to the file.

use std::collections::BTreeSet;
use std::io::Read as _;

use advice::plan::PlanView;
use flate2::read::ZlibDecoder;
use upkeep::bike::Bike;

use super::{DAY, MERGED, Paper, asked, bike, pdf, planned};

/// Words that end a string, an object, a page; that ask for a script, an action, another file.
const PRINTABLE: [&str; 6] = [
    r"Rust (x) \) Tj ET BT /JS (app.alert\(1\)) ((( \\",
    "endstream endobj 99 0 obj << /Type /Action /S /JavaScript /JS (app.alert(1)) >> endobj",
    "]>> /OpenAction << /S /Launch /F (x) >> /AA << /O 99 0 R >> <<",
    "%PDF-1.7 trailer << /Root 99 0 R >> startxref 0 %%EOF",
    "<script>alert(1)</script> &amp; ]]> <?xml?> <!ENTITY x>",
    "/URI (http://127.0.0.1/) /EmbeddedFile /RichMedia",
];
/// Words with letters that no typeface draws, or that turn the direction of reading.
const UNPRINTABLE: [&str; 2] = [
    "a\u{0}b\u{7}c\u{1b}[31m\r\n\u{9}d\u{7f}\u{9b}",
    "\u{202e}\u{5d0}\u{5d1} \u{645}\u{631}\u{2066}\u{feff} \u{1f3cd}",
];

/// The demo's bike and plan, with these words wherever somebody else's words can stand.
fn saying(words: &str) -> (Bike, PlanView) {
    let mut bike = bike();
    words.clone_into(&mut bike.name);
    let mut view = planned(&MERGED[..1]);
    let said = || words.to_owned();
    view.jobs[0].1 = said();
    view.consumables.push(said());
    view.tools.push(said());
    view.later.push(said());
    view.closing = said();
    view.parts.rows[0][2].text = said();
    view.facts[0].reason = said();
    view.stops[0].text = said();
    let step = view.steps.iter_mut().find(|step| !step.to_set.is_empty()).expect("a step with a figure");
    (step.title, step.text, step.brief) = (said(), said(), "");
    step.notes.push(said());
    step.to_set[0].source = said();
    (bike, view)
}

fn sheet(words: &str, paper: Paper) -> Vec<u8> {
    let (bike, view) = saying(words);
    pdf(&bike, &view, DAY, paper).expect("a sheet")
}

/// What stands in a file outside its strings: names, and the words of its language; what is packed is unpacked.
fn language(bytes: &[u8], found: &mut BTreeSet<String>) {
    let mut at = 0;
    while at < bytes.len() {
        let rest = &bytes[at..];
        at += match rest[0] {
            b'(' => string_end(rest),
            b'<' if rest.starts_with(b"<<") => 2,
            b'<' => rest.iter().position(|byte| *byte == b'>').map_or(rest.len(), |end| end + 1),
            _ if rest.starts_with(b"stream") => stream(&bytes[..at], rest, found),
            byte if is_word(byte) => {
                let end = 1 + rest[1..].iter().take_while(|byte| is_word(**byte) && **byte != b'/').count();
                let word = String::from_utf8_lossy(&rest[..end]).into_owned();
                // Fonts carry a mark of the letters that are used of them; what is drawn where is numbers.
                let word = word.rsplit('+').next().unwrap_or_default().to_owned();
                if !word.contains(|letter: char| letter.is_ascii_digit()) {
                    found.insert(word);
                }
                end
            }
            _ => 1,
        };
    }
}

const fn is_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'/' | b'+' | b'-' | b'*' | b'\'' | b'"' | b'_' | b'.')
}

/// How long a string in brackets is, inner and escaped brackets counted.
fn string_end(rest: &[u8]) -> usize {
    let (mut deep, mut at) = (0, 0);
    while at < rest.len() {
        match rest[at] {
            b'\\' => at += 1,
            b'(' => deep += 1,
            b')' => deep -= 1,
            _ => {}
        }
        at += 1;
        if deep == 0 {
            break;
        }
    }
    at
}

/// How long a stream is, by what its dictionary says; what is in it is read as well where it is text of the file's own
/// language.
fn stream(before: &[u8], rest: &[u8], found: &mut BTreeSet<String>) -> usize {
    let said = before.windows(8).rposition(|eight| eight == b"/Length ").expect("a length") + 8;
    let digits = before[said..].iter().take_while(|byte| byte.is_ascii_digit());
    let length = digits.fold(0, |length, digit| 10 * length + usize::from(digit - b'0'));
    let begin = rest.iter().position(|byte| *byte == b'\n').expect("a line") + 1;
    let (inside, after) = rest[begin..].split_at(length);
    let end = after.windows(9).position(|nine| nine == b"endstream").expect("an end");
    assert!(end <= 2, "the length is not that of the stream");
    let mut inner = Vec::new();
    if ZlibDecoder::new(inside).read_to_end(&mut inner).is_ok() && inner.is_ascii() {
        language(&inner, found);
    }
    begin + length + end + 9
}

fn language_of(sheet: &[u8]) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    language(sheet, &mut found);
    found
}

fn tool(name: &str, more: &[&str], sheet: &[u8]) -> String {
    String::from_utf8_lossy(&asked(name, more, sheet)).into_owned()
}

/// Text without any blanks: where a line ends is the printer's business.
fn bare(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

#[test]
fn s9_hostile_words_add_no_object_action_or_script_to_a_sheet() {
    let harmless = language_of(&sheet("harmless", Paper::A4));
    for word in ["/Type", "/Page", "/StructTreeRoot", "endobj", "BT", "Tj", "/Outlines"] {
        assert!(harmless.contains(word), "{word} is not read: {harmless:?}");
    }
    for name in ["/JS", "/JavaScript", "/OpenAction", "/AA", "/Launch", "/URI", "/EmbeddedFile", "/RichMedia"] {
        assert!(!harmless.contains(name), "{name}");
    }
    for words in PRINTABLE.iter().chain(&UNPRINTABLE) {
        let sheet = sheet(words, Paper::A4);
        // Letters that the typeface lacks are told as text beside the mark that is drawn for them.
        let spoken = BTreeSet::from(["/ActualText".to_owned()]);
        let known: BTreeSet<String> = harmless.union(&spoken).cloned().collect();
        let more: Vec<_> = language_of(&sheet).difference(&known).cloned().collect();
        assert!(more.is_empty(), "{words:?} adds {more:?}");
        assert_eq!(tool("pdfinfo", &["-js"], &sheet), "", "{words:?}");
        assert!(!tool("pdfinfo", &["-url"], &sheet).contains("http"), "{words:?}");
        assert!(tool("pdfdetach", &["-list"], &sheet).starts_with("0 embedded files"), "{words:?}");
    }
}

#[test]
fn s9_hostile_words_are_read_back_letter_by_letter() {
    for words in PRINTABLE {
        let read = bare(&tool("pdftotext", &["-raw", "-"], &sheet(words, Paper::A4)));
        // Beside the head lines, which may be cut, each place once.
        let count = read.matches(&bare(words)).count();
        assert!(count >= 10, "{words}: {count} times in {read}");
    }
}

#[test]
fn s9_letters_that_cannot_be_drawn_are_told_by_a_mark() {
    for words in UNPRINTABLE {
        let read = tool("pdftotext", &["-raw", "-"], &sheet(words, Paper::A4));
        let odd: Vec<char> =
            read.chars().filter(|letter| letter.is_control() && !['\n', '\u{c}'].contains(letter)).collect();
        assert!(odd.is_empty() && read.contains('?'), "{words:?}: {odd:?} in {read:?}");
    }
}

#[test]
fn s9_ten_thousand_letters_stay_on_the_paper() {
    let long = "W".repeat(10_000);
    for paper in [Paper::A4, Paper::Letter] {
        let sheet = sheet(&long, paper);
        let read = bare(&tool("pdftotext", &["-raw", "-"], &sheet));
        assert!(read.matches('W').count() >= 100_000, "letters are lost");
        let (width, height) = paper.size();
        let boxes = tool("pdftotext", &["-bbox", "-"], &sheet);
        let edge = |line: &str, name: &str| -> f32 {
            let rest = line.split(&format!("{name}=\"")).nth(1).expect(name);
            rest.split('"').next().expect("a value").parse().expect("a number")
        };
        let outside: Vec<&str> = boxes
            .lines()
            .filter(|line| line.contains("<word "))
            .filter(|line| edge(line, "xMin") < 0.0 || edge(line, "xMax") > width || edge(line, "yMax") > height)
            .collect();
        assert!(outside.is_empty(), "{paper:?}: {outside:#?}");
    }
}
