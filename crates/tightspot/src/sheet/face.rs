//! The sheet's typeface: widths, lines of words that fit, glyphs for the file.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider as _};

const REGULAR: &[u8] = include_bytes!("../../../../data/fonts/RobotoCondensed-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../../data/fonts/RobotoCondensed-Bold.ttf");
/// Distance from line to line, as a part of the size.
const LEADING: f32 = 1.08;
/// How far a baseline lies below the top of its line, as a part of the size.
const ASCENT: f32 = 0.9;

/// One weight of the typeface.
pub(super) struct Face {
    font: Font,
    outlines: FontRef<'static>,
    metrics: GlyphMetrics<'static>,
    per_em: f32,
}

impl Face {
    fn of(data: &'static [u8]) -> Option<Self> {
        let outlines = FontRef::new(data).ok()?;
        let metrics = outlines.glyph_metrics(Size::unscaled(), LocationRef::default());
        let font = Font::new(data.into(), 0)?;
        Some(Self { per_em: font.units_per_em(), font, outlines, metrics })
    }

    fn glyph(&self, letter: char) -> skrifa::GlyphId {
        let map = self.outlines.charmap();
        // A letter that the face lacks is printed as a question mark, never left out unseen.
        map.map(letter).or_else(|| map.map('?')).unwrap_or_default()
    }

    fn advance(&self, letter: char) -> f32 {
        self.metrics.advance_width(self.glyph(letter)).unwrap_or_default() / self.per_em
    }

    fn width(&self, text: &str, size: f32) -> f32 {
        text.chars().map(|letter| self.advance(letter)).sum::<f32>() * size
    }
}

/// Both weights.
pub(super) struct Faces {
    regular: Face,
    bold: Face,
}

/// A run of words of one size and weight.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    pub(super) text: String,
    pub(super) size: f32,
    pub(super) bold: bool,
}

impl Run {
    /// How far it reaches above its baseline and below it.
    pub(super) fn reach(&self) -> [f32; 2] {
        [ASCENT, LEADING - ASCENT].map(|part| part * self.size)
    }

    /// Words of the text's size.
    pub(super) fn plain(text: impl Into<String>) -> Self {
        Self { text: printable(&text.into()), size: super::paper::TEXT_PT, bold: false }
    }

    /// The same in bold.
    pub(super) fn bold(text: impl Into<String>) -> Self {
        Self { bold: true, ..Self::plain(text) }
    }

    /// A figure to set.
    pub(super) fn figure(text: impl Into<String>) -> Self {
        Self { size: super::paper::FIGURE_PT, ..Self::bold(text) }
    }
}

/// Text as it can be printed: the typeface has no arrow; a line's end is a blank; what draws nothing and what turns the
/// direction of reading is told by a mark, never hidden in the file.
pub(super) fn printable(text: &str) -> String {
    let turns = |letter| matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
    let one = |letter: char| match letter {
        '\n' | '\r' | '\t' => ' ',
        letter if letter.is_control() || turns(letter) => '?',
        letter => letter,
    };
    text.replace('→', "to").chars().map(one).collect()
}

/// A piece of a line, placed from its left end.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) x: f32,
    pub(super) run: Run,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Line {
    pub(super) pieces: Vec<Placed>,
    pub(super) height: f32,
    /// From the top of the line to its baseline.
    pub(super) baseline: f32,
}

impl Faces {
    /// Both weights, out of the binary; none only if it is damaged.
    pub(super) fn load() -> Option<Self> {
        Some(Self { regular: Face::of(REGULAR)?, bold: Face::of(BOLD)? })
    }

    const fn face(&self, bold: bool) -> &Face {
        if bold { &self.bold } else { &self.regular }
    }

    pub(super) fn font(&self, bold: bool) -> Font {
        self.face(bold).font.clone()
    }

    /// How wide a run is.
    pub(super) fn width(&self, run: &Run) -> f32 {
        self.face(run.bold).width(&run.text, run.size)
    }

    /// The glyphs of a run as the file wants them.
    pub(super) fn glyphs(&self, run: &Run) -> Vec<KrillaGlyph> {
        let face = self.face(run.bold);
        let glyph = |(at, letter): (usize, char)| {
            let id = GlyphId::new(face.glyph(letter).to_u32());
            KrillaGlyph::new(id, face.advance(letter), 0.0, 0.0, 0.0, at..at + letter.len_utf8(), None)
        };
        run.text.char_indices().map(glyph).collect()
    }

    /// The beginning of a run that fits a width; one letter at least.
    pub(super) fn fitting<'r>(&self, run: &'r Run, width: f32) -> &'r str {
        self.pieces(run, &run.text, width).first().copied().unwrap_or_default()
    }

    /// A word in pieces no wider than a line; nearly always the word itself.
    fn pieces<'w>(&self, run: &Run, word: &'w str, width: f32) -> Vec<&'w str> {
        let face = self.face(run.bold);
        let (mut pieces, mut from, mut wide) = (Vec::new(), 0, 0.0);
        for (at, letter) in word.char_indices() {
            let advance = face.advance(letter) * run.size;
            if at > from && wide + advance > width {
                pieces.push(&word[from..at]);
                (from, wide) = (at, 0.0);
            }
            wide += advance;
        }
        pieces.push(&word[from..]);
        pieces
    }

    /// Breaks runs into lines no wider than `width`; a word that is wider than a line is broken where the line ends.
    pub(super) fn lines(&self, runs: &[Run], width: f32) -> Vec<Line> {
        self.lines_beside(runs, width, 0.0, 0.0)
    }

    /// The same beside something so wide that reaches so far down on the right.
    pub(super) fn lines_beside(&self, runs: &[Run], width: f32, taken: f32, down: f32) -> Vec<Line> {
        let mut lines = vec![Line::default()];
        let (mut x, mut top) = (0.0, 0.0);
        for run in runs {
            let words = run.text.split_inclusive(' ').flat_map(|word| self.pieces(run, word, width - taken));
            for word in words {
                let bare = Run { text: word.trim_end().to_owned(), ..run.clone() };
                if bare.text.is_empty() && x == 0.0 {
                    continue;
                }
                let room = if top < down { width - taken } else { width };
                if x > 0.0 && x + self.width(&bare) > room {
                    top += lines.last().map_or(0.0, |line| line.height);
                    lines.push(Line::default());
                    x = 0.0;
                }
                let whole = Run { text: word.to_owned(), ..run.clone() };
                let wide = self.width(&whole);
                if let Some(line) = lines.last_mut() {
                    add(line, x, whole);
                }
                x += wide;
            }
        }
        lines.retain(|line| !line.pieces.is_empty());
        lines
    }
}

/// Adds a word to a line, to the run before it where both look alike.
fn add(line: &mut Line, x: f32, run: Run) {
    line.height = line.height.max(run.size * LEADING);
    line.baseline = line.baseline.max(run.size * ASCENT);
    match line.pieces.last_mut() {
        Some(last) if last.run.size == run.size && last.run.bold == run.bold => last.run.text.push_str(&run.text),
        _ => line.pieces.push(Placed { x, run }),
    }
}
