//! A block is what is never split over two pages: a heading, a paragraph, one step with its boxes, a picture.

use super::face::{Faces, Line, Run};
use super::paper::{BLANK_PT, TICK_PT};

/// Something drawn, from the block's upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Mark {
    /// Words on a baseline.
    Words { x: f32, y: f32, run: Run },
    /// A box to tick or to write in.
    Frame { x: f32, y: f32, width: f32, height: f32 },
    /// A line through points.
    Stroke { points: Vec<(f32, f32)>, width: f32, dash: &'static [f32] },
    /// A filled circle.
    Dot { x: f32, y: f32, radius: f32 },
}

impl Mark {
    /// Where it begins and ends, from the top of its block.
    fn span(&self) -> [f32; 2] {
        match self {
            Self::Words { y, run, .. } => {
                let [above, below] = run.reach();
                [y - above, y + below]
            }
            Self::Frame { y, height, .. } => [*y, y + height],
            Self::Dot { y, radius, .. } => [y - radius, y + radius],
            Self::Stroke { points, .. } => {
                let ends = |pick: fn(f32, f32) -> f32| points.iter().map(|(_, y)| *y).reduce(pick).unwrap_or_default();
                [ends(f32::min), ends(f32::max)]
            }
        }
    }

    fn move_by(&mut self, right: f32, down: f32) {
        match self {
            Self::Words { x, y, .. } | Self::Frame { x, y, .. } | Self::Dot { x, y, .. } => {
                *x += right;
                *y += down;
            }
            Self::Stroke { points, .. } => {
                for (x, y) in points {
                    *x += right;
                    *y += down;
                }
            }
        }
    }
}

/// What a block is to a reader who cannot see it.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Role {
    /// A heading of that level, with its entry among the bookmarks.
    Heading(u16, String),
    /// A paragraph.
    Text,
    /// An item of a list.
    Item,
    /// A picture with its text alternative.
    Picture(String),
}

/// What is never split.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    pub(super) role: Role,
    pub(super) height: f32,
    pub(super) marks: Vec<Mark>,
    /// Kept on the page of the block that follows.
    pub(super) keeps_next: bool,
}

impl Block {
    /// An empty block.
    pub(super) const fn new(role: Role) -> Self {
        Self { role, height: 0.0, marks: Vec::new(), keeps_next: false }
    }

    /// Adds lines below what is there.
    pub(super) fn lines(&mut self, x: f32, lines: &[Line]) {
        for line in lines {
            for piece in &line.pieces {
                let run = piece.run.clone();
                self.marks.push(Mark::Words { x: x + piece.x, y: self.height + line.baseline, run });
            }
            self.height += line.height;
        }
    }

    /// Adds words in lines no wider than `width`.
    pub(super) fn words(&mut self, faces: &Faces, x: f32, width: f32, runs: &[Run]) {
        self.lines(x, &faces.lines(runs, width));
    }

    /// A box to tick at the left edge, its top so far down.
    pub(super) fn tick(&mut self, x: f32, y: f32) {
        self.marks.push(Mark::Frame { x, y, width: TICK_PT, height: TICK_PT });
    }

    /// A blank to write in, with words in its upper left corner.
    pub(super) fn blank(&mut self, x: f32, y: f32, width: f32) {
        self.marks.push(Mark::Frame { x, y, width, height: BLANK_PT });
    }

    /// Makes room at least so high.
    pub(super) fn at_least(&mut self, height: f32) {
        self.height = self.height.max(height);
    }

    /// Moves everything to the right.
    pub(super) fn move_right(&mut self, by: f32) {
        self.marks.iter_mut().for_each(|mark| mark.move_by(by, 0.0));
    }
}

/// Where each block stands: for each page the blocks with their tops. No block is higher than a page.
pub(super) fn pages(blocks: &[Block], top: f32, bottom: f32) -> Vec<Vec<(f32, usize)>> {
    let mut pages = vec![Vec::new()];
    let mut y = top;
    let mut at = 0;
    while at < blocks.len() {
        // What keeps together moves together.
        let mut end = at;
        while blocks[end].keeps_next && end + 1 < blocks.len() {
            end += 1;
        }
        let height: f32 = blocks[at..=end].iter().map(|block| block.height).sum();
        if y > top && y + height > bottom {
            pages.push(Vec::new());
            y = top;
        }
        for (index, block) in blocks.iter().enumerate().take(end + 1).skip(at) {
            // What together is higher than a page is parted where the page ends.
            if y > top && y + block.height > bottom {
                pages.push(Vec::new());
                y = top;
            }
            if let Some(page) = pages.last_mut() {
                page.push((y, index));
            }
            y += block.height;
        }
        at = end + 1;
    }
    pages
}

/// How much room is left on the last page.
pub(super) fn room_left(blocks: &[Block], top: f32, bottom: f32) -> f32 {
    let pages = pages(blocks, top, bottom);
    let last = pages.last().and_then(|page| page.last());
    last.map_or(bottom - top, |(y, index)| bottom - y - blocks[*index].height)
}

impl Block {
    /// Itself; or, where no page holds it, parts that pages hold. No line is cut through.
    pub(super) fn parted(self, most: f32) -> Vec<Self> {
        if self.height <= most {
            return vec![self];
        }
        let mut spans: Vec<[f32; 2]> = self.marks.iter().map(Mark::span).collect();
        spans.sort_by(|one, other| one[0].total_cmp(&other[0]));
        let mut starts = vec![0.0];
        for [top, bottom] in spans {
            if starts.last().is_some_and(|start| top > *start && bottom - start > most) {
                starts.push(top);
            }
        }
        let ends = starts.iter().skip(1).copied().chain([self.height]);
        let mut parts: Vec<Self> = starts.iter().zip(ends).map(|(start, end)| self.part(end - start)).collect();
        for mut mark in self.marks {
            let [top, _] = mark.span();
            let at = starts.iter().rposition(|start| *start <= top).unwrap_or_default();
            mark.move_by(0.0, -starts[at]);
            parts[at].marks.push(mark);
        }
        parts[0].role = self.role;
        if let Some(last) = parts.last_mut() {
            last.keeps_next = self.keeps_next;
        }
        parts
    }

    /// An empty part of it, so high; what follows a heading's first line is text.
    fn part(&self, height: f32) -> Self {
        let role = if self.role == Role::Item { Role::Item } else { Role::Text };
        Self { height, ..Self::new(role) }
    }
}
