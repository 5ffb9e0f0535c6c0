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
        for mark in &mut self.marks {
            match mark {
                Mark::Words { x, .. } | Mark::Frame { x, .. } | Mark::Dot { x, .. } => *x += by,
                Mark::Stroke { points, .. } => points.iter_mut().for_each(|(x, _)| *x += by),
            }
        }
    }
}

/// Where each block stands: for each page the blocks with their tops. A block higher than a page stands alone.
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
