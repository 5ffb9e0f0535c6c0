//! Reads a GPX document point by point, without building a tree of it.
//!
//! Elements count by namespace and local name, whatever prefix they carry. Only `trk/trkseg/trkpt` is read; `rte`
//! and `wpt` are counted. `ele` and `time` count as direct children of their point, never from inside extensions.
//! The first place that is no well-formed XML ends the reading: before the root the document is refused, after it
//! the points read whole are kept and [`Track::cut`] says where.

use quick_xml::XmlVersion;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::name::{Namespace, NamespaceResolver, QName, ResolveResult};

use super::source::Source;
use super::usual;
use super::wellformed::{declared, may_stand, spaced, well_named};
use super::{Cut, Limits, Moment, Place, Point, Track, TrackFault};

/// Bytes looked at together.
const BLOCK: usize = 4096;
/// The two namespaces of the format; a document without any is read too.
const NAMESPACES: [&str; 2] = ["http://www.topografix.com/GPX/1/1", "http://www.topografix.com/GPX/1/0"];

/// An open element, as far as it matters here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tag {
    Gpx,
    Trk,
    TrkSeg,
    TrkPt,
    Ele,
    Time,
    Rte,
    Wpt,
    Other,
}

impl Tag {
    fn of(local: &str) -> Self {
        match local {
            "gpx" => Self::Gpx,
            "trk" => Self::Trk,
            "trkseg" => Self::TrkSeg,
            "trkpt" => Self::TrkPt,
            "ele" => Self::Ele,
            "time" => Self::Time,
            "rte" => Self::Rte,
            "wpt" => Self::Wpt,
            _ => Self::Other,
        }
    }
}

/// What is open between the points of a segment.
const SEGMENT: [Tag; 3] = [Tag::Gpx, Tag::Trk, Tag::TrkSeg];

/// Why reading stops: the document is refused, or it breaks off here.
enum Stop {
    Refused(TrackFault),
    Broken(String),
}

impl Stop {
    fn broken(why: impl ToString) -> Self {
        Self::Broken(why.to_string())
    }
}

/// The point being read: its attributes and the texts gathered so far.
#[derive(Debug, Default)]
struct Draft {
    lat: Option<f64>,
    lon: Option<f64>,
    ele: String,
    time: String,
}

/// Reads a GPX document.
///
/// # Holds when
/// The time taken grows with the length of the text alone; no text makes it panic.
///
/// # Errors
/// The document is no GPX, has a document type declaration, is nested too deep or is larger than the limits.
pub fn read(text: &str, limits: &Limits) -> Result<Track, TrackFault> {
    if text.len() > limits.bytes {
        return Err(TrackFault::TooLong { bytes: text.len(), limit: limits.bytes });
    }
    read_on(text.strip_prefix('\u{feff}').unwrap_or(text), &mut Reading::new(limits))
}

/// Reads a whole document.
fn read_on(text: &str, reading: &mut Reading<'_>) -> Result<Track, TrackFault> {
    // XML has no place for some characters; the document ends at the first of them.
    let end = readable(text);
    let whole = end == text.len();
    let mut source = Source::new(text.get(..end).unwrap_or(text));
    loop {
        let before = source.at();
        match reading.step(&mut source, before) {
            Ok(false) if reading.among_points => reading.usual_points(&mut source),
            Ok(false) => {}
            Ok(true) if whole => return Ok(std::mem::take(&mut reading.track)),
            Ok(true) => return reading.broken(text, end, "a character that XML does not allow".to_owned()),
            Err(Stop::Broken(why)) => return reading.broken(text, before, why),
            Err(Stop::Refused(fault)) => return Err(fault.on_line(line(text, before))),
        }
    }
}

/// The length of the text up to the first character that XML has no place for.
fn readable(text: &str) -> usize {
    // Nearly every document has none; blocks of bytes that cannot hold one are passed over without decoding them.
    let odd = |block: &[u8]| block.iter().fold(false, |odd, byte| odd | suspect(*byte));
    if !text.as_bytes().chunks(BLOCK).any(odd) {
        return text.len();
    }
    text.char_indices().find(|(_, c)| !may_stand(*c)).map_or(text.len(), |(at, _)| at)
}

/// Whether a byte may belong to a character that XML has no place for.
const fn suspect(byte: u8) -> bool {
    matches!(byte, 0..=0x08 | 0x0b | 0x0c | 0x0e..=0x1f | 0xef)
}

/// The line, from 1, of a byte of the text.
fn line(text: &str, at: usize) -> usize {
    let before = text.as_bytes().get(..at).unwrap_or(text.as_bytes());
    1 + before.iter().filter(|byte| **byte == b'\n').count()
}

impl TrackFault {
    /// The same fault with the line known.
    fn on_line(self, line: usize) -> Self {
        match self {
            Self::WrongRoot { found, .. } => Self::WrongRoot { line, found },
            Self::TypeDeclaration { .. } => Self::TypeDeclaration { line },
            Self::TooDeep { limit, .. } => Self::TooDeep { line, limit },
            other => other,
        }
    }
}

/// What has been read so far.
struct Reading<'l> {
    limits: &'l Limits,
    track: Track,
    /// The open elements.
    open: Vec<Tag>,
    /// The root's namespace once there is a root: an index into [`NAMESPACES`], or none.
    home: Option<Option<usize>>,
    draft: Draft,
    points: usize,
    /// What the parser was asked for.
    events: usize,
    /// Whether the last event was the beginning of a segment or the end of a point: there a usual point may follow.
    among_points: bool,
}

impl<'l> Reading<'l> {
    fn new(limits: &'l Limits) -> Self {
        let open = Vec::with_capacity(8);
        Self {
            limits,
            track: Track::default(),
            open,
            home: None,
            draft: Draft::default(),
            points: 0,
            events: 0,
            among_points: false,
        }
    }

    /// Ends at a place that cannot be read.
    fn broken(&mut self, text: &str, at: usize, why: String) -> Result<Track, TrackFault> {
        let cut = Cut { line: line(text, at), why };
        if self.home.is_none() {
            return Err(TrackFault::NotXml(cut));
        }
        self.track.cut = Some(cut);
        Ok(std::mem::take(&mut self.track))
    }

    /// Takes the next event; true at the end of the document.
    fn step(&mut self, source: &mut Source<'_>, before: usize) -> Result<bool, Stop> {
        self.among_points = false;
        self.events += 1;
        match source.event().map_err(Stop::broken)? {
            Event::Start(start) => {
                self.start(source.names(), &start)?;
                self.among_points = self.open == SEGMENT;
            }
            Event::Empty(start) => {
                self.start(source.names(), &start)?;
                self.end()?;
            }
            Event::End(_) => self.end()?,
            Event::Text(text) => self.text(text.as_ref())?,
            Event::CData(text) if self.open.is_empty() => self.text(&format!("<![CDATA[{}", text.as_ref()))?,
            Event::CData(text) => self.gather(text.as_ref()),
            Event::GeneralRef(name) => self.reference(&name)?,
            Event::Decl(declaration) => declared(&declaration, before).map_err(Stop::Broken)?,
            Event::DocType(_) if self.home.is_none() => {
                return Err(Stop::Refused(TrackFault::TypeDeclaration { line: 0 }));
            }
            Event::DocType(_) => return Err(Stop::broken("a document type declaration after the root")),
            Event::PI(instruction) => well_named(instruction.target()).map_err(Stop::Broken)?,
            Event::Comment(_) => {}
            Event::Eof => return self.finish(),
        }
        Ok(false)
    }

    /// Reads on without the parser for as long as points are of the usual shape.
    fn usual_points(&mut self, source: &mut Source<'_>) {
        // A name without prefix must mean an element of the format, and no limit may cut a usual point short.
        let plain = space_of(source.names().resolve_prefix(None, true)) == self.home;
        let fits = self.limits.depth > SEGMENT.len() + 1 && self.limits.attributes >= 2;
        let Some(segment) = self.track.segments.last_mut().filter(|_| plain && fits) else { return };
        let run = usual::points(source.rest(), self.limits.points - self.points, segment);
        self.points += run.points;
        self.track.points_dropped += run.dropped;
        source.skip(run.bytes);
    }

    fn finish(&self) -> Result<bool, Stop> {
        match (self.home, self.open.is_empty()) {
            (None, _) => Err(Stop::broken("there is no element")),
            (Some(_), true) => Ok(true),
            (Some(_), false) => Err(Stop::broken("the document ends before its root is closed")),
        }
    }

    fn start(&mut self, names: &NamespaceResolver, start: &BytesStart<'_>) -> Result<(), Stop> {
        let name = start.name();
        let place = attributes(names, start, self.limits.attributes)?;
        let tag = self.known(names, name)?;
        let is_point = tag == Tag::TrkPt && self.open == SEGMENT;
        self.open.push(tag);
        if self.open.len() > self.limits.depth {
            return Err(Stop::Refused(TrackFault::TooDeep { line: 0, limit: self.limits.depth }));
        }
        match self.open.as_slice() {
            [Tag::Gpx, Tag::Trk] => self.track.tracks += 1,
            [Tag::Gpx, Tag::Trk, Tag::TrkSeg] => self.track.segments.push(Vec::new()),
            [Tag::Gpx, Tag::Rte] => self.track.routes += 1,
            [Tag::Gpx, Tag::Wpt] => self.track.waypoints += 1,
            _ => {}
        }
        if is_point {
            self.points += 1;
            if self.points > self.limits.points {
                return Err(Stop::Refused(TrackFault::TooManyPoints { limit: self.limits.points }));
            }
            self.draft.ele.clear();
            self.draft.time.clear();
            (self.draft.lat, self.draft.lon) = place;
        }
        Ok(())
    }

    /// The tag of an element's name; the first element must be the root.
    fn known(&mut self, names: &NamespaceResolver, name: QName<'_>) -> Result<Tag, Stop> {
        well_named(name.as_ref()).map_err(Stop::Broken)?;
        let (namespace, local) = names.resolve_element(name);
        if let ResolveResult::Unknown(prefix) = namespace {
            return Err(Stop::broken(format!("the prefix {prefix} is not declared")));
        }
        let space = space_of(namespace);
        let tag = Tag::of(local.as_ref());
        if self.open.is_empty() {
            if self.home.is_some() {
                return Err(Stop::broken("a second root element"));
            }
            if tag != Tag::Gpx || space.is_none() {
                return Err(Stop::Refused(TrackFault::WrongRoot { line: 0, found: shown(name, names) }));
            }
            self.home = space;
        }
        Ok(if self.home == space { tag } else { Tag::Other })
    }

    fn end(&mut self) -> Result<(), Stop> {
        let closed_point = self.open == [Tag::Gpx, Tag::Trk, Tag::TrkSeg, Tag::TrkPt];
        self.among_points = closed_point;
        self.open.pop().ok_or_else(|| Stop::broken("an element is closed that was never opened"))?;
        if closed_point {
            let place = self.draft.lat.zip(self.draft.lon).and_then(|(lat, lon)| Place::new(lat, lon));
            match (place, self.track.segments.last_mut()) {
                (Some(place), Some(segment)) => {
                    segment.push(Point { place, ele_m: number(&self.draft.ele), at: Moment::read(&self.draft.time) })
                }
                _ => self.track.points_dropped += 1,
            }
        }
        Ok(())
    }

    /// Text between tags; outside the root only blanks may stand.
    fn text(&mut self, text: &str) -> Result<(), Stop> {
        if text.contains(']') && text.contains("]]>") {
            return Err(Stop::broken("]]> outside a CDATA section"));
        }
        if self.open.is_empty() && !text.bytes().all(|byte| byte.is_ascii_whitespace()) {
            let words: String = text.trim().chars().take(20).collect();
            return Err(Stop::broken(format!("\"{words}\" stands outside the root element")));
        }
        self.gather(text);
        Ok(())
    }

    fn gather(&mut self, text: &str) {
        match self.open.as_slice() {
            [Tag::Gpx, Tag::Trk, Tag::TrkSeg, Tag::TrkPt, Tag::Ele] => self.draft.ele.push_str(text),
            [Tag::Gpx, Tag::Trk, Tag::TrkSeg, Tag::TrkPt, Tag::Time] => self.draft.time.push_str(text),
            _ => {}
        }
    }

    /// `&amp;` and `&#65;`; an entity that only a document type could declare is none.
    fn reference(&mut self, name: &BytesRef<'_>) -> Result<(), Stop> {
        if self.open.is_empty() {
            return Err(Stop::broken("a reference stands outside the root element"));
        }
        if let Some(c) = name.resolve_char_ref().map_err(Stop::broken)? {
            if !may_stand(c) {
                return Err(Stop::broken("a reference to a character that XML does not allow"));
            }
            self.gather(c.encode_utf8(&mut [0; 4]));
            return Ok(());
        }
        let text = resolve_xml_entity(name.as_ref())
            .ok_or_else(|| Stop::broken(format!("the entity {} is not declared", name.as_ref())))?;
        self.gather(text);
        Ok(())
    }
}

/// One of the format's namespaces, or none at all; nothing for any other.
fn space_of(namespace: ResolveResult<'_>) -> Option<Option<usize>> {
    match namespace {
        ResolveResult::Bound(Namespace(uri)) => NAMESPACES.iter().position(|known| *known == uri).map(Some),
        ResolveResult::Unbound => Some(None),
        ResolveResult::Unknown(_) => None,
    }
}

/// A name as a person finds it in the document, with its namespace.
fn shown(name: QName<'_>, names: &NamespaceResolver) -> String {
    let short = |text: &str| text.chars().take(60).collect::<String>();
    match names.resolve_element(name) {
        (ResolveResult::Bound(Namespace(uri)), local) => {
            format!("{} of the namespace {}", short(local.as_ref()), short(uri))
        }
        (_, local) => short(local.as_ref()),
    }
}

/// Walks the attributes, each well-formed and once, and reads `lat` and `lon`.
fn attributes(
    names: &NamespaceResolver,
    start: &BytesStart<'_>,
    limit: usize,
) -> Result<(Option<f64>, Option<f64>), Stop> {
    spaced(start).map_err(Stop::Broken)?;
    let (mut lat, mut lon) = (None, None);
    for (count, attribute) in start.attributes().enumerate() {
        let attribute = attribute.map_err(Stop::broken)?;
        well_named(attribute.key.as_ref()).map_err(Stop::Broken)?;
        if count >= limit {
            return Err(Stop::broken(format!("an element with more than {limit} attributes")));
        }
        let (space, _) = names.resolve_attribute(attribute.key);
        if let ResolveResult::Unknown(prefix) = space {
            return Err(Stop::broken(format!("the prefix {prefix} is not declared")));
        }
        if attribute.value.contains('<') {
            return Err(Stop::broken("a < inside an attribute"));
        }
        let value = attribute.normalized_value(XmlVersion::Implicit1_0).map_err(Stop::broken)?;
        match attribute.key.as_ref() {
            "lat" => lat = number(&value),
            "lon" => lon = number(&value),
            _ => {}
        }
    }
    Ok((lat, lon))
}

/// A finite number; `None` for anything else.
pub(super) fn number(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|value| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the parser is asked for in a document with so many usual points, its root as given.
    fn asked(root: &str, prefix: &str, between: &str, limits: &Limits) -> (Track, usize) {
        let point = "<trkpt lat=\"45.5\" lon=\"7\"><ele>12</ele></trkpt>\n";
        let inside = format!("{between}{point}").repeat(20);
        let text =
            format!("<{root}><{prefix}trk><{prefix}trkseg>{inside}</{prefix}trkseg></{prefix}trk></{prefix}gpx>");
        let mut reading = Reading::new(limits);
        (read_on(&text, &mut reading).expect("reads"), reading.events)
    }

    #[test]
    fn usual_points_are_read_past_the_parser_and_others_by_it() {
        let own = "gpx xmlns='http://www.topografix.com/GPX/1/1'";
        for root in ["gpx", own] {
            let (track, events) = asked(root, "", "", &Limits::USUAL);
            // Six tags, the blanks behind the last point, the end.
            assert_eq!((track.points(), events), (20, 8), "{root}");
            let (same, each) = asked(root, "", "<!-- -->", &Limits::USUAL);
            assert_eq!(same, track);
            assert!(each > 20 * 5, "{each}");
        }
        for narrow in [Limits { depth: 5, ..Limits::USUAL }, Limits { attributes: 2, ..Limits::USUAL }] {
            assert_eq!(asked("gpx", "", "", &narrow).1, 8, "{narrow:?} cuts no usual point short");
        }
        let foreign = "g:gpx xmlns='urn:x' xmlns:g='http://www.topografix.com/GPX/1/0'";
        let (track, events) = asked(foreign, "g:", "", &Limits::USUAL);
        assert!(track.points() == 0 && events > 20 * 5, "a point of another namespace is none");
    }

    #[test]
    fn a_document_is_readable_up_to_the_first_character_that_xml_has_no_place_for() {
        for (text, end) in [
            ("plain\ttext\r\n", 12),
            ("", 0),
            ("a\u{0}b", 1),
            ("a\u{b}", 1),
            ("é\u{1f}", 2),
            ("ﬁne \u{fffd}", 9),
            ("a\u{fffe}", 1),
            ("a\u{ffff}b", 1),
            ("\u{10000}", 4),
            ("\u{e000}", 3),
        ] {
            assert_eq!(readable(text), end, "{text:?}");
        }
        let long = format!("{}\u{1}{}", "x".repeat(2 * BLOCK), "y".repeat(BLOCK));
        assert_eq!(readable(&long), 2 * BLOCK);
        assert!(!b"aZ09 \t\r\n<\x7f\xc3".iter().any(|byte| suspect(*byte)), "nearly every document is passed over");
        assert_eq!([0, 1, 2, 3, 9].map(|at| line("a\nb\n", at)), [1, 1, 2, 2, 3]);
    }
}
