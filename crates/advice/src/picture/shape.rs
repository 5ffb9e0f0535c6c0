//! What a picture is made of: circles, lines and arcs with a name each, and words at spots.

use serde::Serialize;

/// A spot in the plane of the picture: x forward, z up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Forward.
    pub x_mm: f64,
    /// Up.
    pub z_mm: f64,
}

impl Spot {
    /// A spot.
    #[must_use]
    pub const fn new(x_mm: f64, z_mm: f64) -> Self {
        Self { x_mm, z_mm }
    }

    /// The spot so far further forward and up.
    #[must_use]
    pub const fn plus(self, x_mm: f64, z_mm: f64) -> Self {
        Self { x_mm: self.x_mm + x_mm, z_mm: self.z_mm + z_mm }
    }

    /// The spot at a distance and an angle, degrees from forward towards up.
    #[must_use]
    pub fn polar(self, radius_mm: f64, degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        self.plus(radius_mm * cos, radius_mm * sin)
    }
}

/// How a thing is drawn. Each differs by weight and dash, so that a copy without colour keeps its meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Chain.
    Chain,
    /// Steel: sprockets, swingarm, plates.
    Steel,
    /// Something that only helps to read: centre lines, construction.
    Help,
    /// What must not be touched or passed, or what comes off.
    Limit,
    /// The same thing in another place.
    Other,
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A circle.
    Circle {
        /// Its centre.
        centre: Spot,
        /// Its radius.
        radius_mm: f64,
    },
    /// A straight line.
    Segment {
        /// Its first end.
        from: Spot,
        /// Its second end.
        to: Spot,
    },
    /// A part of a circle, from one spot on it to another.
    Arc {
        /// The circle's centre.
        centre: Spot,
        /// The circle's radius.
        radius_mm: f64,
        /// Its first end.
        from: Spot,
        /// Its second end.
        to: Spot,
        /// Which way it runs, seen as drawn.
        clockwise: bool,
    },
    /// A line through spots.
    Through(Vec<Spot>),
    /// A spot alone: a pin, an axle.
    Dot(Spot),
}

impl Shape {
    /// The spots that it needs in view, each with the room around it, mm.
    #[must_use]
    pub fn reach(&self) -> Vec<(Spot, f64)> {
        match self {
            Self::Circle { centre, radius_mm } => vec![(*centre, *radius_mm)],
            Self::Segment { from, to } | Self::Arc { from, to, .. } => vec![(*from, 0.0), (*to, 0.0)],
            Self::Through(spots) => spots.iter().map(|spot| (*spot, 0.0)).collect(),
            Self::Dot(spot) => vec![(*spot, 0.0)],
        }
    }
}

/// A thing drawn with its name and its ink.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Name of what it shows.
    pub id: String,
    /// How it is drawn.
    pub ink: Ink,
    /// What is drawn.
    pub shape: Shape,
}

/// Words at a spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Where.
    pub at: Spot,
    /// The words.
    pub words: String,
}

/// A picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// Its name.
    pub id: &'static str,
    /// What it shows.
    pub title: String,
    /// What it says, in one sentence: its text alternative.
    pub finding: String,
    /// Whether lengths on it are true to one another and to millimetres.
    pub to_scale: bool,
    /// What is drawn, from the back to the front.
    #[serde(skip)]
    pub pieces: Vec<Piece>,
    /// Words on it.
    #[serde(skip)]
    pub labels: Vec<Label>,
}

impl Picture {
    pub(super) fn new(id: &'static str, title: &str, finding: impl Into<String>) -> Self {
        Self {
            id,
            title: title.to_owned(),
            finding: finding.into(),
            to_scale: false,
            pieces: Vec::new(),
            labels: Vec::new(),
        }
    }

    pub(super) fn add(&mut self, id: &str, ink: Ink, shape: Shape) {
        self.pieces.push(Piece { id: id.to_owned(), ink, shape });
    }

    pub(super) fn line(&mut self, id: &str, ink: Ink, from: Spot, to: Spot) {
        self.add(id, ink, Shape::Segment { from, to });
    }

    pub(super) fn circle(&mut self, id: &str, ink: Ink, centre: Spot, radius_mm: f64) {
        self.add(id, ink, Shape::Circle { centre, radius_mm });
    }

    pub(super) fn say(&mut self, at: Spot, words: impl Into<String>) {
        self.labels.push(Label { at, words: words.into() });
    }

    /// A line with a head of the given size at its end.
    pub(super) fn arrow(&mut self, id: &str, ink: Ink, from: Spot, to: Spot, head_mm: f64) {
        self.line(id, ink, from, to);
        let back = (from.z_mm - to.z_mm).atan2(from.x_mm - to.x_mm).to_degrees();
        let head = vec![to.polar(head_mm, back + 28.0), to, to.polar(head_mm, back - 28.0)];
        self.add(&format!("{id}_head"), ink, Shape::Through(head));
    }
}
