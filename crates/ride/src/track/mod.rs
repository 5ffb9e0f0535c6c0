//! Recorded tracks: the points of a ride as the recorder wrote them, read and sifted.
//!
//! Lives here: reading a GPX document ([`read`]), what was found in it ([`Track`]), and sifting it into parts whose
//! times rise and whose hops are possible ([`sift`]). Does not live here: speed, grade, any smoothing (`profile`).
//!
//! Layout: [`Place`] and distances · [`Moment`] · the document · a logger's table · the sieve.

mod clock;
mod document;
mod ground;
mod logger;
mod sieve;
mod source;
mod text;
mod usual;
mod wellformed;

pub use clock::Moment;
pub use document::read;
pub use ground::Place;
pub use logger::{Log, LogFault, Sample, read_log};
pub use sieve::{Class, Fix, Hops, Rules, Sifted, sift};
pub use text::{Unreadable, decoded};

use std::fmt;

/// How much is read at most; beyond it a document is refused, never cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Length of the document in bytes.
    pub bytes: usize,
    /// Track points, with or without a valid position.
    pub points: usize,
    /// Elements open inside each other.
    pub depth: usize,
    /// Attributes of one element.
    pub attributes: usize,
}

impl Limits {
    /// 256 MiB and two million points (a season at one point a second is four million in a hundred files).
    pub const USUAL: Self = Self { bytes: 256 << 20, points: 2_000_000, depth: 64, attributes: 256 };
}

/// One point with a valid position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Where.
    pub place: Place,
    /// Elevation in metres as recorded; negative is real.
    pub ele_m: Option<f64>,
    /// When; an unreadable time is none.
    pub at: Option<Moment>,
}

/// What a document holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Track {
    /// Points of each track segment in the order written; an empty segment stays.
    pub segments: Vec<Vec<Point>>,
    /// Track elements.
    pub tracks: usize,
    /// Route elements: counted, not read.
    pub routes: usize,
    /// Waypoints: counted, not read.
    pub waypoints: usize,
    /// Track points without a valid position, left out.
    pub points_dropped: usize,
    /// Where the document breaks off, if it does; what stands before is read whole.
    pub cut: Option<Cut>,
}

impl Track {
    /// All points with a valid position.
    #[must_use]
    pub fn points(&self) -> usize {
        self.segments.iter().map(Vec::len).sum()
    }
}

/// The place from which a document could no longer be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// Line, from 1.
    pub line: usize,
    /// What is wrong there.
    pub why: String,
}

/// Why a document is no track.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrackFault {
    /// No root element was found.
    NotXml(Cut),
    /// The root is another element, or of another namespace.
    WrongRoot {
        /// Line of the root.
        line: usize,
        /// What stands there.
        found: String,
    },
    /// A document type declaration; it could make a small file unfold without end.
    TypeDeclaration {
        /// Line of the declaration.
        line: usize,
    },
    /// More elements inside each other than [`Limits::depth`].
    TooDeep {
        /// Line of the element too many.
        line: usize,
        /// The limit.
        limit: usize,
    },
    /// Longer than [`Limits::bytes`].
    TooLong {
        /// Its length.
        bytes: usize,
        /// The limit.
        limit: usize,
    },
    /// More points than [`Limits::points`].
    TooManyPoints {
        /// The limit.
        limit: usize,
    },
}

impl fmt::Display for TrackFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotXml(Cut { line, why }) => {
                write!(f, "line {line}: {why}; this is no XML document. Export the ride again as GPX 1.1 or 1.0")
            }
            Self::WrongRoot { line, found } => write!(
                f,
                "line {line}: the root element is {found}; gpx (small letters, GPX 1.1, GPX 1.0 or no namespace) is \
                 possible. Export the ride as GPX"
            ),
            Self::TypeDeclaration { line } => write!(
                f,
                "line {line}: it has a document type declaration, which can unfold without end. Take that line out, \
                 or export the ride again"
            ),
            Self::TooDeep { line, limit } => {
                write!(f, "line {line}: more than {limit} elements are nested. Export the ride without extensions")
            }
            Self::TooLong { bytes, limit } => {
                write!(f, "it is {bytes} bytes long; {limit} are possible. Export one ride, not a whole season")
            }
            Self::TooManyPoints { limit } => {
                write!(f, "it holds more than {limit} points. Export one ride, not a whole season")
            }
        }
    }
}

impl std::error::Error for TrackFault {}

#[cfg(test)]
mod tests;
