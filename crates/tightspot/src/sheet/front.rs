//! The first page: what it is, how long, what is missing, every caution that stops, tools by letter, parts.

use advice::plan::PlanView;
use advice::{Cell, Fact};

use super::block::{Block, Role};
use super::face::{Faces, Run, printable};
use super::paper::{BESIDE_PT, INDENT_PT, TICK_PT};

/// Blocks of the first page.
pub(super) fn blocks(faces: &Faces, view: &PlanView, width: f32) -> Vec<Block> {
    let mut blocks = vec![heading(faces, 1, &view.title(), width)];
    let fact = |fact: &Fact| {
        let said = Run::bold(format!("{}: {}. ", fact.label, fact.text));
        [said, Run::plain(format!("{} ", sentence(&fact.reason)))]
    };
    let mut runs: Vec<Run> = view.facts.iter().flat_map(fact).collect();
    runs.extend(view.reasons.iter().map(|reason| Run::plain(format!("{} ", reason.text))));
    blocks.push(text(faces, width, &runs));
    blocks.push(heading(faces, 2, "Read before you start", width));
    blocks.extend(view.stops.iter().map(|stop| {
        ticked(faces, width, &[Run::bold(format!("STOP: {}. ", stop.hazard)), Run::plain(stop.text.as_str())])
    }));
    for (mark, why) in super::marks(view) {
        blocks.push(text(faces, width, &[Run::bold(format!("{mark} ")), Run::plain(why)]));
    }
    if !view.parts.rows.is_empty() {
        blocks.push(heading(faces, 2, &view.parts.caption, width));
    }
    let half = (width - BESIDE_PT) / 2.0;
    let part = |row: &Vec<Cell>| {
        let cell = |at: usize| row.get(at).map_or("", |cell| cell.text.as_str());
        ticked(faces, half, &[Run::bold(format!("{} × {}: ", cell(1), cell(0))), Run::plain(sentence(cell(2)))])
    };
    let parts: Vec<Block> = view.parts.rows.iter().map(part).collect();
    for row in parts.chunks(2) {
        blocks.extend(super::side_by_side(&row.iter().collect::<Vec<_>>(), half + BESIDE_PT));
    }
    for (name, list) in [("Consumables: ", &view.consumables), ("Tools: ", &view.tools)] {
        if !list.is_empty() {
            blocks.push(text(faces, width, &[Run::bold(name), Run::plain(format!("{}.", list.join("; ")))]));
        }
    }
    blocks
}

/// A heading with its bookmark.
pub(super) fn heading(faces: &Faces, level: u16, words: &str, width: f32) -> Block {
    let size = if level == 1 { 14.0 } else { 12.0 };
    let mut block = Block::new(Role::Heading(level, printable(words)));
    block.height = if level == 1 { 1.0 } else { 3.0 };
    block.words(faces, 0.0, width, &[Run { size, ..Run::bold(words) }]);
    block.height += 1.0;
    block.keeps_next = true;
    block
}

/// A paragraph.
pub(super) fn text(faces: &Faces, width: f32, runs: &[Run]) -> Block {
    let mut block = Block::new(Role::Text);
    block.words(faces, 0.0, width, runs);
    block.height += 2.0;
    block
}

/// Words behind a box to tick.
fn ticked(faces: &Faces, width: f32, runs: &[Run]) -> Block {
    let mut block = Block::new(Role::Item);
    block.tick(0.0, 1.0);
    block.height = 1.0;
    block.words(faces, INDENT_PT, width - INDENT_PT, runs);
    block.at_least(TICK_PT + 1.5);
    block.height += 1.0;
    block
}

/// Words with their full stop.
pub(super) fn sentence(words: &str) -> String {
    if words.is_empty() || words.ends_with(['.', '!', '?']) { words.to_owned() } else { format!("{words}.") }
}
